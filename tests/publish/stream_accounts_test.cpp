// method.md 7.15: what roofs and parcels mean for reaches and sub-basins.
#include "eaveshed/publish/stream_accounts.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>

#include "eaveshed/ranking/ranking.hpp"
#include "support/memory_features.hpp"
#include "support/plane_crs.hpp"
#include "support/random_numbers.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::MemoryRow;
using testing::RandomNumbers;
using testing::Wkb;

CreekReach reach(const std::string& id, const Line& line, std::optional<double> low_flow_lps = std::nullopt) {
    return {.id = id, .name = "", .line = line, .length_m = 1.0, .low_flow_lps = low_flow_lps};
}

// A terrain of 1 km and what is given of roofs, parcels, sub-basins and creeks.
class Accounts : public ::testing::Test {
protected:
    Accounts() {
        m_project.resolved.footprints.id = "id";
        m_project.resolved.parcels.id = "id";
        m_project.resolved.subbasins.id = "id";
        RasterInfo terrain;
        terrain.where = "terrain";
        terrain.crs = testing::plane();
        terrain.grid = {0.0, 1000.0, 1.0, 1.0, 1000, 1000};
        m_inputs.rasters["terrain.elevation"] = terrain;
    }
    void give(const std::string& setting, std::vector<MemoryRow> rows, const Crs& crs = testing::plane()) {
        auto source =
            std::make_shared<testing::MemoryFeatures>(setting, crs, std::vector<std::string>{"id"}, std::move(rows));
        m_inputs.layers[setting] = {{source->info(), source, 0}};
    }
    void flow(std::vector<CreekReach> reaches, std::vector<std::uint32_t> next) {
        m_creeks = Creeks(std::move(reaches), ReachTree(std::move(next)), {}, {0.0, 0.0, 1000.0, 1000.0}, nullptr);
    }
    // Plans, and feeds the rows: every roof, then every parcel.
    void run(std::vector<RoofRows>& roofs, std::vector<ParcelRows>& parcels) {
        Progress progress(ProgressStyle::none);
        m_plan.emplace(make_plan(m_project, m_inputs, m_creeks, m_work.path(), {}, m_findings, progress));
        for (const auto& [parcel, place] : m_diversions) {
            m_plan->parcels.at(parcel).diversion = place;
        }
        m_subbasins = Subbasins(m_project, m_inputs, m_creeks, m_findings);
        m_accounts.emplace(m_creeks, m_subbasins, m_inputs, *m_plan);
        ASSERT_EQ(roofs.size(), m_plan->roofs.size());
        ASSERT_EQ(parcels.size(), m_plan->parcels.size());
        for (std::uint32_t i = 0; i < roofs.size(); ++i) {
            const FootprintRecord record = m_plan->footprint(i);
            m_accounts->take(i, record.outline.empty() ? std::nullopt : std::optional(record.interior), roofs[i]);
        }
        for (std::uint32_t i = 0; i < parcels.size(); ++i) {
            m_accounts->place(i, first_ok(i, roofs), parcels[i]);
        }
        for (std::uint32_t i = 0; i < parcels.size(); ++i) {
            m_accounts->place(i, first_ok(i, roofs), parcels[i]);  // gather asks twice
            m_accounts->count(i, parcels[i].parcel);
        }
    }
    [[nodiscard]] std::uint32_t first_ok(std::uint32_t parcel, const std::vector<RoofRows>& roofs) const {
        for (std::uint32_t i = 0; i < roofs.size(); ++i) {
            if (m_plan->roofs[i].parcel == parcel && roofs[i].roof.status == Status::ok) {
                return i;
            }
        }
        return kNone;
    }

    Project m_project;
    Inputs m_inputs;
    Findings m_findings;
    Creeks m_creeks;
    Subbasins m_subbasins;
    std::map<std::uint32_t, Point> m_diversions;
    std::optional<Plan> m_plan;
    std::optional<StreamAccounts> m_accounts;
    testing::TempFolder m_work;
};

RoofRows roof_row(Status status = Status::ok) {
    RoofRows rows;
    rows.roof.status = status;
    if (status == Status::ok) {
        rows.roof.plan_area_m2 = 100.0;
        rows.roof.harvest_mean_m3 = 80.0;
        rows.roof.forbearance_m3 = 50.0;
        rows.roof.delivery = Delivery::gravity;
        rows.roof.gravity_check = GravityCheck::yes;
    }
    return rows;
}

ParcelRows parcel_row(double forbearance_m3, double gain_lps, Delivery delivery = Delivery::gravity) {
    ParcelRows rows;
    rows.parcel.parcel_status = ParcelStatus::ok;
    rows.parcel.forbearance_m3 = forbearance_m3;
    rows.parcel.added_forbearance_m3 = forbearance_m3 / 2.0;
    rows.parcel.instream_gain_lps = gain_lps;
    rows.parcel.added_gain_lps = gain_lps / 2.0;
    rows.parcel.delivery = delivery;
    return rows;
}

PadRow pad_at(Point place) {
    PadRow pad;
    pad.place = place;
    return pad;
}

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
    const Creeks creeks = std::exchange(m_creeks, Creeks());
    run();
    EXPECT_EQ(m_parcels[0].parcel.subbasin_id, "West");
    EXPECT_EQ(m_parcels[1].parcel.subbasin_id, "East");
    EXPECT_EQ(m_parcels[0].parcel.reach_id, std::nullopt);
    EXPECT_EQ(m_accounts->subbasin_rows()[0].forbearance_m3, 120.0);
    EXPECT_EQ(creeks.reaches().size(), 3U);
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

// Parcels on a lattice of 100 m with up to three roofs each, some roofs in none, over random creeks and sub-basins.
class RandomAccounts : public Accounts {
protected:
    void make(RandomNumbers& random) {
        make_creeks(random);
        std::vector<MemoryRow> grounds;
        std::vector<MemoryRow> outlines;
        m_roofs.clear();
        m_parcels.clear();
        m_diversions.clear();
        for (int i = 0; i < 100; ++i) {
            const Point corner{100.0 * (i % 10), 100.0 * static_cast<double>(i / 10)};
            if (random.chance(0.7)) {
                if (random.chance(0.2)) {
                    m_diversions[static_cast<std::uint32_t>(grounds.size())] = anywhere(random);
                }
                grounds.push_back({Wkb::square(corner, 100.0), {"P" + std::to_string(i)}});
                m_parcels.push_back(random_parcel(random));
            }
            for (int k = random.whole(0, 3); k > 0; --k) {
                outlines.push_back({Wkb::square({corner.x + 20.0 * k, corner.y + 20.0}, 10.0),
                                    {"R" + std::to_string(outlines.size())}});
                m_roofs.push_back(random_roof(random));
            }
        }
        give("parcels.source", grounds);
        give("footprints.source", outlines);
        give("subbasins.source", {{Wkb::square({0, 0}, 400.0), {"A"}},
                                  {Wkb::square({200, 200}, 555.0), {"B"}},
                                  {Wkb::square({620, 10}, 300.0), {"C"}}});
    }
    static Point anywhere(RandomNumbers& random) { return {random.between(0.0, 1000.0), random.between(0.0, 1000.0)}; }
    void make_creeks(RandomNumbers& random) {
        std::vector<CreekReach> reaches;
        std::vector<std::uint32_t> next;
        for (int i = 0; i < 12; ++i) {
            reaches.push_back(reach("R" + std::to_string(i), {anywhere(random), anywhere(random)}));
            next.push_back(i == 0 || random.chance(0.2) ? kNoReach
                                                        : static_cast<std::uint32_t>(random.whole(0, i - 1)));
        }
        flow(std::move(reaches), std::move(next));
    }
    static ParcelRows random_parcel(RandomNumbers& random) {
        ParcelRows rows = parcel_row(random.between(0.0, 200.0), random.chance(0.2) ? 0.0 : random.between(0.0, 0.1),
                                     random.chance(0.5) ? Delivery::gravity : Delivery::pumped_feed);
        rows.parcel.contact_status = static_cast<ContactStatus>(random.whole(0, 7));
        rows.parcel.gravity_check = random.chance(0.3) ? GravityCheck::yes : GravityCheck::no;
        if (random.chance(0.5)) {
            rows.pad = pad_at(anywhere(random));
        }
        return rows;
    }
    static RoofRows random_roof(RandomNumbers& random) {
        RoofRows rows = roof_row(random.chance(0.6) ? Status::ok : Status::no_rain);
        if (rows.roof.status == Status::ok) {
            rows.roof.forbearance_m3 = random.between(0.0, 50.0);
            rows.roof.instream_gain_lps = random.between(0.0, 0.05);
        }
        return rows;
    }
    // Of the rows as they were filled: of the parcels with a computed roof.
    template <typename Value>
    double sum_of_parcels(const Value& value) const {
        double sum = 0.0;
        for (std::uint32_t i = 0; i < m_parcels.size(); ++i) {
            sum += first_ok(i, m_roofs) != kNone ? value(m_parcels[i].parcel) : 0.0;
        }
        return sum;
    }
    std::vector<RoofRows> m_roofs;
    std::vector<ParcelRows> m_parcels;
};

TEST_F(RandomAccounts, NothingIsLostOrCountedTwiceAlongTheReaches) {
    RandomNumbers random(71);
    for (int i = 0; i < 30 && !::testing::Test::HasFailure(); ++i) {
        make(random);
        run(m_roofs, m_parcels);
        const std::vector<ReachRow> rows = m_accounts->reach_rows();
        double local[3] = {0.0, 0.0, 0.0};
        double at_outlets[3] = {0.0, 0.0, 0.0};
        for (const ReachRow& row : rows) {
            local[0] += *row.gain_local_lps;
            local[1] += *row.open_local_lps;
            local[2] += *row.enrolled_local_lps;
            if (!row.next_reach_id) {
                at_outlets[0] += *row.gain_total_lps;
                at_outlets[1] += *row.open_total_lps;
                at_outlets[2] += *row.enrolled_total_lps;
            }
        }
        const double expected[3] = {
            sum_of_parcels([](const ParcelRow& row) { return row.instream_gain_lps.value(); }),
            sum_of_parcels([](const ParcelRow& row) { return is_candidate(row) ? row.added_gain_lps.value() : 0.0; }),
            sum_of_parcels([](const ParcelRow& row) {
                return row.contact_status == ContactStatus::enrolled ? row.instream_gain_lps.value() : 0.0;
            })};
        for (std::size_t k = 0; k < 3; ++k) {
            EXPECT_NEAR(local[k], expected[k], 1e-9);
            EXPECT_NEAR(at_outlets[k], expected[k], 1e-9);
            EXPECT_GT(expected[k], 0.0);
        }
        // Each reach, by the names in the rows.
        for (const ReachRow& row : rows) {
            EXPECT_NEAR(*row.gain_local_lps, sum_of_parcels([&](const ParcelRow& parcel) {
                return parcel.reach_id == row.reach_id ? *parcel.instream_gain_lps : 0.0;
            }),
                        1e-9);
        }
    }
}

TEST_F(RandomAccounts, SubbasinsAreTheSumsOverTheRowsThatNameThem) {
    RandomNumbers random(72);
    for (int i = 0; i < 30 && !::testing::Test::HasFailure(); ++i) {
        make(random);
        run(m_roofs, m_parcels);
        for (const SubbasinRow& row : m_accounts->subbasin_rows()) {
            const auto here = [&](const auto& one) { return one.subbasin_id == row.subbasin_id; };
            std::int64_t roofs = 0;
            std::int64_t ok_roofs = 0;
            double alone_m3 = 0.0;
            double alone_lps = 0.0;
            double alone_count = 0.0;
            for (std::size_t k = 0; k < m_roofs.size(); ++k) {
                const RoofRow& roof = m_roofs[k].roof;
                const bool ok = here(roof) && roof.status == Status::ok;
                const bool alone = ok && m_plan->roofs[k].parcel == kNone;
                roofs += here(roof) ? 1 : 0;
                ok_roofs += ok ? 1 : 0;
                alone_m3 += alone ? *roof.forbearance_m3 : 0.0;
                alone_lps += alone ? *roof.instream_gain_lps : 0.0;
                alone_count += alone ? 1.0 : 0.0;
            }
            const auto of_parcels = [&](const auto& value) {
                return sum_of_parcels([&](const ParcelRow& parcel) { return here(parcel) ? value(parcel) : 0.0; });
            };
            EXPECT_EQ(row.roof_count, roofs);
            EXPECT_EQ(row.ok_roof_count, ok_roofs);
            EXPECT_EQ(row.roofs_area_m2, 100.0 * static_cast<double>(ok_roofs));
            EXPECT_EQ(static_cast<double>(*row.parcel_count),
                      alone_count + of_parcels([](const auto&) { return 1.0; }));
            EXPECT_NEAR(*row.forbearance_m3,
                        alone_m3 + of_parcels([](const ParcelRow& parcel) { return *parcel.forbearance_m3; }), 1e-9);
            EXPECT_NEAR(*row.instream_gain_lps,
                        alone_lps + of_parcels([](const ParcelRow& parcel) { return *parcel.instream_gain_lps; }),
                        1e-9);
            EXPECT_NEAR(*row.open_added_m3, of_parcels([](const ParcelRow& parcel) {
                return is_candidate(parcel) ? *parcel.added_forbearance_m3 : 0.0;
            }),
                        1e-9);
        }
    }
}

}  // namespace
}  // namespace eaveshed
