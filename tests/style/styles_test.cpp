#include <cpl_minixml.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <set>
#include <sstream>
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
                        .lines = {{.parts = {{false, "it's "}, {true, "gain", 3}}},
                                  {.parts = {{true, "ask", 0, ". Ask "}}, .when = {{{"big", Relation::is_true}}}}},
                        .from = 100.0,
                        .up_to = 900.0}},
            .feature = {.title = {"parcel_id", "roof_id"},
                        .tip = {{.parts = {{false, "Roof <&> \\ "}, {true, "roof_id"}}}},
                        .columns = {"rank"}}};
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
    EXPECT_THAT(qml, HasSubstr("format_number(round(&quot;gain&quot;, 2 - floor(log10(abs(&quot;gain&quot;))))"));
    EXPECT_THAT(qml, HasSubstr("left(&quot;ask&quot;, strpos(&quot;ask&quot;, &apos;. Ask &apos;))"));
    EXPECT_THAT(qml, HasSubstr("k=\"color\" v=\"253,231,37,128\""));
}

TEST(Styles, WhatIsToldOfAFeatureCannotBecomeMarkup) {
    const Xml qml = parsed(qml_text(LayerShape::multipolygon, sample(), {}));
    ASSERT_NE(qml, nullptr);
    EXPECT_EQ(std::string(CPLGetXMLValue(qml.get(), "previewExpression", "")), R"(coalesce("parcel_id", "roof_id"))");
    const std::string tip = CPLGetXMLValue(qml.get(), "mapTip", "");
    EXPECT_EQ(
        tip,
        "[% coalesce('' || replace(replace(replace(to_string('Roof <&> \\\\ '), '&', '&amp;'), '<', '&lt;'), '>', "
        "'&gt;') || replace(replace(replace(to_string(\"roof_id\"), '&', '&amp;'), '<', '&lt;'), '>', '&gt;'), '') %]");
}

TEST(Styles, TheColumnsThatDecideStandFirst) {
    const std::vector<ColumnAlias> aliases{{"a", "A"}, {"rank", "Rank"}, {"b", "B"}};
    const std::string qml = qml_text(LayerShape::multipolygon, sample(), aliases);
    std::size_t at = qml.find("<attributetableconfig");
    for (const std::string name : {"rank", "a", "b", "fid"}) {
        at = qml.find("<column type=\"field\" name=\"" + name + "\"", at);
        ASSERT_NE(at, std::string::npos) << name;
    }
}

TEST(Styles, ATableWithoutAGeometryHasNamesAlone) {
    const std::string qml = qml_text(LayerShape::none, {}, std::vector<ColumnAlias>{{"storage_m3", "Storage (m3)"}});
    EXPECT_THAT(qml, HasSubstr("name=\"Storage (m3)\""));
    EXPECT_THAT(qml, Not(HasSubstr("renderer")));
    EXPECT_THAT(qml, Not(HasSubstr("mapTip")));
}

// The fraction of light, 0 to 1 (relative luminance, WCAG 2.1).
double luminance(std::string_view colour) {
    const auto part = [&](std::size_t at) {
        const double value = std::stoi(std::string(colour.substr(at, 2)), nullptr, 16) / 255.0;
        return value <= 0.03928 ? value / 12.92 : std::pow((value + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5);
}

class EveryLayer : public ::testing::TestWithParam<StyleChoice> {};

// Words with an underscore in what people read are columns or coded words.
void expect_known(const std::string& text, const std::set<std::string>& known) {
    std::istringstream words(text);
    for (std::string word; words >> word;) {
        word.erase(word.find_last_not_of(":,.") + 1);
        EXPECT_TRUE(word.find('_') == std::string::npos || known.count(word) == 1) << text;
    }
}

TEST_P(EveryLayer, WithAGeometryHasAStyleOfItsOwnColumns) {
    for (const OutputTable& output : output_tables()) {
        const MapStyle* const style = style_of(output.table.name, GetParam());
        ASSERT_EQ(style != nullptr, output.table.shape != LayerShape::none) << output.table.name;
        if (style == nullptr) {
            continue;
        }
        std::set<std::string> columns;
        for (const Column& column : output.columns) {
            columns.insert(std::string(column.field.name));
            if (column.us && GetParam().us) {
                columns.insert(column.us->name);
            }
        }
        std::set<std::string> known = columns;
        for (const ClosedList& list : kOutputLists) {
            for (const Term& term : list.terms) {
                known.insert(std::string(term.name));
            }
        }
        const auto all_known = [&](const std::vector<Conditions>& when) {
            for (const Conditions& conditions : when) {
                for (const Condition& condition : conditions) {
                    EXPECT_EQ(columns.count(condition.column), 1U) << output.table.name << ' ' << condition.column;
                }
            }
        };
        const auto all_lines_known = [&](const std::vector<TextLine>& lines) {
            for (const TextLine& line : lines) {
                all_known(line.when);
                for (const TextPart& part : line.parts) {
                    EXPECT_TRUE(!part.column || columns.count(part.text) == 1) << part.text;
                }
            }
        };
        std::set<std::string> labels;
        for (const MapRule& rule : style->rules) {
            all_known(rule.when);
            EXPECT_FALSE(rule.label.empty());
            expect_known(rule.label, known);
            EXPECT_TRUE(labels.insert(rule.label).second) << rule.label;
        }
        for (const MapLabel& label : style->labels) {
            all_known(label.when);
            all_lines_known(label.lines);
        }
        all_lines_known(style->feature.tip);
        EXPECT_FALSE(style->feature.title.empty());
        EXPECT_FALSE(style->feature.tip.empty());
        for (const auto* const names : {&style->feature.title, &style->feature.columns}) {
            for (const std::string& name : *names) {
                EXPECT_EQ(columns.count(name), 1U) << name;
            }
        }
    }
}

INSTANTIATE_TEST_SUITE_P(WithAndWithoutParcels, EveryLayer,
                         ::testing::Values(StyleChoice{false, false}, StyleChoice{false, true},
                                           StyleChoice{true, false}, StyleChoice{true, true}));

// A file in US units is read in gallons: map, legend and labels too.
TEST(Styles, AFileInUsUnitsIsLabelledAndClassedInThem) {
    const StyleChoice us{.with_parcels = false, .us = true};
    for (const std::string_view table : {"parcels", "roofs"}) {
        const MapStyle& style = *style_of(table, us);
        for (const std::string& text :
             {sld_text("layer", LayerShape::multipolygon, style), qml_text(LayerShape::multipolygon, style, {})}) {
            EXPECT_THAT(text, Not(HasSubstr("m3 a season")));
            EXPECT_THAT(text, Not(HasSubstr("L/s")));
            EXPECT_THAT(text, Not(HasSubstr("forbearance_m3")));
            EXPECT_THAT(text, Not(HasSubstr("gain_lps")));
        }
    }
    EXPECT_THAT(sld_text("roofs", LayerShape::multipolygon, *style_of("roofs", us)),
                HasSubstr("2500 to below 5000 gal a season"));
    EXPECT_THAT(qml_text(LayerShape::multipolygon, *style_of("parcels", us), {}), HasSubstr("gpm"));
}

// Also where the gain is nothing or unknown.
TEST(Styles, EveryRankedParcelHasItsNumberAtEveryScaleOfTheLabels) {
    const auto& labels = style_of("parcels", {})->labels;
    ASSERT_EQ(labels.size(), 3U);
    EXPECT_EQ(labels[0].from, labels[1].up_to);
    EXPECT_EQ(labels[1].from, labels[2].up_to);
    EXPECT_EQ(labels[2].from, 0.0);
    for (const MapLabel& label : labels) {
        ASSERT_EQ(label.when.size(), 1U);
        EXPECT_EQ(label.when[0][0].column, "rank");
        EXPECT_EQ(std::get<double>(label.when[0][0].value), 1.0);
        EXPECT_TRUE(label.lines.at(0).when.empty());
        EXPECT_EQ(label.lines[0].parts.back().text, "rank");
    }
    EXPECT_EQ(labels[1].when[0].size(), 1U);
    EXPECT_EQ(labels[2].when[0].size(), 1U);
    EXPECT_EQ(labels[2].lines.at(1).parts.at(0).text, "parcel_id");
}

TEST(Styles, WithoutParcelsTheRoofsAreDrawnAtAnyScale) {
    for (const MapRule& rule : style_of("roofs", {.with_parcels = false})->rules) {
        EXPECT_TRUE(rule.up_to == 0.0 || rule.paint.fill.empty()) << rule.label;
    }
}

// What would invite a call to those who said no.
TEST(Styles, NothingIsDrawnOfWhoeverOptedOut) {
    for (const std::string_view table : {"pads", "pad_ground", "pipes", "use_points"}) {
        for (const bool with_parcels : {false, true}) {
            for (const MapRule& rule : style_of(table, {.with_parcels = with_parcels})->rules) {
                ASSERT_FALSE(rule.when.empty());
                for (const Conditions& all : rule.when) {
                    EXPECT_TRUE(std::ranges::any_of(all,
                                                    [](const Condition& one) {
                                                        return one.column == "opted_out" &&
                                                               one.relation == Relation::is_false;
                                                    }))
                        << table << ": " << rule.label;
                }
            }
        }
    }
    const auto& parcels = style_of("parcels", {})->rules;
    EXPECT_EQ(std::ranges::count_if(parcels, [](const MapRule& rule) { return rule.paint.crossed; }), 1);
}

// Who sees the marks alone must not take a guess for a place.
TEST(Styles, PadsOfCoarseElevationsAndOfUncertainHeightsAreHollow) {
    int coarse = 0;
    int uncertain = 0;
    for (const MapRule& rule : style_of("pads", {})->rules) {
        for (const Conditions& all : rule.when) {
            for (const Condition& one : all) {
                const auto* const word = std::get_if<std::string_view>(&one.value);
                if (one.column == "coarse_elevation" && one.relation == Relation::is_true) {
                    ++coarse;
                    EXPECT_TRUE(rule.paint.fill.empty());
                } else if (word != nullptr && one.column == "gravity_check") {
                    uncertain += *word == "cannot_tell" ? 1 : 0;
                    EXPECT_EQ(rule.paint.fill == "#ffffff", *word == "cannot_tell") << rule.label;
                }
            }
        }
    }
    EXPECT_EQ(coarse, 1);
    EXPECT_EQ(uncertain, 4);
}

// In grey, on a bad printer or with any colour vision the order of the classes must still show.
TEST(Styles, ClassesOfAQuantityGrowDarkerOrLighterStepByStep) {
    std::vector<double> ranks;
    for (const MapRule& rule : style_of("parcels", {})->rules) {
        if (rule.label.find("rank") == 0) {
            ranks.push_back(luminance(rule.paint.fill));
        }
    }
    ASSERT_EQ(ranks.size(), 4U);  // the last of the list is the first of the ranking
    for (std::size_t i = 1; i < ranks.size(); ++i) {
        EXPECT_LT(ranks[i], 0.8 * ranks[i - 1]) << i;
    }
    std::vector<double> volumes;
    for (const MapRule& rule : style_of("roofs", {.with_parcels = false})->rules) {
        if (!rule.when.empty()) {  // from the most to the least
            volumes.push_back(luminance(rule.paint.fill));
        }
    }
    ASSERT_EQ(volumes.size(), 6U);
    for (std::size_t i = 1; i < volumes.size(); ++i) {
        EXPECT_GT(volumes[i], 1.2 * volumes[i - 1]) << i;
    }
}

TEST(Styles, DeliveriesDifferInMarkAndInHue) {
    std::set<Mark> marks;
    std::set<std::string_view> fills;
    for (const MapRule& rule : style_of("pads", {})->rules) {
        if (rule.when.at(0).size() == 5) {  // level, none opted out, fine elevations, delivery, gravity check
            marks.insert(rule.paint.mark);
            fills.insert(rule.paint.fill == "#ffffff" ? rule.paint.line : rule.paint.fill);
        }
    }
    EXPECT_EQ(marks.size(), 4U);
    EXPECT_EQ(fills.size(), 4U);
}

// Readers differ in what null is, so no class may begin at 0 or ask for an empty text.
TEST(Styles, NoConditionHoldsForZeroOrNothing) {
    for (const bool with_parcels : {false, true}) {
        for (const OutputTable& output : output_tables()) {
            const MapStyle* const style = style_of(output.table.name, {.with_parcels = with_parcels});
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
