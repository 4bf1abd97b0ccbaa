// method.md 7.15: what roofs and parcels mean for reaches and sub-basins.
#include "eaveshed/publish/stream_accounts.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <utility>

#include "publish/accounts.hpp"

namespace eaveshed {
namespace {

using testing::Accounts;
using testing::pad_at;
using testing::parcel_row;
using testing::reach;
using testing::roof_row;
using testing::Wkb;

// Up flows into Main; Side, in the east, into nothing. West and East meet at x = 500.
//
//   P1 [0, 100]   two computed roofs, a pad in the west: Up
//   P2 [400, 490] a computed roof; its water is taken in the east, by Side
//   P3 [700, 800] no computed roof
//   P4 [850, 900] none at all
//   P5 [300, 390] a computed roof that stands at (310, 10), without a pad: Main
class SmallAccounts : public Accounts {
protected:
    SmallAccounts() {
        flow({reach("Up", {{0.0, 500.0}, {200.0, 500.0}}, 2.0), reach("Main", {{200.0, 500.0}, {200.0, 0.0}}, 0.0),
              reach("Side", {{900.0, 500.0}, {900.0, 0.0}})},
             {1, kNoReach, kNoReach});
        give("subbasins.source",
             {{Wkb::polygon({{0, 0}, {500, 0}, {500, 1000}, {0, 1000}, {0, 0}}), {"West"}},
              {Wkb::polygon({{500, 0}, {1000, 0}, {1000, 1000}, {500, 1000}, {500, 0}}), {"East"}}});
        give("parcels.source", {{Wkb::square({0, 0}, 100.0), {"P1"}},
                                {Wkb::square({400, 0}, 90.0), {"P2"}},
                                {Wkb::square({700, 0}, 100.0), {"P3"}},
                                {Wkb::square({850, 0}, 50.0), {"P4"}},
                                {Wkb::square({300, 0}, 90.0), {"P5"}}});
        give("footprints.source", {{Wkb::square({5, 5}, 10.0), {"A"}},
                                   {Wkb::square({55, 5}, 10.0), {"B"}},
                                   {Wkb::square({405, 5}, 10.0), {"C"}},
                                   {Wkb::square({705, 5}, 2.0), {"D"}},
                                   {Wkb::square({605, 305}, 10.0), {"E"}},
                                   {{}, {"F"}},
                                   {Wkb::square({305, 5}, 10.0), {"G"}}});
        m_diversions[1] = {880.0, 40.0};
        m_roofs = {
            roof_row(), roof_row(), roof_row(), roof_row(Status::too_small), roof_row(), roof_row(Status::bad_geometry),
            roof_row()};
        m_roofs[1].roof.harvest_dependable_m3 = 60.0;
        m_roofs[4].roof.instream_gain_lps = 0.25;
        m_parcels = {parcel_row(100.0, 0.5), parcel_row(40.0, 0.25, Delivery::pumped_feed), parcel_row(7.0, 9.0),
                     ParcelRows{}, parcel_row(20.0, 0.125)};
        m_parcels[0].pad = pad_at({50.0, 480.0});
        m_parcels[0].parcel.gravity_check = GravityCheck::yes;
        m_roofs[0].pad = pad_at({190.0, 90.0});
    }
    void run() { Accounts::run(m_roofs, m_parcels); }

    std::vector<RoofRows> m_roofs;
    std::vector<ParcelRows> m_parcels;
};

TEST_F(SmallAccounts, RowsSayWhereTheirOffersCount) {
    run();
    const ParcelRow& p1 = m_parcels[0].parcel;
    EXPECT_EQ(p1.reach_id, "Up");  // by its pad
    EXPECT_EQ(p1.reach_entry, EntryWay::nearest);
    EXPECT_EQ(p1.reach_distance_m, 20.0);
    EXPECT_EQ(p1.subbasin_id, "West");
    EXPECT_EQ(p1.low_flow_lps, 2.0);
    EXPECT_EQ(p1.low_flow_share, 0.125);  // of what is added
    const ParcelRow& p2 = m_parcels[1].parcel;
    EXPECT_EQ(p2.reach_id, "Side");
    EXPECT_EQ(p2.reach_entry, EntryWay::diversion);
    EXPECT_EQ(p2.reach_distance_m, 20.0);
    EXPECT_EQ(p2.subbasin_id, "East");
    EXPECT_EQ(p2.low_flow_lps, std::nullopt);
    EXPECT_EQ(p2.low_flow_share, std::nullopt);
    EXPECT_EQ(m_parcels[4].parcel.reach_id, "Main");  // by its roof
    EXPECT_EQ(m_parcels[4].parcel.reach_distance_m, 110.0);
    EXPECT_EQ(m_parcels[4].parcel.low_flow_lps, 0.0);
    EXPECT_EQ(m_parcels[4].parcel.low_flow_share, std::nullopt);
    for (const std::size_t none : {2U, 3U}) {
        EXPECT_EQ(m_parcels[none].parcel.reach_id, std::nullopt);
        EXPECT_EQ(m_parcels[none].parcel.subbasin_id, std::nullopt);
    }
}

TEST_F(SmallAccounts, RowsOfRoofsSayWhereTheyStand) {
    run();
    EXPECT_EQ(m_roofs[0].roof.reach_id, "Main");  // by its pad
    EXPECT_EQ(m_roofs[0].roof.reach_distance_m, 10.0);
    EXPECT_EQ(m_roofs[0].roof.subbasin_id, "West");
    EXPECT_EQ(m_roofs[1].roof.reach_id, "Main");
    EXPECT_EQ(m_roofs[1].roof.reach_distance_m, 140.0);
    // Its water is taken in the east; it stands in the west.
    EXPECT_EQ(m_roofs[2].roof.reach_id, "Side");
    EXPECT_EQ(m_roofs[2].roof.reach_entry, EntryWay::diversion);
    EXPECT_EQ(m_roofs[2].roof.subbasin_id, "West");
    // What is not computed enters nothing, and stands somewhere all the same.
    EXPECT_EQ(m_roofs[3].roof.reach_id, std::nullopt);
    EXPECT_EQ(m_roofs[3].roof.reach_entry, std::nullopt);
    EXPECT_EQ(m_roofs[3].roof.subbasin_id, "East");
    EXPECT_EQ(m_roofs[4].roof.reach_id, "Side");
    EXPECT_EQ(m_roofs[5].roof.subbasin_id, std::nullopt);
}

TEST_F(SmallAccounts, ReachesHaveTheSumsOfTheirParcels) {
    run();
    const std::vector<ReachRow> rows = m_accounts->reach_rows();
    ASSERT_EQ(rows.size(), 3U);
    const ReachRow& up = rows[0];
    EXPECT_EQ(up.reach_id, "Up");
    EXPECT_EQ(up.next_reach_id, "Main");
    EXPECT_EQ(up.creek, std::nullopt);
    EXPECT_EQ(up.stream_order, 1);
    EXPECT_EQ(up.length_m, 1.0);
    EXPECT_EQ(up.drained_km2, std::nullopt);
    EXPECT_EQ(up.parcel_count, 1);
    EXPECT_EQ(up.gain_local_lps, 0.5);
    EXPECT_EQ(up.gain_total_lps, 0.5);
    EXPECT_EQ(up.open_local_lps, 0.25);
    EXPECT_EQ(up.enrolled_local_lps, 0.0);
    EXPECT_EQ(up.low_flow_lps, 2.0);
    EXPECT_EQ(up.gain_share, 0.25);
    const ReachRow& main = rows[1];
    EXPECT_EQ(main.next_reach_id, std::nullopt);
    EXPECT_EQ(main.gain_local_lps, 0.125);
    EXPECT_EQ(main.gain_total_lps, 0.625);
    EXPECT_EQ(main.open_total_lps, 0.3125);
    EXPECT_EQ(main.low_flow_lps, 0.0);
    EXPECT_EQ(main.gain_share, std::nullopt);
    EXPECT_EQ(rows[2].gain_total_lps, 0.25);
    EXPECT_EQ(rows[2].parcel_count, 1);
    EXPECT_EQ(rows[2].gain_share, std::nullopt);
}

TEST_F(SmallAccounts, SubbasinsHaveTheSumsOfTheirRoofsAndParcels) {
    run();
    const std::vector<SubbasinRow> rows = m_accounts->subbasin_rows();
    ASSERT_EQ(rows.size(), 2U);
    const SubbasinRow& west = rows[0];
    EXPECT_EQ(west.subbasin_id, "West");
    EXPECT_EQ(west.area_km2, std::nullopt);  // filled with the outline
    EXPECT_EQ(west.roof_count, 4);           // A, B, C, G
    EXPECT_EQ(west.ok_roof_count, 4);
    EXPECT_EQ(west.roofs_area_m2, 400.0);
    EXPECT_EQ(west.roofs_harvest_mean_m3, 320.0);
    EXPECT_EQ(west.roofs_harvest_dependable_m3, 60.0);
    EXPECT_EQ(west.parcel_count, 2);  // P1, P5
    EXPECT_EQ(west.forbearance_m3, 120.0);
    EXPECT_EQ(west.instream_gain_lps, 0.625);
    EXPECT_EQ(west.open_count, 2);
    EXPECT_EQ(west.open_added_m3, 60.0);
    EXPECT_EQ(west.open_added_lps, 0.3125);
    EXPECT_EQ(west.gravity_share, 1.0);
    EXPECT_DOUBLE_EQ(west.sure_gravity_share.value(), 100.0 / 120.0);
    const SubbasinRow& east = rows[1];
    EXPECT_EQ(east.roof_count, 2);  // D, E
    EXPECT_EQ(east.ok_roof_count, 1);
    EXPECT_EQ(east.roofs_area_m2, 100.0);
    EXPECT_EQ(east.roofs_harvest_dependable_m3, std::nullopt);
    EXPECT_EQ(east.parcel_count, 2);         // P2 by its diversion, and E that is in no parcel
    EXPECT_EQ(east.forbearance_m3, 90.0);    // 40 and 50
    EXPECT_EQ(east.instream_gain_lps, 0.5);  // 0.25 each
    EXPECT_EQ(east.open_count, 1);
    EXPECT_EQ(east.open_added_m3, 20.0);
    EXPECT_DOUBLE_EQ(east.gravity_share.value(), 50.0 / 90.0);
    EXPECT_DOUBLE_EQ(east.sure_gravity_share.value(), 50.0 / 90.0);
}

TEST_F(SmallAccounts, WhoDeclinedCountsToTheGainAndIsNotOpen) {
    m_parcels[0].parcel.contact_status = ContactStatus::declined;
    m_parcels[4].parcel.delivery = Delivery::no_pad;
    run();
    const std::vector<ReachRow> rows = m_accounts->reach_rows();
    EXPECT_EQ(rows[1].gain_total_lps, 0.625);
    EXPECT_EQ(rows[1].open_total_lps, 0.0);
    EXPECT_EQ(rows[0].enrolled_local_lps, 0.0);
    const SubbasinRow west = m_accounts->subbasin_rows()[0];
    EXPECT_EQ(west.instream_gain_lps, 0.625);
    EXPECT_EQ(west.open_count, 0);
    EXPECT_EQ(west.open_added_m3, 0.0);
    EXPECT_DOUBLE_EQ(west.gravity_share.value(), 100.0 / 120.0);
}

TEST_F(SmallAccounts, WhoIsEnrolledCountsThereWithTheWholeGain) {
    m_parcels[0].parcel.contact_status = ContactStatus::enrolled;
    run();
    const std::vector<ReachRow> rows = m_accounts->reach_rows();
    EXPECT_EQ(rows[0].enrolled_local_lps, 0.5);
    EXPECT_EQ(rows[1].enrolled_local_lps, 0.0);
    EXPECT_EQ(rows[1].enrolled_total_lps, 0.5);
    EXPECT_EQ(rows[1].gain_total_lps, 0.625);
    EXPECT_EQ(rows[0].open_local_lps, 0.0);
    EXPECT_EQ(rows[2].enrolled_total_lps, 0.0);
}

TEST_F(SmallAccounts, AParcelWithoutAGainIsNotCountedAtItsReach) {
    m_parcels[0].parcel.instream_gain_lps = 0.0;
    m_parcels[4].parcel.instream_gain_lps.reset();
    run();
    const std::vector<ReachRow> rows = m_accounts->reach_rows();
    EXPECT_EQ(rows[0].parcel_count, 0);
    EXPECT_EQ(rows[1].parcel_count, 0);
    EXPECT_EQ(rows[1].gain_total_lps, 0.0);
    EXPECT_EQ(m_accounts->subbasin_rows()[0].parcel_count, 2);
}

TEST_F(SmallAccounts, WithoutStreamsNothingIsFilled) {
    m_creeks = Creeks();
    m_inputs.layers.erase("subbasins.source");
    run();
    for (const RoofRows& rows : m_roofs) {
        EXPECT_EQ(rows.roof.reach_id, std::nullopt);
        EXPECT_EQ(rows.roof.subbasin_id, std::nullopt);
    }
    for (const ParcelRows& rows : m_parcels) {
        EXPECT_EQ(rows.parcel.reach_id, std::nullopt);
        EXPECT_EQ(rows.parcel.reach_entry, std::nullopt);
        EXPECT_EQ(rows.parcel.low_flow_share, std::nullopt);
        EXPECT_EQ(rows.parcel.subbasin_id, std::nullopt);
    }
    EXPECT_TRUE(m_accounts->reach_rows().empty());
    EXPECT_TRUE(m_accounts->subbasin_rows().empty());
}

TEST_F(SmallAccounts, OfSubbasinsAloneAndOfReachesAloneAreKept) {
    Creeks creeks = std::exchange(m_creeks, Creeks());
    const std::vector<ParcelRows> parcels = m_parcels;
    const std::vector<RoofRows> roofs = m_roofs;
    run();
    EXPECT_EQ(m_parcels[0].parcel.subbasin_id, "West");
    EXPECT_EQ(m_parcels[1].parcel.subbasin_id, "East");
    EXPECT_EQ(m_parcels[0].parcel.reach_id, std::nullopt);
    EXPECT_EQ(m_accounts->subbasin_rows()[0].forbearance_m3, 120.0);
    m_creeks = std::move(creeks);
    m_parcels = parcels;
    m_roofs = roofs;
    m_inputs.layers.erase("subbasins.source");
    run();
    EXPECT_EQ(m_parcels[0].parcel.reach_id, "Up");
    EXPECT_EQ(m_parcels[0].parcel.subbasin_id, std::nullopt);
    EXPECT_EQ(m_accounts->reach_rows().size(), 3U);
    EXPECT_TRUE(m_accounts->subbasin_rows().empty());
}

TEST_F(SmallAccounts, WithoutVolumeOrRoofsASubbasinHasNoShares) {
    give("subbasins.source", {{Wkb::square({0, 900}, 50.0), {"Empty"}}});
    run();
    const SubbasinRow row = m_accounts->subbasin_rows()[0];
    EXPECT_EQ(row.roof_count, 0);
    EXPECT_EQ(row.roofs_harvest_mean_m3, 0.0);
    EXPECT_EQ(row.forbearance_m3, 0.0);
    EXPECT_EQ(row.gravity_share, std::nullopt);
    EXPECT_EQ(row.sure_gravity_share, std::nullopt);
}

TEST_F(Accounts, PlacesOfRoofsAreBroughtToTheTerrainsSystem) {
    const Crs shifted = testing::plane("shifted", {300.0, 0.0});  // x 10 there is 310 here
    flow({reach("West", {{0.0, 0.0}, {0.0, 900.0}}), reach("Middle", {{300.0, 0.0}, {300.0, 900.0}})},
         {kNoReach, kNoReach});
    give("footprints.source", {{Wkb::square({5, 5}, 10.0), {"A"}}}, shifted);
    give("parcels.source", {{Wkb::square({0, 0}, 100.0), {"P1"}}}, shifted);
    give("subbasins.source", {{Wkb::square({300, 0}, 100.0), {"Here"}}});
    std::vector<RoofRows> roofs{roof_row()};
    std::vector<ParcelRows> parcels{parcel_row(10.0, 0.1)};
    run(roofs, parcels);
    EXPECT_EQ(roofs[0].roof.reach_id, "Middle");
    EXPECT_EQ(roofs[0].roof.subbasin_id, "Here");
    EXPECT_EQ(parcels[0].parcel.reach_id, "Middle");
    EXPECT_EQ(parcels[0].parcel.reach_distance_m, 10.0);
    EXPECT_EQ(parcels[0].parcel.subbasin_id, "Here");
}

}  // namespace
}  // namespace eaveshed
