#include "eaveshed/site/explain_roof.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/record/values.hpp"
#include "eaveshed/tile/evaluate.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

template <typename Row>
std::vector<Value> all_values(const Row& row) {
    std::vector<Value> values;
    values_of(row, values);
    return values;
}

// A hillside with a hollow and a steep bank, two dozen roofs, every third one on a parcel of its own.
class Explain : public ::testing::Test {
protected:
    Explain() : m_settings(two_options()), m_tile(november_rains(m_settings, {900, 400, 700, 1200, 500, 800})) {
        m_settings.tanks.push_back({.volume_m3 = 1.0, .diameter_m = 1.0, .height_m = 1.2, .count = 1, .cost = {}});
        m_settings.storage.reserve_m3 = 0.3;
        std::vector<TileSite> sites;
        for (std::uint64_t i = 0; i < 24; ++i) {
            const double x = 8.0 + 31.0 * static_cast<double>(i % 6);
            const double y = 10.0 + 47.0 * static_cast<double>(i / 6);
            TileSite& site = sites.emplace_back();
            site.roofs = {roof_at(x, y, i)};
            site.roofs.front().facts.eave_height_m = 2.2 + 0.3 * static_cast<double>(i % 7);
            if (i % 3 == 0) {
                site.parcel = parcel_with_measured_use();
                const double strip = i % 6 == 0 ? 6.5 : 9.0;  // the narrower one has no room for the largest storage
                site.parcel->outline = testing::rectangle(x - strip, y - strip, 10.0 + 2.0 * strip, 10.0 + 2.0 * strip);
            }
            if (i % 6 == 3) {
                site.parcel->facts.set_use_point(Point{x - 6.0, y + 3.0});
            }
        }
        m_tile = tile_with(std::move(sites), m_tile.climate);
        m_tile.terrain = testing::cells(kGround, [](Point p) {
            return ground_m(p) - 2.0 * std::exp(-std::hypot(p.x - 100.0, p.y - 90.0) / 20.0) +
                   3.0 / (1.0 + std::exp(-(p.y - 120.0) / 4.0));
        });
        m_tile.obstacles.push_back({.layer = 0, .setback_m = 6.0, .line = {{0.0, 75.0}, {200.0, 78.0}}, .area = {}});
    }

    RoofExplanation explained(std::size_t i) const {
        const TileSite& site = m_tile.sites.at(i);
        return explain_roof(site.roofs.front(), site.parcel ? &*site.parcel : nullptr, m_tile, m_settings);
    }
    template <typename Check>
    void for_every_roof(Check&& check) const {
        for (std::size_t i = 0; i < m_tile.sites.size(); ++i) {
            SCOPED_TRACE(i);
            check(explained(i));
        }
    }

    Settings m_settings;
    TileInput m_tile;
};

TEST_F(Explain, TheResultIsTheRowOfTheTile) {
    const TileRows rows = evaluate_tile(m_tile, m_settings);
    for (std::size_t i = 0; i < m_tile.sites.size(); ++i) {
        SCOPED_TRACE(i);
        const RoofExplanation found = explained(i);
        const RoofRows& row = rows.roofs.at(i);
        EXPECT_EQ(all_values(found.result.roof), all_values(row.roof));
        ASSERT_EQ(found.result.pad.has_value(), row.pad.has_value());
        if (row.pad) {
            EXPECT_EQ(all_values(*found.result.pad), all_values(*row.pad));
            EXPECT_EQ(all_values(found.siting->places.front().row), all_values(*row.pad));
            EXPECT_EQ(found.siting->places.front().row.place, row.pad->place);
        }
        EXPECT_EQ(found.options.at(found.chosen).nominal_m3, row.roof.storage_m3);
        EXPECT_EQ(found.options.at(found.chosen).tank.count, row.roof.tank_count);
    }
}

TEST_F(Explain, RemovedAndEligibleCellsTogetherAreAllCells) {
    std::size_t smaller = 0;
    for_every_roof([&](const RoofExplanation& found) {
        ASSERT_TRUE(found.siting);
        ASSERT_FALSE(found.siting->tried.empty());
        for (const ExplainedOption& tried : found.siting->tried) {
            EXPECT_EQ(std::accumulate(tried.removed.begin(), tried.removed.end(), tried.eligible),
                      found.siting->cells_within_reach);
        }
        EXPECT_EQ(found.siting->tried.front().option, *found.water->recommended);
        for (std::size_t i = 0; i + 1 < found.siting->tried.size(); ++i) {
            EXPECT_EQ(found.siting->tried[i].eligible, 0U);  // or no smaller one would have been tried
        }
        EXPECT_EQ(found.siting->tried.back().eligible > 0, found.result.pad.has_value());
        smaller += found.result.roof.flags.has(Flag::smaller_storage) ? 1U : 0U;
    });
    EXPECT_GT(smaller, 0U);
}

TEST_F(Explain, TheTermsOfThePadAddUpToItsRow) {
    std::size_t pads = 0;
    for_every_roof([&](const RoofExplanation& found) {
        const Tanks& tanks = found.siting->tried.back().tanks;
        const PadRules& rules = found.siting->rules;
        for (const ExplainedPad& place : found.siting->places) {
            ++pads;
            const PadRow& row = place.row;
            const double pad = *row.pad_elev_m;
            EXPECT_NEAR(*row.fill_margin_m,
                        found.eave->elev_m - pad - tanks.height_m - rules.fill_loss_m - place.fill_fall_m, 1e-9);
            EXPECT_NEAR(place.fill_fall_m, rules.fill_gradient * *row.fill_distance_m, 1e-12);
            EXPECT_NEAR(*row.static_head_m,
                        pad + rules.outlet_height_m + tanks.reserve_depth_m - *row.use_elev_m - rules.tap_height_m,
                        1e-9);
            const double rise = pad - *row.use_elev_m;
            EXPECT_NEAR(*row.pipe_m,
                        rules.pipe_slack * std::sqrt(place.pad.use_distance_m * place.pad.use_distance_m + rise * rise),
                        1e-9);
            EXPECT_NEAR(*row.friction_m, rules.friction_m_per_m * *row.pipe_m, 1e-12);
            EXPECT_NEAR(*row.pressure_kpa,
                        kKpaPerMetre * (*row.static_head_m - *row.friction_m) - rules.filter_loss_kpa, 1e-9);
            EXPECT_NEAR(*row.pressure_full_kpa - *row.pressure_kpa,
                        kKpaPerMetre * tanks.drawn_depth_m(rules.outlet_height_m), 1e-9);
            // cut 2 rho s, pad z - rho s; among several tanks another cell may be lower
            if (row.arrangement == Arrangement::single) {
                EXPECT_NEAR(*row.ground_elev_m - *row.cut_m / 2.0, pad, 1e-9);
            } else {
                EXPECT_LE(pad, *row.ground_elev_m);
            }
            EXPECT_NEAR(
                std::pow(place.pad.fill_sd_m, 2.0),
                std::pow(place.pad_sd_m, 2.0) + std::pow(rules.elevation_sd_m, 2.0) + std::pow(found.eave->sd_m, 2.0),
                1e-12);
            EXPECT_NEAR(place.pad.feed_sd_kpa, kKpaPerMetre * std::hypot(place.pad_sd_m, rules.elevation_sd_m), 1e-9);
            EXPECT_EQ(*row.fill_margin_m >= 0.0, row.fill != FillClass::lifted);
            EXPECT_EQ(row.fill == FillClass::sure, *row.fill_margin_m >= place.sure_margin_m);
        }
    });
    EXPECT_GT(pads, 40U);
}

TEST_F(Explain, TheWindowsTermsAddUp) {
    for_every_roof([&](const RoofExplanation& found) {
        const WindowRules& rules = found.siting->window_rules;
        const StorageOption& option = found.options.at(found.chosen);
        const double reserve_m = tanks_of(option, m_settings).reserve_depth_m;
        const double use = *found.result.use_point->use_elev_m;
        EXPECT_NEAR(*found.result.roof.window_low_elev_m,
                    use + rules.tap_height_m + found.siting->minimum_head_m - rules.outlet_height_m - reserve_m, 1e-9);
        EXPECT_NEAR(*found.result.roof.window_high_elev_m,
                    found.eave->elev_m - option.tank.height_m - rules.fill_loss_m, 1e-9);
        EXPECT_EQ(found.siting->window->low_elev_m, found.result.roof.window_low_elev_m);
        EXPECT_NEAR(found.eave->ground_elev_m + found.eave->height_m, *found.result.roof.eave_elev_m, 1e-9);
    });
}

TEST_F(Explain, FurtherPlacesLeaveTheGroundOfTheBetterOnesFree) {
    std::size_t further = 0;
    for_every_roof([&](const RoofExplanation& found) {
        const auto& places = found.siting->places;
        for (std::size_t i = 1; i < places.size(); ++i) {
            ++further;
            EXPECT_TRUE(places[i - 1].pad.rank.better_than(places[i].pad.rank));
            for (std::size_t k = 0; k < i; ++k) {
                const Point a = places[i].pad.place.metres;
                const Point b = places[k].pad.place.metres;
                EXPECT_GE(std::hypot(a.x - b.x, a.y - b.y), 2.0 * *places[i].row.pad_radius_m - 1e-9);
            }
        }
    });
    EXPECT_GT(further, 20U);
}

TEST_F(Explain, WaterShowsTheYearsAndTheTakeBehindTheRow) {
    const RoofExplanation found = explained(0);
    ASSERT_TRUE(found.water);
    EXPECT_EQ(found.water->record.counted.size(), 6U);
    EXPECT_EQ(found.water->take.demand.season_use_m3, 9.2);
    EXPECT_EQ(found.water->take.source, WaterSource::creek);
    EXPECT_TRUE(found.water->take.source_given);
    EXPECT_FALSE(explained(1).water->take.source_given);
}

TEST_F(Explain, RoofsSetAsideHaveNothingToExplainButTheirStatus) {
    m_tile.sites[0].roofs.front().status = Status::too_small;
    const RoofExplanation found = explained(0);
    EXPECT_EQ(found.result.roof.status, Status::too_small);
    EXPECT_FALSE(found.water);
    EXPECT_FALSE(found.siting);
}

TEST_F(Explain, WithoutUseOrElevationThereIsNoSiting) {
    m_tile.sites[0].parcel->facts.season_use_m3 = 0.0;
    EXPECT_EQ(explained(0).result.roof.delivery, Delivery::no_use);
    EXPECT_TRUE(explained(0).eave);
    EXPECT_FALSE(explained(0).siting);
    m_tile.sites[3].roofs.front().outline = {};
    EXPECT_EQ(explained(3).result.roof.no_pad_reason, PadReason::no_elevation);
    EXPECT_FALSE(explained(3).eave);
    m_tile.sites[6].parcel->outline = m_tile.sites[6].roofs.front().outline;
    const RoofExplanation no_garden = explained(6);
    EXPECT_EQ(no_garden.result.roof.no_pad_reason, PadReason::no_use_point);
    EXPECT_EQ(no_garden.siting->garden_cells, 0U);
    EXPECT_TRUE(no_garden.siting->tried.empty());
}

}  // namespace
}  // namespace eaveshed
