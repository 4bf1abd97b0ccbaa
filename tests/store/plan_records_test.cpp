#include "eaveshed/store/plan_records.hpp"

#include <gtest/gtest.h>

#include "eaveshed/core/error.hpp"

namespace eaveshed {
namespace {

MultiPolygon two_parts_with_a_hole() {
    const Polygon first{{{0, 0}, {10, 0}, {10, 10}, {0, 0}}, {{{1, 1}, {2, 1}, {2, 2}, {1, 1}}}};
    const Polygon second{{{20.1, 0}, {1e300, -0.0}, {1.0 / 3.0, 5}, {20.1, 0}}, {}};
    return {{first, second}};
}

FootprintRecord full_footprint() {
    return {.roof_id = "roof 1",
            .plan_area_m2 = 123.456,
            .outline = two_parts_with_a_hole(),
            .interior = {1.5, -2.5},
            .latitude_deg = -34.25,
            .material = "metal",
            .storeys = 1.5,
            .eave_height_m = 2.75,
            .connected_share = 0.5,
            .eave_elev_m = 103.5,
            .runoff_coefficient = 0.9,
            .pad_x = 500001.5,
            .pad_y = 4190002.5,
            .measured = MeasuredValues(0x2AU)};
}

void expect_equal(const FootprintRecord& a, const FootprintRecord& b) {
    EXPECT_EQ(a.roof_id, b.roof_id);
    EXPECT_EQ(a.plan_area_m2, b.plan_area_m2);
    EXPECT_EQ(a.outline, b.outline);
    EXPECT_EQ(a.interior, b.interior);
    EXPECT_EQ(a.latitude_deg, b.latitude_deg);
    EXPECT_EQ(a.material, b.material);
    EXPECT_EQ(a.storeys, b.storeys);
    EXPECT_EQ(a.eave_height_m, b.eave_height_m);
    EXPECT_EQ(a.connected_share, b.connected_share);
    EXPECT_EQ(a.eave_elev_m, b.eave_elev_m);
    EXPECT_EQ(a.runoff_coefficient, b.runoff_coefficient);
    EXPECT_EQ(a.pad_x, b.pad_x);
    EXPECT_EQ(a.pad_y, b.pad_y);
    EXPECT_EQ(a.measured, b.measured);
}

TEST(PlanRecords, AFootprintComesBackAsItWas) {
    expect_equal(unpacked_footprint(packed(full_footprint())), full_footprint());
    const FootprintRecord empty;
    expect_equal(unpacked_footprint(packed(empty)), empty);
    FootprintRecord odd;
    odd.material = "";  // an empty word is no missing one
    expect_equal(unpacked_footprint(packed(odd)), odd);
}

TEST(PlanRecords, AParcelComesBackAsItWas) {
    const ParcelRecord full{.parcel_id = "01W-0001",
                            .outline = two_parts_with_a_hole(),
                            .interior = {3.0, 4.0},
                            .people = 4.0,
                            .irrigated_area_m2 = 120.0,
                            .season_use_m3 = 33.0,
                            .water_source = "creek",
                            .source_share = 0.25,
                            .stream_distance_m = 77.0,
                            .pump_lps = 0.6,
                            .existing_storage_m3 = 9.5,
                            .measured = MeasuredValues(0x8000U)};
    for (const ParcelRecord& record : {full, ParcelRecord{}}) {
        const ParcelRecord back = unpacked_parcel(packed(record));
        EXPECT_EQ(back.parcel_id, record.parcel_id);
        EXPECT_EQ(back.outline, record.outline);
        EXPECT_EQ(back.interior, record.interior);
        EXPECT_EQ(back.people, record.people);
        EXPECT_EQ(back.irrigated_area_m2, record.irrigated_area_m2);
        EXPECT_EQ(back.season_use_m3, record.season_use_m3);
        EXPECT_EQ(back.water_source, record.water_source);
        EXPECT_EQ(back.source_share, record.source_share);
        EXPECT_EQ(back.stream_distance_m, record.stream_distance_m);
        EXPECT_EQ(back.pump_lps, record.pump_lps);
        EXPECT_EQ(back.existing_storage_m3, record.existing_storage_m3);
        EXPECT_EQ(back.measured, record.measured);
    }
}

// Cut anywhere: an error and no crash, no endless allocation.
TEST(PlanRecords, ARecordCutShortIsAWorkingError) {
    const auto bytes = packed(full_footprint());
    for (std::size_t size = 0; size < bytes.size(); ++size) {
        try {
            static_cast<void>(unpacked_footprint(std::span(bytes).first(size)));
            ADD_FAILURE() << size;
        } catch (const Error& error) {
            EXPECT_EQ(error.fault(), Fault::working);
        }
    }
}

TEST(PlanRecords, ACountThatTheBytesCannotHoldIsNotBelieved) {
    FootprintRecord record;
    record.roof_id = "";
    auto bytes = packed(record);
    // Text length (8), area (9), then the number of parts.
    for (std::size_t i = 17; i < 25; ++i) {
        bytes.at(i) = 0x7F;
    }
    try {
        static_cast<void>(unpacked_footprint(bytes));
        ADD_FAILURE() << "no error";
    } catch (const Error& error) {
        EXPECT_EQ(error.fault(), Fault::working);
        EXPECT_EQ(error.trouble().found, "a damaged record");
    }
}

}  // namespace
}  // namespace eaveshed
