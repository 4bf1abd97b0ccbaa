#include <cpl_minixml.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <memory>
#include <set>
#include <string>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/style/layer_styles.hpp"
#include "eaveshed/style/qml.hpp"
#include "eaveshed/style/sld.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;
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

MapStyle sample() {
    return {.name = "Take \"all\" & more",
            .description = "",
            .rules = {{.label = "none <yet>", .when = {}, .paint = {.fill = kNoResultGrey}},
                      {.label = "5 & more",
                       .when = {{{"take_m3", Relation::at_least, 5.0}, {"take_m3", Relation::below, 9.0}},
                                {{"word", Relation::equals, std::string_view("it's <b>")}}},
                       .paint = {.fill = "#fde725", .fill_opacity = 0.5, .dashed = true, .mark = Mark::star},
                       .up_to = 5000.0,
                       .text = {{false, "no. "}, {true, "rank"}}}},
            .labels = {{.when = {{{"rank", Relation::below, 11.0}}},
                        .parts = {{false, "it's "}, {true, "gain", 4}},
                        .from = 100.0,
                        .up_to = 900.0}}};
}

TEST(Styles, BothFormsAreWellFormedWhateverTheNamesHold) {
    const std::vector<ColumnAlias> aliases{{"take_m3", "Take <all> (m3)"}, {"a\"b", "x & y"}};
    for (const LayerShape shape : {LayerShape::multipolygon, LayerShape::line_z, LayerShape::point_z}) {
        const Xml sld = parsed(sld_text("roofs & sheds", shape, sample()));
        const Xml qml = parsed(qml_text(shape, sample(), aliases));
        ASSERT_NE(sld, nullptr);
        ASSERT_NE(qml, nullptr);
        EXPECT_EQ(count_of(sld.get(), "se:Rule"), 3);  // one for each of two alternatives
        EXPECT_EQ(count_of(sld.get(), "se:TextSymbolizer"), 2);
        EXPECT_EQ(count_of(qml.get(), "symbol"), 2);
        EXPECT_EQ(count_of(qml.get(), "alias"), 2);
        EXPECT_EQ(std::string(CPLGetXMLValue(qml.get(), "aliases.alias.name", "")), "Take <all> (m3)");
    }
}

TEST(Styles, ConditionsAndScalesAreTheSameInBothForms) {
    const std::string sld = sld_text("roofs", LayerShape::multipolygon, sample());
    EXPECT_THAT(sld,
                HasSubstr("<ogc:And><ogc:PropertyIsGreaterThanOrEqualTo><ogc:PropertyName>take_m3</ogc:PropertyName>"
                          "<ogc:Literal>5</ogc:Literal></ogc:PropertyIsGreaterThanOrEqualTo><ogc:PropertyIsLessThan>"));
    EXPECT_THAT(sld, HasSubstr("<ogc:Literal>it&apos;s &lt;b&gt;</ogc:Literal>"));
    EXPECT_THAT(sld, HasSubstr("<se:MaxScaleDenominator>5000</se:MaxScaleDenominator>"));
    const std::string qml = qml_text(LayerShape::multipolygon, sample(), {});
    EXPECT_THAT(
        qml, HasSubstr("filter=\"(&quot;take_m3&quot; &gt;= 5 AND &quot;take_m3&quot; &lt; 9) OR (&quot;word&quot; = "
                       "&apos;it&apos;&apos;s &lt;b&gt;&apos;)\""));
    EXPECT_THAT(qml, HasSubstr("scalemindenom=\"0\" scalemaxdenom=\"5000\""));
    EXPECT_THAT(qml, HasSubstr("format_number(&quot;gain&quot;, 4)"));
    EXPECT_THAT(qml, HasSubstr("k=\"color\" v=\"253,231,37,128\""));
}

// The fraction of light, 0 to 1 (relative luminance, WCAG 2.1).
double luminance(std::string_view colour) {
    const auto part = [&](std::size_t at) {
        const double value = std::stoi(std::string(colour.substr(at, 2)), nullptr, 16) / 255.0;
        return value <= 0.03928 ? value / 12.92 : std::pow((value + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5);
}

class EveryLayer : public ::testing::TestWithParam<bool> {};

TEST_P(EveryLayer, WithAGeometryHasAStyleOfItsOwnColumns) {
    for (const OutputTable& output : output_tables()) {
        const MapStyle* const style = style_of(output.table.name, GetParam());
        ASSERT_EQ(style != nullptr, output.table.shape != LayerShape::none) << output.table.name;
        if (style == nullptr) {
            continue;
        }
        std::set<std::string_view> columns;
        for (const Column& column : output.columns) {
            columns.insert(column.field.name);
        }
        const auto all_known = [&](const std::vector<Conditions>& when) {
            for (const Conditions& conditions : when) {
                for (const Condition& condition : conditions) {
                    EXPECT_EQ(columns.count(condition.column), 1U) << output.table.name << ' ' << condition.column;
                }
            }
        };
        std::set<std::string> labels;
        for (const MapRule& rule : style->rules) {
            all_known(rule.when);
            EXPECT_FALSE(rule.label.empty());
            EXPECT_TRUE(labels.insert(rule.label).second) << rule.label;
        }
        for (const MapLabel& label : style->labels) {
            all_known(label.when);
            for (const LabelPart& part : label.parts) {
                EXPECT_TRUE(!part.column || columns.count(part.text) == 1) << part.text;
            }
        }
    }
}

INSTANTIATE_TEST_SUITE_P(WithAndWithoutParcels, EveryLayer, ::testing::Bool());

// In grey, on a bad printer or with any colour vision the order of the classes must still show.
TEST(Styles, ClassesOfAQuantityGrowDarkerOrLighterStepByStep) {
    std::vector<double> ranks;
    for (const MapRule& rule : style_of("parcels", true)->rules) {
        if (rule.label.find("rank") == 0) {
            ranks.push_back(luminance(rule.paint.fill));
        }
    }
    ASSERT_EQ(ranks.size(), 4U);  // the last of the list is the first of the ranking
    for (std::size_t i = 1; i < ranks.size(); ++i) {
        EXPECT_LT(ranks[i], 0.8 * ranks[i - 1]) << i;
    }
    std::vector<double> volumes;
    for (const MapRule& rule : style_of("roofs", false)->rules) {
        if (!rule.when.empty()) {
            volumes.push_back(luminance(rule.paint.fill));
        }
    }
    ASSERT_EQ(volumes.size(), 5U);
    for (std::size_t i = 1; i < volumes.size(); ++i) {
        EXPECT_LT(volumes[i], 0.8 * volumes[i - 1]) << i;
    }
}

TEST(Styles, DeliveriesDifferInMarkAndInHue) {
    std::set<Mark> marks;
    std::set<std::string_view> fills;
    for (const MapRule& rule : style_of("pads", true)->rules) {
        if (rule.when.at(0).size() == 2) {
            marks.insert(rule.paint.mark);
            fills.insert(rule.paint.fill);
        }
    }
    EXPECT_EQ(marks.size(), 4U);
    EXPECT_EQ(fills.size(), 4U);
}

// Readers differ in what null is, so no class may begin at 0 or ask for an empty text.
TEST(Styles, NoConditionHoldsForZeroOrNothing) {
    for (const bool with_parcels : {false, true}) {
        for (const OutputTable& output : output_tables()) {
            const MapStyle* const style = style_of(output.table.name, with_parcels);
            for (const MapRule& rule : style != nullptr ? style->rules : std::vector<MapRule>{}) {
                for (const Conditions& conditions : rule.when) {
                    bool excludes = false;
                    for (const Condition& condition : conditions) {
                        const double* const number = std::get_if<double>(&condition.value);
                        excludes = excludes || condition.relation == Relation::is_true ||
                                   condition.relation == Relation::is_false ||
                                   (condition.relation == Relation::equals && number == nullptr) ||
                                   (condition.relation == Relation::at_least && number != nullptr && *number > 0.0);
                    }
                    EXPECT_TRUE(excludes) << output.table.name << ": " << rule.label;
                }
            }
        }
    }
}

}  // namespace
}  // namespace eaveshed
