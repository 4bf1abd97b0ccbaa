// The headline: every parcel is in one part, and the parts add up to the whole.
// method.md 8.15.
#include "eaveshed/publish/counts.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

ParcelRow candidate() {
    ParcelRow row;
    row.parcel_status = ParcelStatus::ok;
    row.delivery = Delivery::gravity;
    row.gravity_check = GravityCheck::yes;
    row.forbearance_m3 = 40.0;
    row.added_forbearance_m3 = 30.0;
    row.source_share = 0.5;
    row.instream_gain_lps = 0.004;
    row.added_gain_lps = 0.003;
    row.usable_m3 = 35.0;
    return row;
}

TEST(Headline, CandidatesStandByWhatTheCreekFeels) {
    ParcelRow row = candidate();
    EXPECT_EQ(part_of(row), HeadlinePart::creek);
    row.instream_gain_lps = row.added_gain_lps = 0.0;
    row.source_share = 0.0;
    EXPECT_EQ(part_of(row), HeadlinePart::other_source);
    row.flags.add(Flag::unknown_source);
    EXPECT_EQ(part_of(row), HeadlinePart::source_not_known);
}

TEST(Headline, EveryReasonToLeaveAParcelOutHasItsPart) {
    ParcelRow row = candidate();
    row.added_forbearance_m3 = 0.0;
    row.added_gain_lps = 0.0;
    EXPECT_EQ(part_of(row), HeadlinePart::stored_already);
    row = candidate();
    row.delivery = Delivery::no_pad;
    EXPECT_EQ(part_of(row), HeadlinePart::no_place);
    row.delivery = Delivery::no_use;
    EXPECT_EQ(part_of(row), HeadlinePart::no_use);
    row.parcel_status = ParcelStatus::no_roofs;
    EXPECT_EQ(part_of(row), HeadlinePart::not_computed);
    row.contact_status = ContactStatus::declined;
    EXPECT_EQ(part_of(row), HeadlinePart::closed);
    row.contact_status = ContactStatus::do_not_contact;
    EXPECT_EQ(part_of(row), HeadlinePart::closed);
    row.contact_status = ContactStatus::enrolled;
    EXPECT_EQ(part_of(row), HeadlinePart::enrolled);
    row = candidate();
    row.contact_status = ContactStatus::visited;
    EXPECT_EQ(part_of(row), HeadlinePart::creek);
}

TEST(Headline, WhatStorageThereReplacesIsNotTheCandidates) {
    RunCounts counts;
    counts.add(candidate());
    const Headline& headline = counts.headline_of_parcels();
    const HeadlineSum& creek = headline[static_cast<std::size_t>(HeadlinePart::creek)];
    EXPECT_EQ(creek.number, 1U);
    EXPECT_DOUBLE_EQ(creek.forbearance_m3, 30.0);
    EXPECT_DOUBLE_EQ(creek.felt_m3, 15.0);
    EXPECT_DOUBLE_EQ(creek.felt_lps, 0.003);
    const HeadlineSum& there = headline[static_cast<std::size_t>(HeadlinePart::stored_already)];
    EXPECT_EQ(there.number, 0U);
    EXPECT_DOUBLE_EQ(there.forbearance_m3, 10.0);
    const HeadlineSum all = counts.all_properties();
    EXPECT_EQ(all.number, 1U);
    EXPECT_DOUBLE_EQ(all.forbearance_m3, 40.0);
    EXPECT_DOUBLE_EQ(all.felt_m3, 20.0);
    EXPECT_DOUBLE_EQ(all.felt_lps, 0.004);
}

TEST(Headline, VolumesThatRestOnAFlagAreSummed) {
    RunCounts counts;
    RoofRow alone;  // in no parcel
    alone.delivery = Delivery::gravity;
    alone.forbearance_m3 = 5.0;
    alone.flags.add(Flag::default_demand);
    counts.add(alone);
    RoofRow of_parcel = alone;
    of_parcel.parcel_id = "P";
    counts.add(of_parcel);
    EXPECT_EQ(counts.candidates_by_delivery()[static_cast<std::size_t>(Delivery::gravity)], 1U);
    ParcelRow row = candidate();
    row.flags.add(Flag::default_demand);
    counts.add(row);
    counts.add(candidate());
    EXPECT_DOUBLE_EQ(counts.flagged_volume_m3()[static_cast<std::size_t>(Flag::default_demand)], 45.0);
    EXPECT_DOUBLE_EQ(counts.flagged_volume_m3()[static_cast<std::size_t>(Flag::default_eave)], 0.0);
    EXPECT_DOUBLE_EQ(counts.all_properties().forbearance_m3, 85.0);
    EXPECT_EQ(sum_of(counts.headline_of_single_roofs()).number, 1U);
    EXPECT_EQ(counts.candidates_by_delivery()[static_cast<std::size_t>(Delivery::gravity)], 2U);
    EXPECT_EQ(counts.candidates_by_gravity()[static_cast<std::size_t>(GravityCheck::yes)], 2U);
}

}  // namespace
}  // namespace eaveshed
