#include "eaveshed/record/us_units.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>
#include <set>
#include <span>

#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/record/row_batch.hpp"

namespace eaveshed {
namespace {

// Exact definitions: the inch is 0.0254 m, the foot 0.3048 m and the pound 0.45359237 kg (international yard and pound
// agreement, 1959; NIST Handbook 44, appendix C); the US liquid gallon is 231 cubic inches (the same appendix);
// standard gravity is 9.80665 m/s2 (3rd CGPM, 1901). All from memory.
constexpr double kInch = 0.0254;

std::map<std::string, UsTwin> by_name(const std::vector<Column>& columns) {
    std::map<std::string, UsTwin> found;
    for (const Column& column : columns) {
        if (column.us) {
            found.emplace(column.us->name, *column.us);
        }
    }
    return found;
}

void expect_factor(const UsTwin& twin, const char* unit, double expected) {
    EXPECT_EQ(twin.unit, unit);
    EXPECT_NEAR(twin.factor, expected, 1e-14 * expected) << twin.name;
}

TEST(UsUnits, FactorsAreTheExactOnes) {
    const auto us = by_name(columns_of<RoofRow>());
    const double gallon = 231.0 * kInch * kInch * kInch;
    expect_factor(us.at("harvest_mean_gal"), "US gal", 1.0 / gallon);
    expect_factor(us.at("plan_area_ft2"), "ft2", 1.0 / (0.3048 * 0.3048));
    expect_factor(us.at("eave_elev_ft"), "ft", 1.0 / 0.3048);
    expect_factor(us.at("fill_rain_in"), "in", 1.0 / 25.4);
    expect_factor(us.at("pressure_psi"), "psi", 1000.0 * kInch * kInch / (0.45359237 * 9.80665));
    expect_factor(us.at("forbearance_gpm"), "US gal/min", 0.001 * 60.0 / gallon);
    const auto areas = by_name(columns_of<SubbasinRow>());
    expect_factor(areas.at("area_mi2"), "mi2", 1.0 / (1.609344 * 1.609344));
}

// As printed in NIST SP 811, appendix B.8 (from memory): to the digits given there.
TEST(UsUnits, FactorsAgreeWithThePrintedTables) {
    const auto us = by_name(columns_of<RoofRow>());
    EXPECT_NEAR(1.0 / us.at("harvest_mean_gal").factor, 3.785412e-3, 5e-10);
    EXPECT_NEAR(1.0 / us.at("pressure_psi").factor, 6.894757, 5e-7);
    EXPECT_NEAR(1.0 / us.at("plan_area_ft2").factor, 9.290304e-2, 1e-16);
    EXPECT_NEAR(1.0 / us.at("forbearance_gpm").factor, 6.309020e-2, 5e-8);
}

TEST(UsUnits, EveryColumnInAUnitThatHasAUsUnitHasATwinAndNoOtherHas) {
    const std::set<std::string_view> units{"m3", "m2", "km2", "m", "mm", "kPa", "L/s"};
    for (const OutputTable& output : output_tables()) {
        std::set<std::string> names;
        for (const Column& column : output.columns) {
            names.emplace(column.field.name);
            EXPECT_EQ(column.us.has_value(), units.contains(column.field.unit)) << column.field.name;
        }
        for (const Column& column : output.columns) {
            EXPECT_TRUE(!column.us || names.insert(column.us->name).second) << column.us->name;
        }
    }
    EXPECT_EQ(by_name(columns_of<UsePointRow>()).begin()->first, "use_elev_ft");
}

TEST(UsUnits, ValuesAreAppendedAndNullsStayNull) {
    RoofRow row;
    row.eave_elev_m = 30.48;
    row.fill_rain_mm = 254.0;
    const auto columns = columns_of<RoofRow>();
    RowBatch batch;
    batch.begin(kTableOf<RoofRow>);
    batch.put_columns(row);
    batch.put_us_twins(columns);
    const std::span<const ValueView> values = batch.row(0).values;
    const std::size_t si = columns.size();
    ASSERT_EQ(values.size(), si + by_name(columns).size());
    auto value = values.begin() + static_cast<std::ptrdiff_t>(si);
    for (const Column& column : columns) {
        if (!column.us) {
            continue;
        }
        if (column.us->name == "eave_elev_ft") {
            EXPECT_NEAR(std::get<double>(*value), 100.0, 1e-12);
        } else if (column.us->name == "fill_rain_in") {
            EXPECT_NEAR(std::get<double>(*value), 10.0, 1e-12);
        } else {
            EXPECT_TRUE(std::holds_alternative<std::monostate>(*value)) << column.us->name;
        }
        ++value;
    }
}

// The short ton is 2000 pounds of 0.45359237 kg (NIST Handbook 44, appendix C).
TEST(UsUnits, AMassIsShownInShortTonsWithoutAColumn) {
    ASSERT_TRUE(us_unit("t"));
    EXPECT_NEAR(us_unit("t")->factor, 1000.0 / 907.18474, 1e-12);
    EXPECT_EQ(us_twin({"full_mass_t", "t", "", ""}), std::nullopt);
}

}  // namespace
}  // namespace eaveshed
