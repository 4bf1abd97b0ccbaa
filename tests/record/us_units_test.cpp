#include "eaveshed/record/us_units.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>

namespace eaveshed {
namespace {

// Exact definitions: the inch is 0.0254 m, the foot 0.3048 m and the pound 0.45359237 kg (international yard and pound
// agreement, 1959; NIST Handbook 44, appendix C); the US liquid gallon is 231 cubic inches (the same appendix);
// standard gravity is 9.80665 m/s2 (3rd CGPM, 1901). All from memory.
constexpr double kInch = 0.0254;

std::map<std::string, UsColumn> by_name(const std::vector<Column>& columns) {
    std::map<std::string, UsColumn> found;
    for (const UsColumn& column : us_columns(columns)) {
        found.emplace(column.name, column);
    }
    return found;
}

void expect_factor(const UsColumn& column, const char* unit, double expected) {
    EXPECT_EQ(column.unit, unit);
    EXPECT_NEAR(column.factor, expected, 1e-14 * expected) << column.name;
}

TEST(UsUnits, FactorsAreTheExactOnes) {
    const auto us = by_name(roof_columns());
    const double gallon = 231.0 * kInch * kInch * kInch;
    expect_factor(us.at("harvest_mean_gal"), "US gal", 1.0 / gallon);
    expect_factor(us.at("plan_area_ft2"), "ft2", 1.0 / (0.3048 * 0.3048));
    expect_factor(us.at("eave_elev_ft"), "ft", 1.0 / 0.3048);
    expect_factor(us.at("fill_rain_in"), "in", 1.0 / 25.4);
    expect_factor(us.at("pressure_psi"), "psi", 1000.0 * kInch * kInch / (0.45359237 * 9.80665));
    expect_factor(us.at("forbearance_gpm"), "US gal/min", 0.001 * 60.0 / gallon);
}

// As printed in NIST SP 811, appendix B.8 (from memory): to the digits given there.
TEST(UsUnits, FactorsAgreeWithThePrintedTables) {
    const auto us = by_name(roof_columns());
    EXPECT_NEAR(1.0 / us.at("harvest_mean_gal").factor, 3.785412e-3, 5e-10);
    EXPECT_NEAR(1.0 / us.at("pressure_psi").factor, 6.894757, 5e-7);
    EXPECT_NEAR(1.0 / us.at("plan_area_ft2").factor, 9.290304e-2, 1e-16);
    EXPECT_NEAR(1.0 / us.at("forbearance_gpm").factor, 6.309020e-2, 5e-8);
}

TEST(UsUnits, EveryColumnWithAUnitHasOneAndNoOtherHas) {
    std::size_t with_unit = 0;
    for (const Column& column : roof_columns()) {
        with_unit += !column.field.unit.empty() && column.field.unit != "1" ? 1U : 0U;
    }
    const auto columns = roof_columns();
    const auto us = us_columns(columns);
    EXPECT_EQ(us.size(), with_unit);
    for (const UsColumn& column : us) {
        const Column& of = columns.at(column.of);
        EXPECT_EQ(of.type, ColumnType::real);
        EXPECT_EQ(column.title, of.field.title);
        EXPECT_FALSE(column.name.empty());
        for (const Column& si : columns) {
            EXPECT_NE(si.field.name, column.name);
        }
    }
    EXPECT_TRUE(us_columns(run_record_columns()).empty());
    EXPECT_EQ(us_columns(use_point_columns()).at(0).name, "use_elev_ft");
}

TEST(UsUnits, ValuesAreAppendedAndNullsStayNull) {
    RoofRow row;
    row.eave_elev_m = 30.48;
    row.fill_rain_mm = 254.0;
    std::vector<Value> values;
    values_of(row, values);
    const std::size_t si = values.size();
    const auto us = us_columns(roof_columns());
    append_us_values(us, values);
    ASSERT_EQ(values.size(), si + us.size());
    for (std::size_t i = 0; i < us.size(); ++i) {
        const Value& value = values[si + i];
        if (us[i].name == "eave_elev_ft") {
            EXPECT_NEAR(std::get<double>(value), 100.0, 1e-12);
        } else if (us[i].name == "fill_rain_in") {
            EXPECT_NEAR(std::get<double>(value), 10.0, 1e-12);
        } else {
            EXPECT_TRUE(std::holds_alternative<std::monostate>(value)) << us[i].name;
        }
    }
}

}  // namespace
}  // namespace eaveshed
