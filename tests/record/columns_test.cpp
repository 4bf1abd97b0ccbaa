#include "eaveshed/record/output_rows.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>
#include <string>

namespace eaveshed {
namespace {

using ::testing::ElementsAre;

std::vector<std::string> names(const std::vector<Column>& columns) {
    std::vector<std::string> found;
    for (const Column& column : columns) {
        found.emplace_back(column.field.name);
    }
    return found;
}

// The file contract: names and order, as users and scripts rely on them.
TEST(Columns, OfRoofsAreThoseOfTheContract) {
    EXPECT_THAT(
        names(columns_of<RoofRow>()),
        ElementsAre("roof_id", "parcel_id", "status", "flags", "plan_area_m2", "runoff_coefficient", "connected_share",
                    "ground_elev_m", "eave_elev_m", "fill_rain_mm", "harvest_mean_m3", "harvest_median_m3",
                    "harvest_dependable_m3", "first_flush_m3", "demand_m3", "storage_m3", "usable_m3", "tank_count",
                    "limited_by", "replaced_mean_m3", "replaced_dependable_m3", "replaced_worst_m3", "forbearance_m3",
                    "forbearance_lps", "instream_gain_lps", "season_reliability", "volume_reliability",
                    "full_winters_share", "overflow_mean_m3", "delivery", "gravity_check", "gravity_probability",
                    "window_low_elev_m", "window_high_elev_m", "pad_elev_m", "pressure_kpa", "fill_distance_m",
                    "no_pad_reason", "leaves_share", "freeze_months_count", "reach_id", "reach_entry",
                    "reach_distance_m", "subbasin_id"));
}

TEST(Columns, OfTheOtherTablesAreThoseOfTheContract) {
    EXPECT_THAT(names(columns_of<UsePointRow>()),
                ElementsAre("roof_id", "parcel_id", "use_elev_m", "assumed", "opted_out"));
    EXPECT_THAT(names(columns_of<CurveRow>()),
                ElementsAre("roof_id", "storage_m3", "tank_count", "replaced_mean_m3", "replaced_dependable_m3",
                            "replaced_worst_m3", "season_reliability", "volume_reliability", "full_winters_share",
                            "overflow_mean_m3"));
    EXPECT_THAT(names(columns_of<RunRecordRow>()), ElementsAre("key", "value"));
}

TEST(Columns, TypesFollowTheMembers) {
    const auto type = [](const std::vector<Column>& columns, std::string_view name) {
        for (const Column& column : columns) {
            if (column.field.name == name) {
                return column.type;
            }
        }
        ADD_FAILURE() << name;
        return ColumnType::text;
    };
    EXPECT_EQ(type(columns_of<RoofRow>(), "roof_id"), ColumnType::text);
    EXPECT_EQ(type(columns_of<RoofRow>(), "delivery"), ColumnType::text);
    EXPECT_EQ(type(columns_of<RoofRow>(), "plan_area_m2"), ColumnType::real);
    EXPECT_EQ(type(columns_of<RoofRow>(), "tank_count"), ColumnType::integer);
    EXPECT_EQ(type(columns_of<UsePointRow>(), "assumed"), ColumnType::boolean);
}

// A name that ends in a unit says the unit that the column states.
TEST(Columns, EveryColumnIsExplainedAndItsNameAgreesWithItsUnit) {
    const std::vector<std::pair<std::string, std::string>> suffixes{
        {"_m3", "m3"}, {"_m2", "m2"}, {"_mm", "mm"}, {"_km2", "km2"}, {"_kpa", "kPa"}, {"_lps", "L/s"}, {"_m", "m"}};
    for (const OutputTable& output : output_tables()) {
        std::set<std::string> seen;
        for (const Column& column : output.columns) {
            const std::string name(column.field.name);
            EXPECT_TRUE(seen.insert(name).second) << name;
            EXPECT_FALSE(column.field.title.empty()) << name;
            EXPECT_TRUE(column.field.meaning.ends_with('.')) << name;
            EXPECT_TRUE(column.field.unit.empty() || column.type == ColumnType::real ||
                        column.type == ColumnType::integer)
                << name;
            for (const auto& [suffix, unit] : suffixes) {
                if (name.ends_with(suffix) && name != "cost_per_m3") {
                    EXPECT_EQ(column.field.unit, unit) << name;
                }
            }
        }
    }
}

}  // namespace
}  // namespace eaveshed
