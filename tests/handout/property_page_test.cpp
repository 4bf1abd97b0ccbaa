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
    return made;
}

TEST(PropertyPage, WhatIsNotKnownIsLeftOut) {
    const std::string page = property_page(bare("P-1"), Settings{}, "1.2.3");
    EXPECT_THAT(page, HasSubstr("Parcel P-1"));
    EXPECT_THAT(page, HasSubstr("1.2.3"));
    for (const char* const heading : {"Where the tanks could stand", "How the water runs", "Through the year",
                                      "Sizes that could stand there", "What to ask", "To redo by hand", "Cost"}) {
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
    const std::string page = property_page(property, settings, hostile);
    EXPECT_THAT(page, Not(HasSubstr("<script>alert")));
    EXPECT_THAT(page, Not(HasSubstr("<img")));
    EXPECT_THAT(page, HasSubstr("&lt;script&gt;"));
}

TEST(PropertyPage, CautionsStandOnEverySheet) {
    const std::string page = property_page(bare("P-1"), Settings{}, "1");
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
    const std::string page = property_page(property, Settings{}, "1");
    EXPECT_THAT(page, HasSubstr("not known"));
    EXPECT_THAT(page, Not(HasSubstr("0 L/s")));
}

TEST(PropertyPage, SpeaksInTheUnitsOfTheProject) {
    Property property = bare("P-1");
    property.headlines.forbearance_m3 = RangedValue{100.0, ValueRange{80.0, 120.0}, {}};
    Settings settings;
    EXPECT_THAT(property_page(property, settings, "1"), HasSubstr("100 m3"));
    settings.output.units = OutputUnits::us;
    const std::string us = property_page(property, settings, "1");
    EXPECT_THAT(us, HasSubstr("26400 gal"));  // 100 m3 / 3.785411784 L a gallon (NIST Handbook 44, appendix C)
    EXPECT_THAT(us, Not(HasSubstr(" m3")));
}

TEST(PropertyPage, AYearIsDrawnMonthByMonthAndSummed) {
    Property property = bare("P-1");
    property.row.usable_m3 = 50.0;
    property.water = PropertyWater{{year(YearKind::middling, 2003), year(YearKind::dry, 2013)}, {}};
    const std::string page = property_page(property, Settings{}, "1");
    EXPECT_THAT(page, HasSubstr("a middling winter, as that which ended in 2003"));
    EXPECT_THAT(page, HasSubstr("a dry winter, as that which ended in 2013"));
    EXPECT_THAT(page, HasSubstr("40.0 m3 reach the tanks"));
    EXPECT_THAT(page, HasSubstr("36.0 m3 are taken in August to October"));
    EXPECT_THAT(page, HasSubstr("year-2"));
}

}  // namespace
}  // namespace eaveshed
