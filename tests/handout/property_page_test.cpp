#include "eaveshed/handout/property_page.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

// A parcel with the least that a sheet can stand on.
Property bare(const std::string& parcel_id) {
    Property property;
    property.parcel_id = parcel_id;
    property.row.parcel_id = parcel_id;
    return property;
}

PropertyYear year(YearKind kind, int name) {
    PropertyYear made;
    made.kind = kind;
    made.name = name;
    for (int month = 1; month <= 12; ++month) {
        PropertyMonth one;
        one.store.month = month;
        one.store.inflow_m3 = month < 5 ? 10.0 : 0.0;
        one.store.taken_m3 = month > 7 && month < 11 ? 12.0 : 0.0;
        one.store.stock_end_m3 = 20.0;
        made.months.push_back(one);
    }
    made.harvest_m3 = 40.0;
    made.replaced_m3 = 36.0;
    made.wanted_m3 = 38.0;
    made.overflow_m3 = 7.0;
    return made;
}

TEST(PropertyPage, WhatIsNotKnownIsLeftOut) {
    const std::string page = property_page(bare("P-1"), Settings{}, {.version = "1.2.3"});
    EXPECT_THAT(page, HasSubstr("Parcel P-1"));
    EXPECT_THAT(page, HasSubstr("1.2.3"));
    for (const char* const heading :
         {"Where the tanks could stand", "How the water runs", "Through the year", "Sizes that could stand there",
          "What to ask", "to call", "basin's page", "To redo by hand", "Cost"}) {
        EXPECT_THAT(page, Not(HasSubstr(heading))) << heading;
    }
    EXPECT_THAT(page, Not(HasSubstr("nan")));
    EXPECT_THAT(page, Not(HasSubstr("{{")));
}

TEST(PropertyPage, NamesCannotBecomeMarkup) {
    const std::string hostile = "\"><script>alert(1)</script><img src=x onerror=alert(2)>";
    Property property = bare(hostile);
    property.water = PropertyWater{{year(YearKind::middling, 2003)}, {}};
    Settings settings;
    settings.basin.name = hostile;
    settings.cost.currency = hostile;
    property.row.cost = 100.0;
    const std::string page = property_page(property, settings, {.version = hostile});
    EXPECT_THAT(page, Not(HasSubstr("<script>alert")));
    EXPECT_THAT(page, Not(HasSubstr("<img")));
    EXPECT_THAT(page, HasSubstr("&lt;script&gt;"));
}

TEST(PropertyPage, CautionsStandOnEverySheet) {
    const std::string page = property_page(bare("P-1"), Settings{}, {.version = "1"});
    EXPECT_FALSE(property_cautions().empty());
    for (const char* const word : {"not drinking water", "confined space", "local codes", "heavy"}) {
        EXPECT_THAT(page, HasSubstr(word)) << word;
    }
    EXPECT_THAT(page, HasSubstr("Content-Security-Policy"));
}

TEST(PropertyPage, AnUnknownSourceIsNoZero) {
    Property property = bare("P-1");
    property.row.flags.add(Flag::unknown_source);
    property.headlines.stream_gain_lps = RangedValue{0.0, {}, {}};
    const std::string page = property_page(property, Settings{}, {.version = "1"});
    EXPECT_THAT(page, HasSubstr("not known"));
    EXPECT_THAT(page, Not(HasSubstr("0 L/s")));
}

TEST(PropertyPage, SpeaksInTheUnitsOfTheProject) {
    Property property = bare("P-1");
    property.headlines.forbearance_m3 = RangedValue{100.0, ValueRange{80.0, 120.0}, {}};
    Settings settings;
    EXPECT_THAT(property_page(property, settings, {.version = "1"}), HasSubstr("100 m3"));
    settings.output.units = OutputUnits::us;
    const std::string us = property_page(property, settings, {.version = "1"});
    EXPECT_THAT(us, HasSubstr("26,400 gal"));  // 100 m3 / 3.785411784 L a gallon (NIST Handbook 44, appendix C)
    EXPECT_THAT(us, Not(HasSubstr(" m3")));
}

TEST(PropertyPage, AYearIsDrawnMonthByMonthAndSummed) {
    Property property = bare("P-1");
    property.row.usable_m3 = 50.0;
    property.water = PropertyWater{{year(YearKind::middling, 2003), year(YearKind::dry, 2013)}, {}};
    const std::string page = property_page(property, Settings{}, {.version = "1"});
    EXPECT_THAT(page, HasSubstr("a middling winter (that which ended in 2003)"));
    EXPECT_THAT(page, HasSubstr("a dry winter (that which ended in 2013)"));
    // What came, ran over, was wanted and taken stand side by side, one column a year.
    EXPECT_THAT(page, HasSubstr("reaches the tanks in November to May</th><td class=\"n\">40.0</td>"
                                "<td class=\"n\">40.0</td>"));
    EXPECT_THAT(page, HasSubstr("runs over in the whole year, since the tanks are full</th><td class=\"n\">7.00</td>"));
    EXPECT_THAT(page, HasSubstr("wanted in August to October</th><td class=\"n\">38.0</td>"));
    EXPECT_THAT(page, HasSubstr("taken from the tanks in August to October</th><td class=\"n\">36.0</td>"));
    EXPECT_THAT(page, HasSubstr("year-2"));
}

// With a pad whose pressure and certainty a case sets.
Property with_pad(GravityCheck check, double low_kpa, double full_kpa, double head_m) {
    Property property = bare("P-1");
    property.row.delivery = Delivery::low_pressure;
    property.row.gravity_check = check;
    property.row.gravity_probability = 0.7567;
    PadRow& pad = property.pad.emplace().row;
    pad.pressure_kpa = low_kpa;
    pad.pressure_full_kpa = full_kpa;
    pad.static_head_m = head_m;
    pad.fill_probability = 0.99;
    pad.feed_probability = 0.81;
    property.headlines.pressure_kpa = RangedValue{low_kpa, ValueRange{low_kpa - 9.80665, low_kpa + 9.80665}, {}};
    return property;
}

std::string sheet_of(const Property& property) {
    return property_page(property, Settings{}, {.version = "1"});
}

TEST(PropertyPage, WhatMapsCannotTellIsNotClaimed) {
    const std::string open = sheet_of(with_pad(GravityCheck::cannot_tell, 12.0, 40.0, 1.5));
    EXPECT_THAT(open, HasSubstr("By the maps, the roof fills the tanks"));
    EXPECT_THAT(open, HasSubstr("But the maps cannot tell for sure: the height of the tanks above the tap decides, and "
                                "it is known to 1.0 m only. Level gutter, pad and tap on site"));
    // The stored probability is a lower bound; the smaller of the two that make it is an upper one.
    EXPECT_THAT(open, HasSubstr("maps cannot tell"));
    EXPECT_THAT(open, HasSubstr("at least 75 %, at most 81 % sure"));
    const std::string sure = sheet_of(with_pad(GravityCheck::yes, 12.0, 40.0, 1.5));
    EXPECT_THAT(sure, Not(HasSubstr("cannot tell")));
    EXPECT_THAT(sure, HasSubstr("at least 75 % sure"));
}

TEST(PropertyPage, PressureBelowNothingIsNone) {
    const std::string none = sheet_of(with_pad(GravityCheck::no, -42.3, -14.4, -4.0));
    EXPECT_THAT(none, HasSubstr("the tap lies 4.0 m above the water of low tanks: a pump is needed"));
    EXPECT_THAT(none, Not(HasSubstr("-42")));
    EXPECT_THAT(none, Not(HasSubstr("-14")));
    const std::string full_only = sheet_of(with_pad(GravityCheck::no, -11.1, 16.9, -0.6));
    EXPECT_THAT(full_only, HasSubstr("up to 16.9 kPa"));
    EXPECT_THAT(full_only, HasSubstr("none with low ones, whose water stands 0.6 m below the tap"));
    EXPECT_THAT(full_only, Not(HasSubstr("-11")));
    EXPECT_THAT(sheet_of(with_pad(GravityCheck::yes, 12.0, 40.0, 1.5)),
                HasSubstr("tanks low to full; low: 2.19 to 21.8 kPa in eight cases of ten"));
}

PropertySize size_of(double storage_m3, bool chosen) {
    PropertySize size;
    size.row.storage_m3 = storage_m3;
    size.row.tank_count = 1;
    size.row.delivery = Delivery::pumped_feed;
    size.row.pressure_kpa = -5.0;
    size.row.chosen = chosen;
    return size;
}

TEST(PropertyPage, LargerTanksArePromisedOnlyWhereTheyCouldStand) {
    Property property = bare("P-1");
    property.row.limited_by = LimitedBy::tank;
    property.row.storage_m3 = 9.5;
    property.sizes = {size_of(5.7, false), size_of(9.5, true)};
    EXPECT_THAT(sheet_of(property), HasSubstr("but nothing larger was found to have a place there"));
    property.sizes.push_back(size_of(18.9, false));
    EXPECT_THAT(sheet_of(property), HasSubstr("what larger ones would add is below"));
}

TEST(PropertyPage, OfManySizesThoseNearestToTheRecommendedAreShown) {
    Property property = bare("P-1");
    for (const double storage_m3 : {1.5, 2.5, 3.5, 4.5, 5.5, 6.5, 7.5, 8.5}) {
        property.sizes.push_back(size_of(storage_m3, storage_m3 == 4.5));
    }
    const std::string page = sheet_of(property);
    for (const char* const shown : {">2.50<", ">3.50<", ">4.50<", ">5.50<", ">6.50<"}) {
        EXPECT_THAT(page, HasSubstr(shown));
    }
    for (const char* const left_out : {">1.50<", ">7.50<", ">8.50<"}) {
        EXPECT_THAT(page, Not(HasSubstr(left_out)));
    }
    EXPECT_THAT(page, HasSubstr("3 sizes further from the recommended size"));
    // What all have in common takes no column, and no pressure is below nothing.
    EXPECT_THAT(page, HasSubstr("Delivery of all of them: pumped feed"));
    EXPECT_THAT(page, Not(HasSubstr("-5.00")));
    EXPECT_THAT(page, Not(HasSubstr(">delivery</th>")));
}

PropertyRoof roof_with_line(const std::string& id, double distance_m, FillLine line) {
    PropertyRoof roof;
    roof.roof_id = id;
    roof.connected = true;
    roof.fill_distance_m = distance_m;
    roof.fill_margin_m = 0.5;
    roof.fill_line = line;
    return roof;
}

TEST(PropertyPage, OfSeveralRoofsEachLineIsToldApart) {
    Property property = with_pad(GravityCheck::yes, 12.0, 40.0, 1.5);
    property.section.emplace().use_m = 20.0;
    property.section->gutter_elev_m = 5.0;
    property.roofs = {roof_with_line("R1", 8.9, FillLine::dry), roof_with_line("R2", 25.0, FillLine::wet)};
    const std::string page = sheet_of(property);
    EXPECT_THAT(page, HasSubstr("The line from roof R1 (8.9 m) can fall all the way"));
    EXPECT_THAT(page, HasSubstr("The line from roof R2 (25.0 m) is long: it is buried"));
    // What a pump lifts is no line that stays full.
    property.pad->row.fill_pump_head_m = 0.4;
    property.roofs = {roof_with_line("R1", 5.0, FillLine::wet)};
    property.roofs[0].fill_margin_m = -0.4;
    const std::string pumped = sheet_of(property);
    EXPECT_THAT(pumped, HasSubstr("a pump lifts it"));
    EXPECT_THAT(pumped, Not(HasSubstr("buried")));
}

// Three tanks of 3 m on a circle of 3.7 m, and water wanted 1.8 m from its middle.
TEST(PropertyPage, APlaceOfUseUnderAClusterIsDrawnBesideIt) {
    Property property = with_pad(GravityCheck::no, -11.1, 16.9, -0.6);
    property.pad->tank.diameter_m = 3.0;
    property.pad->row.tank_count = 3;
    property.pad->row.arrangement = Arrangement::cluster;
    property.pad->row.pad_radius_m = 3.7;
    PropertySection& section = property.section.emplace();
    section.pad_m = 5.7;
    section.use_m = 7.5;
    section.gutter_elev_m = 6.4;
    section.tank_top_elev_m = section.water_full_elev_m = 6.9;
    section.tank_base_elev_m = 3.9;
    section.outlet_elev_m = section.water_reserve_elev_m = 4.0;
    section.use_elev_m = 4.0;
    section.tap_elev_m = 4.6;
    section.pressure_reserve_kpa = -11.1;
    section.pressure_full_kpa = 16.9;
    const std::string page = sheet_of(property);
    EXPECT_THAT(page, HasSubstr("the tap is drawn beside them"));
    EXPECT_THAT(page, HasSubstr(">tap 4.6 m, up to 16.9 kPa</text>"));
    EXPECT_THAT(page, HasSubstr(">tank top 6.9 m</text>"));
    section.use_m = 30.0;
    EXPECT_THAT(sheet_of(property), Not(HasSubstr("beside them")));
}

TEST(PropertyPage, TheWeightIsALeastOne) {
    Property property = with_pad(GravityCheck::yes, 12.0, 40.0, 1.5);
    property.pad->row.full_mass_t = 91.3;
    property.pad->row.bearing_kpa = 25.0;
    EXPECT_THAT(sheet_of(property), HasSubstr("weighs at least 91.3 t"));
    Settings us;
    us.output.units = OutputUnits::us;
    EXPECT_THAT(property_page(property, us, {.version = "1"}), HasSubstr("at least 101 short tons"));
}

TEST(PropertyPage, QuestionsComeBeforeThePlanAndAreNotAskedTwice) {
    Property property = bare("P-1");
    QuestionToAsk question;
    question.question = Question::water_source;
    question.low = {.forbearance_m3 = 40.0, .stream_gain_lps = 0.0, .gravity_check = {}};
    question.high = {.forbearance_m3 = 40.0, .stream_gain_lps = 0.005, .gravity_check = {}};
    property.questions = {question};
    property.checks = {{Question::water_source, "Ask where the summer water comes from: creek, spring, well or mains."},
                       {std::nullopt, "See where power for the pump comes from."}};
    property.map.emplace().extent = {0.0, 0.0, 50.0, 40.0};
    const std::string page = sheet_of(property);
    EXPECT_THAT(page, HasSubstr("Where does your summer water come from"));
    EXPECT_THAT(page, HasSubstr("See where power for the pump comes from."));
    EXPECT_THAT(page, Not(HasSubstr("Ask where the summer water comes from")));
    EXPECT_LT(page.find("id=\"ask\""), page.find("id=\"where\""));
}

// A pad of which nothing is known but that it is there.
TEST(PropertyPage, AHeightThatIsNotKnownIsNoZero) {
    Property property = with_pad(GravityCheck::yes, 12.0, 40.0, 1.5);
    property.map.emplace().extent = {0.0, 0.0, 50.0, 40.0};
    property.pad->row_true_bearing_deg = 90.0;
    property.pad->row.feed_pump_head_m = 3.0;
    for (const Arrangement arrangement : {Arrangement::single, Arrangement::row, Arrangement::cluster}) {
        property.pad->row.arrangement = arrangement;
        const std::string page = sheet_of(property);
        EXPECT_THAT(page, Not(HasSubstr(" 0.0 m")));
        EXPECT_THAT(page, Not(HasSubstr("less than 1 kWh")));
        EXPECT_THAT(page, HasSubstr("its energy not known"));
    }
    PadRow& row = property.pad->row;
    row.pad_radius_m = 3.7;
    row.ground_elev_m = 101.25;
    row.slope_pct = 4.0;
    row.pad_elev_m = 101.0;
    row.cut_m = 0.3;
    EXPECT_THAT(sheet_of(property),
                HasSubstr("<p>The ground there is at 101.2 m and slopes by 4 %; levelled at 101.0 m "
                          "it is cut by 0.3 m at most. The tanks stand side by side on a circle of "
                          "3.7 m radius.</p>"));
}

// A line, and a point, which is a line of no length.
TEST(PropertyPage, LinesToKeepAwayFromAreDrawn) {
    Property property = bare("P-1");
    PropertyMap& map = property.map.emplace();
    map.extent = {0.0, 0.0, 50.0, 40.0};
    const auto drawn = [&] {
        const std::string page = sheet_of(property);
        const std::string pen = "stroke=\"#cc79a7\"";
        std::size_t number = 0;
        for (auto at = page.find(pen); at != std::string::npos; at = page.find(pen, at + 1)) {
            ++number;
        }
        EXPECT_EQ(page.find("kept free") != std::string::npos, number > 0);
        return number;
    };
    EXPECT_EQ(drawn(), 0U);
    map.exclusion_lines = {{{5.0, 5.0}, {20.0, 10.0}}};
    EXPECT_EQ(drawn(), 2U);  // and its line in the legend
    map.exclusion_lines.push_back({{30.0, 20.0}, {30.0, 20.0}});
    EXPECT_EQ(drawn(), 3U);
}

TEST(PropertyPage, CarriesItsRankAndLeadsBackToTheBasin) {
    const std::string page = property_page(bare("P-1"), Settings{},
                                           {.version = "1", .rank = 1, .ranked = 114, .basin_page = "../index.html"});
    EXPECT_THAT(page, HasSubstr("no. 1 of 114 to call"));
    EXPECT_THAT(page, HasSubstr("href=\"../index.html\""));
    EXPECT_THAT(page, HasSubstr("Owner: <span class=\"blank long\">"));
}

}  // namespace
}  // namespace eaveshed
