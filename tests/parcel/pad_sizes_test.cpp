// method.md 8.14, sizes at the pad: every row worked out again by plain calls, one option after the other.
#include "eaveshed/parcel/pad_sizes.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "eaveshed/parcel/explain_parcel.hpp"
#include "eaveshed/parcel/parcel_system.hpp"
#include "eaveshed/site/evaluate_roofs.hpp"
#include "eaveshed/siting/feed.hpp"
#include "eaveshed/storage/behaviour.hpp"
#include "eaveshed/tile/evaluate.hpp"
#include "site/tile_samples.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

// A slope with several roofs on one parcel, and a catalogue of low and tall, of one and of many.
class PadSizes : public ::testing::Test {
protected:
    PadSizes() : m_climate(november_rains(m_settings, {900, 400, 700, 1200, 500, 800, 650, 300, 1000, 720, 610})) {
        m_settings.tanks = {{.volume_m3 = 2.0, .diameter_m = 1.4, .height_m = 1.5, .count = 1, .cost = 700.0},
                            {.volume_m3 = 5.0, .diameter_m = 1.8, .height_m = 2.0, .count = 1, .cost = 1500.0},
                            {.volume_m3 = 6.0, .diameter_m = 1.5, .height_m = 3.6, .count = 1, .cost = 1300.0},
                            {.volume_m3 = 5.0, .diameter_m = 1.8, .height_m = 2.0, .count = 2, .cost = 2900.0},
                            {.volume_m3 = 5.0, .diameter_m = 1.8, .height_m = 2.0, .count = 4, .cost = 5600.0},
                            {.volume_m3 = 5.0, .diameter_m = 1.8, .height_m = 2.0, .count = 9, .cost = {}}};
        m_settings.cost = {.pad = 120.0, .pipe_per_m = 9.0, .pump = 640.0, .currency = ""};
        m_settings.siting.minimum_kpa = 1.0;
        m_parcel.outline = testing::rectangle(40.0, 60.0, 120.0, 90.0);
        m_parcel.facts.season_use_m3 = 30.0;
    }
    // A few roofs of any height beside each other.
    std::vector<TileRoof> some_roofs(testing::RandomNumbers& random) const {
        std::vector<TileRoof> roofs;
        const int count = random.whole(1, 4);
        for (int i = 0; i < count; ++i) {
            TileRoof roof = roof_at(50.0 + 22.0 * i, random.between(65.0, 130.0), static_cast<std::uint64_t>(i));
            roof.facts.eave_height_m = random.between(1.5, 5.0);
            roof.plan_area_m2 = random.between(20.0, 120.0);
            roofs.push_back(roof);
        }
        return roofs;
    }
    // What one store makes of the inflow of the connected roofs, wanted by the pad's own.
    double replaced_m3(const std::vector<ComputedRoof>& roofs, const TileRows& rows, std::size_t owner,
                       double usable_m3) const {
        WaterRecord record = roofs[owner].water.record;
        for (std::size_t i = 0; i < roofs.size(); ++i) {
            if (i != owner && rows.roofs[i].connected) {
                for (std::size_t step = 0; step < record.series.inflow_m3.size(); ++step) {
                    record.series.inflow_m3[step] += roofs[i].water.record.series.inflow_m3[step];
                }
            }
        }
        const auto years =
            run_store(m_climate.timeline(), record.counted, record.series.inflow_m3, record.series.demand_m3,
                      {usable_m3, m_settings.storage.reserve_m3}, StoreRule::after_spillage);
        return behaviour(years, m_settings.storage.reliability).forbearance_m3();
    }

    Settings m_settings;
    RoofClimate m_climate;
    TileParcel m_parcel = parcel_with_measured_use();
};

const ParcelOptionRow* row_of(const ParcelRows& parcel, const StorageOption& option) {
    const auto found = std::ranges::find_if(parcel.options, [&](const ParcelOptionRow& row) {
        return row.storage_m3 == option.nominal_m3 && row.tank_count == option.tank.count;
    });
    return found == parcel.options.end() ? nullptr : &*found;
}

TEST_F(PadSizes, AreThoseThatPlainCallsFind) {
    testing::RandomNumbers random(11);
    std::size_t standing = 0;
    std::size_t refused = 0;
    std::set<SizeOutcome> outcomes;
    std::set<Arrangement> arrangements;
    for (int world = 0; world < 60; ++world) {
        SCOPED_TRACE(world);
        m_parcel.facts.existing_storage_m3 =
            random.chance(0.5) ? std::optional(random.between(0.0, 12.0)) : std::nullopt;
        m_settings.siting.max_cut_m = random.chance(0.5) ? 0.6 : 0.2;
        m_settings.storage.reserve_m3 = random.chance(0.3) ? 1.0 : 0.0;
        const std::vector<TileRoof> roofs = some_roofs(random);
        const TileInput tile = tile_with({{m_parcel, roofs}}, m_climate);
        const TileRows rows = evaluate_tile(tile, m_settings);
        const ParcelRows& parcel = rows.parcels.at(0);
        if (!parcel.pad) {
            EXPECT_TRUE(parcel.options.empty());
            continue;
        }
        const TileRules rules = rules_from(m_settings);
        const std::vector<ComputedRoof> computed = evaluate_roofs(roofs, m_parcel, tile, rules);
        const auto owner = static_cast<std::size_t>(parcel.pad_roof);
        const SiteSurvey site(roofs[owner], &m_parcel, tile, rules, computed[owner].eave.value());
        const Cell cell = kGround.cell_at(parcel.pad->place).value();
        const auto pad_there = [&](const StorageOption& option) -> std::optional<Pad> {
            const auto pads = site.search().eligible(tanks_of(option, m_settings));
            const auto found = std::ranges::find(pads, cell, &Pad::cell);
            return found == pads.end() ? std::nullopt : std::optional(*found);
        };
        const auto chosen_option = std::ranges::find_if(rules.options, [&](const StorageOption& option) {
            return option.nominal_m3 == parcel.parcel.storage_m3 && option.tank.count == parcel.parcel.tank_count;
        });
        const int chosen_stage = pad_there(*chosen_option).value().rank.stage;
        const double existing_m3 = m_parcel.facts.existing_storage_m3.value_or(0.0);
        const double alone_m3 =
            existing_m3 > m_settings.storage.reserve_m3 ? replaced_m3(computed, rows, owner, existing_m3) : 0.0;
        std::size_t expected = 0;
        for (const StorageOption& option : rules.options) {
            const auto pad = pad_there(option);
            bool stands = pad && pad->rank.stage <= chosen_stage;
            for (std::size_t i = 0; stands && i < roofs.size(); ++i) {
                if (i != owner && rows.roofs[i].connected) {
                    const LocalFrame frame = tile.metric.frame_at(roofs[i].interior);
                    const double distance_m = PreparedArea(frame.to_metres(roofs[i].outline))
                                                  .distance_to_area_within(frame.to_metres(pad->place.crs), 60.0);
                    const double margin_m = fill_margin_m(computed[i].eave->elev_m, pad->pad_elev_m,
                                                          tanks_of(option, m_settings), distance_m, rules.pad);
                    stands = std::round(margin_m * 1e6) >= 0.0;
                }
            }
            const ParcelOptionRow* const row = row_of(parcel, option);
            ASSERT_EQ(row != nullptr, stands) << option.nominal_m3;
            if (!stands) {
                ++refused;
                continue;
            }
            ++expected;
            ++standing;
            arrangements.insert(pad->arrangement);
            EXPECT_EQ(row->arrangement, pad->arrangement);
            EXPECT_EQ(row->pressure_kpa, pad->feed.pressure_kpa);
            EXPECT_EQ(row->delivery, pad->rank.delivery());
            EXPECT_EQ(row->usable_m3, option.usable_m3);
            const double volume_m3 = replaced_m3(computed, rows, owner, option.usable_m3);
            EXPECT_NEAR(row->forbearance_m3.value(), volume_m3, 1e-9);
            EXPECT_NEAR(row->added_forbearance_m3.value(), std::max(0.0, volume_m3 - alone_m3), 1e-9);
            const double lps = 1000.0 / (86400.0 * 92.0);
            EXPECT_NEAR(row->instream_gain_lps.value(), *row->forbearance_m3 * lps, 1e-12);
            EXPECT_NEAR(row->added_gain_lps.value(), *row->added_forbearance_m3 * lps, 1e-12);
            ASSERT_EQ(row->cost.has_value(), option.tank.cost.has_value());
            if (row->cost) {
                const double new_m3 = std::max(0.0, option.nominal_m3 - existing_m3);
                const double row_m = pad->arrangement == Arrangement::row
                                         ? (option.tank.count - 1) * (option.tank.diameter_m + 0.3)
                                         : 0.0;
                const bool pump = *row->delivery != Delivery::gravity && *row->delivery != Delivery::low_pressure;
                EXPECT_NEAR(*row->cost,
                            *option.tank.cost * new_m3 / option.nominal_m3 +
                                120.0 * std::ceil(new_m3 / option.tank.volume_m3 - 1e-9) +
                                9.0 * (*parcel.parcel.fill_distance_m + pad->feed.pipe_m + row_m) +
                                (pump ? 640.0 : 0.0),
                            1e-9);
            }
        }
        EXPECT_EQ(parcel.options.size(), expected);
        for (const SizeAtPad& size : explain_parcel(m_parcel, roofs, tile, m_settings).sizes) {
            outcomes.insert(size.outcome);
            EXPECT_EQ(size.outcome == SizeOutcome::stands, row_of(parcel, rules.options.at(size.option)) != nullptr);
            EXPECT_EQ(size.reason.has_value(), size.outcome == SizeOutcome::no_place);
            EXPECT_EQ(size.roof.has_value(), size.outcome == SizeOutcome::roof);
        }
    }
    EXPECT_GT(standing, 30U);
    EXPECT_GT(refused, 30U);
    EXPECT_EQ(outcomes.size(), 4U);
    EXPECT_GE(arrangements.size(), 2U);
}

TEST_F(PadSizes, TheChosenOneHasTheValuesOfTheParcelsRow) {
    testing::RandomNumbers random(12);
    std::size_t pads = 0;
    for (int world = 0; world < 60; ++world) {
        SCOPED_TRACE(world);
        m_parcel.facts.existing_storage_m3 = random.between(-3.0, 12.0);
        const ParcelRows parcel =
            evaluate_tile(tile_with({{m_parcel, some_roofs(random)}}, m_climate), m_settings).parcels.at(0);
        if (!parcel.pad) {
            continue;
        }
        ++pads;
        ASSERT_EQ(std::ranges::count(parcel.options, true, &ParcelOptionRow::chosen), 1);
        const ParcelOptionRow& row = *std::ranges::find(parcel.options, true, &ParcelOptionRow::chosen);
        const ParcelRow& own = parcel.parcel;
        EXPECT_EQ(row.storage_m3, own.storage_m3);
        EXPECT_EQ(row.tank_count, own.tank_count);
        EXPECT_EQ(row.usable_m3, own.usable_m3);
        EXPECT_EQ(row.arrangement, parcel.pad->arrangement);
        EXPECT_EQ(row.forbearance_m3, own.forbearance_m3);
        EXPECT_EQ(row.added_forbearance_m3, own.added_forbearance_m3);
        EXPECT_EQ(row.instream_gain_lps, own.instream_gain_lps);
        EXPECT_EQ(row.added_gain_lps, own.added_gain_lps);
        EXPECT_EQ(row.pressure_kpa, own.pressure_kpa);
        EXPECT_EQ(row.delivery, own.delivery);
        EXPECT_EQ(row.cost, own.cost);
        EXPECT_TRUE(std::ranges::is_sorted(parcel.options, {}, &ParcelOptionRow::storage_m3));
    }
    EXPECT_GT(pads, 30U);
}

TEST_F(PadSizes, MoreThatIsThereNeverAddsMoreAndNeverCostsMore) {
    testing::RandomNumbers random(13);
    for (int world = 0; world < 15; ++world) {
        SCOPED_TRACE(world);
        const std::vector<TileRoof> roofs = some_roofs(random);
        std::vector<ParcelOptionRow> before;
        for (double existing_m3 = 0.0; existing_m3 <= 24.0; existing_m3 += 4.0) {
            m_parcel.facts.existing_storage_m3 = existing_m3;
            const ParcelRows parcel = evaluate_tile(tile_with({{m_parcel, roofs}}, m_climate), m_settings).parcels[0];
            if (existing_m3 > 0.0) {
                ASSERT_EQ(parcel.options.size(), before.size());
            }
            for (std::size_t i = 0; i < before.size(); ++i) {
                EXPECT_EQ(parcel.options[i].forbearance_m3, before[i].forbearance_m3);
                EXPECT_LE(parcel.options[i].added_forbearance_m3, before[i].added_forbearance_m3);
                EXPECT_LE(parcel.options[i].added_gain_lps, before[i].added_gain_lps);
                EXPECT_LE(parcel.options[i].cost, before[i].cost);
            }
            before = parcel.options;
        }
    }
}

// A measured place: what a visit settles removes no size from it.
TEST_F(PadSizes, AtAMeasuredPlaceStandWhateverAVisitSettles) {
    TileRoof roof = roof_at(100, 100);
    roof.facts.eave_height_m = 8.0;
    roof.facts.set_pad_place({roof.interior.x, roof.interior.y - 7.0});  // nearer than the setback
    const ParcelRows parcel = evaluate_tile(tile_with({{m_parcel, {roof}}}, m_climate), m_settings).parcels.at(0);
    ASSERT_TRUE(parcel.pad);
    EXPECT_EQ(parcel.pad->waived_rule, PadReason::building_setback);
    EXPECT_EQ(parcel.options.size(), m_settings.tanks.size());
}

}  // namespace
}  // namespace eaveshed
