#include "eaveshed/store/plan_records.hpp"

#include <gtest/gtest.h>

#include "eaveshed/core/error.hpp"
#include "support/sample_facts.hpp"

namespace eaveshed {
namespace {

MultiPolygon two_parts_with_a_hole() {
    const Polygon first{{{0, 0}, {10, 0}, {10, 10}, {0, 0}}, {{{1, 1}, {2, 1}, {2, 2}, {1, 1}}}};
    const Polygon second{{{20.1, 0}, {1e300, -0.0}, {1.0 / 3.0, 5}, {20.1, 0}}, {}};
    return {{first, second}};
}

// Every fact has a value, and each second one was measured.
template <typename Facts>
Facts full_facts() {
    Facts facts = testing::sample_facts<Facts>();
    for (std::size_t row = 0; row < FactsOf<Facts>::table.size(); row += 2) {
        facts.measured.add(row);
    }
    return facts;
}

FootprintRecord full_footprint() {
    return {.roof_id = "roof 1",
            .plan_area_m2 = 123.456,
            .outline = two_parts_with_a_hole(),
            .interior = {1.5, -2.5},
            .latitude_deg = -34.25,
            .facts = full_facts<RoofFacts>()};
}

void expect_equal(const FootprintRecord& a, const FootprintRecord& b) {
    EXPECT_EQ(a.roof_id, b.roof_id);
    EXPECT_EQ(a.plan_area_m2, b.plan_area_m2);
    EXPECT_EQ(a.outline, b.outline);
    EXPECT_EQ(a.interior, b.interior);
    EXPECT_EQ(a.latitude_deg, b.latitude_deg);
    EXPECT_EQ(a.facts, b.facts);
}

TEST(PlanRecords, AFootprintComesBackAsItWas) {
    expect_equal(unpacked_footprint(packed(full_footprint())), full_footprint());
    const FootprintRecord empty;
    expect_equal(unpacked_footprint(packed(empty)), empty);
    FootprintRecord odd;
    odd.facts.material = "";  // an empty word is no missing one
    expect_equal(unpacked_footprint(packed(odd)), odd);
}

TEST(PlanRecords, AParcelComesBackAsItWas) {
    const ParcelRecord full{.parcel_id = "01W-0001",
                            .outline = two_parts_with_a_hole(),
                            .interior = {3.0, 4.0},
                            .area_m2 = 5.5,
                            .facts = full_facts<ParcelFacts>()};
    for (const ParcelRecord& record : {full, ParcelRecord{}}) {
        const ParcelRecord back = unpacked_parcel(packed(record));
        EXPECT_EQ(back.parcel_id, record.parcel_id);
        EXPECT_EQ(back.outline, record.outline);
        EXPECT_EQ(back.interior, record.interior);
        EXPECT_EQ(back.area_m2, record.area_m2);
        EXPECT_EQ(back.facts, record.facts);
    }
}

// Cut anywhere: an error and no crash, no endless allocation.
// One fact at a time: it comes back in its own place, whatever its row.
template <typename Facts, typename Record>
void expect_each_fact_to_come_back(Record (*unpack)(std::span<const unsigned char>)) {
    for (const KnownFact<Facts>& fact : FactsOf<Facts>::table) {
        Record record;
        std::visit([&](auto member) { record.facts.*member = testing::sample_facts<Facts>().*member; }, fact.member);
        EXPECT_EQ(unpack(packed(record)).facts, record.facts) << fact.name;
    }
}

TEST(PlanRecords, EachFactComesBackByItself) {
    expect_each_fact_to_come_back<RoofFacts, FootprintRecord>(unpacked_footprint);
    expect_each_fact_to_come_back<ParcelFacts, ParcelRecord>(unpacked_parcel);
}

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
