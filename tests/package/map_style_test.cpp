#include "eaveshed/package/map_style.hpp"

#include <cpl_minixml.h>
#include <gtest/gtest.h>

#include <memory>
#include <string>

namespace eaveshed {
namespace {

using Xml = std::unique_ptr<CPLXMLNode, decltype(&CPLDestroyXMLNode)>;

Xml parsed(const std::string& text) {
    return {CPLParseXMLString(text.c_str()), &CPLDestroyXMLNode};
}

// How many elements of that name stand anywhere below the node or beside it.
int count_of(const CPLXMLNode* node, const std::string& name) {
    int count = 0;
    for (; node != nullptr; node = node->psNext) {
        count += node->eType == CXT_Element && name == node->pszValue ? 1 : 0;
        count += count_of(node->psChild, name);
    }
    return count;
}

LayerSpec layer(LayerShape shape) {
    return {.name = "roofs & sheds",
            .title = "Roofs",
            .meaning = "",
            .shape = shape,
            .columns = {{.name = "take_m3",
                         .unit = "m3",
                         .title = "Take <all>",
                         .meaning = "",
                         .type = ColumnType::real,
                         .closed_list = ""}},
            .style = std::nullopt};
}

MapStyle ranges() {
    MapClass low{.label = "below 5 \"little\"", .fill = "#010203"};
    low.from = 0.0;
    low.below = 5.0;
    MapClass high{.label = "5 & more", .fill = "#fde725"};
    high.from = 5.0;
    const MapClass none{.label = "none", .fill = "#bdbdbd"};
    return {.name = "Take", .description = "By take.", .column = "take_m3", .classes = {high, low, none}};
}

TEST(MapStyle, BothFormsAreWellFormedWhateverTheNamesHold) {
    const LayerStyle style = layer_style(layer(LayerShape::multipolygon), ranges());
    const Xml sld = parsed(style.sld);
    const Xml qml = parsed(style.qml);
    ASSERT_NE(sld, nullptr);
    ASSERT_NE(qml, nullptr);
    EXPECT_EQ(count_of(sld.get(), "se:Rule"), 3);
    EXPECT_EQ(count_of(sld.get(), "se:PolygonSymbolizer"), 3);
    EXPECT_EQ(count_of(qml.get(), "range"), 3);
    EXPECT_EQ(count_of(qml.get(), "symbol"), 3);
    EXPECT_EQ(std::string(CPLGetXMLValue(qml.get(), "aliases.alias.name", "")), "Take <all> (m3)");
}

TEST(MapStyle, AValueOnTheEdgeBelongsToTheHigherClassInBothForms) {
    const LayerStyle style = layer_style(layer(LayerShape::multipolygon), ranges());
    EXPECT_NE(style.sld.find("<ogc:PropertyIsGreaterThanOrEqualTo><ogc:PropertyName>take_m3</ogc:PropertyName>"
                             "<ogc:Literal>5</ogc:Literal>"),
              std::string::npos);
    EXPECT_NE(style.sld.find("<ogc:PropertyIsLessThan><ogc:PropertyName>take_m3</ogc:PropertyName>"
                             "<ogc:Literal>5</ogc:Literal>"),
              std::string::npos);
    // A viewer that reads ranges as closed takes the first that fits: the higher one stands first.
    EXPECT_LT(style.qml.find("lower=\"5.000000\""), style.qml.find("upper=\"5.000000\""));
}

TEST(MapStyle, RowsWithoutAValueAreDrawnToo) {
    const LayerStyle style = layer_style(layer(LayerShape::multipolygon), ranges());
    EXPECT_NE(style.sld.find("<ogc:PropertyIsNull><ogc:PropertyName>take_m3</ogc:PropertyName></ogc:PropertyIsNull>"),
              std::string::npos);
    EXPECT_NE(style.qml.find("coalesce(&quot;take_m3&quot;, -1.000000)"), std::string::npos);
    EXPECT_NE(style.qml.find("lower=\"-1.000000\" upper=\"-1.000000\" label=\"none\""), std::string::npos);
}

TEST(MapStyle, TextsBecomeCategoriesWithTheirOwnMarks) {
    const MapStyle style{.name = "Delivery",
                         .description = "",
                         .column = "delivery",
                         .classes = {{.label = "a", .fill = "#009e73", .mark = Mark::circle, .equals = "gravity"},
                                     {.label = "b", .fill = "#d55e00", .mark = Mark::star, .equals = "pumped_fill"}}};
    const LayerStyle made = layer_style(layer(LayerShape::point_z), style);
    const Xml sld = parsed(made.sld);
    ASSERT_NE(sld, nullptr);
    EXPECT_EQ(count_of(sld.get(), "se:PointSymbolizer"), 2);
    EXPECT_NE(made.sld.find("<se:WellKnownName>star</se:WellKnownName>"), std::string::npos);
    EXPECT_NE(made.qml.find("<category value=\"pumped_fill\" label=\"b\" symbol=\"1\""), std::string::npos);
    EXPECT_NE(made.qml.find("k=\"color\" v=\"0,158,115,255\""), std::string::npos);
}

TEST(MapStyle, OneClassForAllHasNoFilter) {
    const LayerStyle made = layer_style(
        layer(LayerShape::point_z),
        {.name = "Point", .description = "", .column = "", .classes = {{.label = "all", .fill = "#000000"}}});
    EXPECT_EQ(made.sld.find("ogc:Filter"), std::string::npos);
    EXPECT_NE(made.qml.find("type=\"singleSymbol\""), std::string::npos);
}

}  // namespace
}  // namespace eaveshed
