#include "eaveshed/record/values.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/record/output_rows.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;

const Value kNull;

TEST(Values, AnEmptyRowIsNullsBesideItsTexts) {
    std::vector<Value> values{Value(1.0)};  // replaced
    values_of(RoofRow{}, values);
    ASSERT_EQ(values.size(), columns_of<RoofRow>().size());
    EXPECT_EQ(values[0], Value(std::string()));
    EXPECT_EQ(values[1], kNull);
    EXPECT_EQ(values[2], Value(std::string("ok")));
    EXPECT_EQ(values[3], Value(std::string()));  // no flags: empty text, not null
    for (std::size_t i = 4; i < values.size(); ++i) {
        EXPECT_EQ(values[i], kNull) << i;
    }
}

TEST(Values, ARoofsMembersStandAtTheirColumns) {
    RoofRow row;
    row.roof_id = "r";
    row.parcel_id = "p";
    row.status = Status::too_small;
    row.flags.add(Flag::overlaps);
    row.flags.add(Flag::check_permit);
    row.tank_count = 3;
    row.limited_by = LimitedBy::tank;
    row.delivery = Delivery::pumped_fill;
    row.gravity_check = GravityCheck::cannot_tell;
    row.no_pad_reason = PadReason::feed_lift;
    row.pressure_kpa = -0.0;
    std::vector<Value> values;
    values_of(row, values);
    const auto columns = columns_of<RoofRow>();
    const auto at = [&](std::string_view name) {
        for (std::size_t i = 0; i < columns.size(); ++i) {
            if (columns[i].field.name == name) {
                return values.at(i);
            }
        }
        ADD_FAILURE() << name;
        return kNull;
    };
    EXPECT_EQ(at("parcel_id"), Value(std::string("p")));
    EXPECT_EQ(at("status"), Value(std::string("too_small")));
    EXPECT_EQ(at("flags"), Value(std::string("check_permit,overlaps")));
    EXPECT_EQ(at("tank_count"), Value(std::int64_t{3}));
    EXPECT_EQ(at("limited_by"), Value(std::string("tank")));
    EXPECT_EQ(at("delivery"), Value(std::string("pumped_fill")));
    EXPECT_EQ(at("gravity_check"), Value(std::string("cannot_tell")));
    EXPECT_EQ(at("no_pad_reason"), Value(std::string("feed_lift")));
    EXPECT_EQ(at("pressure_kpa"), Value(0.0));
    EXPECT_EQ(at("plan_area_m2"), kNull);
}

TEST(Values, TheOtherRowsKeepTheirOrder) {
    std::vector<Value> values;
    values_of(UsePointRow{{}, "r", std::nullopt, 1.5, true}, values);
    EXPECT_THAT(values, ElementsAre(Value(std::string("r")), kNull, Value(1.5), Value(std::int64_t{1}),
                                    Value(std::int64_t{0})));
    values_of(RunRecordRow{"k", "v"}, values);
    EXPECT_THAT(values, ElementsAre(Value(std::string("k")), Value(std::string("v"))));
    CurveRow curve;
    curve.roof_id = "r";
    curve.storage_m3 = 9.5;
    curve.tank_count = 2;
    curve.overflow_mean_m3 = 0.25;
    values_of(curve, values);
    EXPECT_THAT(values, ElementsAre(Value(std::string("r")), Value(9.5), Value(std::int64_t{2}), kNull, kNull, kNull,
                                    kNull, kNull, kNull, Value(0.25)));
}

}  // namespace
}  // namespace eaveshed
