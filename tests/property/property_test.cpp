#include "eaveshed/property/property.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "eaveshed/shape/measure.hpp"
#include "property/samples.hpp"

namespace eaveshed {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

// Whether something is to be looked at on site that an answer to the question would settle.
bool is_checked(const Property& property, Question question) {
    return std::ranges::find(property.checks, question, &SiteCheck::question) != property.checks.end();
}

std::vector<std::string> checks_in(const Property& property) {
    std::vector<std::string> texts;
    for (const SiteCheck& check : property.checks) {
        EXPECT_FALSE(check.text.empty());
        texts.push_back(check.text);
    }
    return texts;
}

void expect_between(const std::optional<RangedValue>& value) {
    ASSERT_TRUE(value);
    for (const auto& range : {value->drawn, value->by_answer}) {
        if (range) {
            EXPECT_LE(range->low, value->value + 1e-9);
            EXPECT_GE(range->high, value->value - 1e-9);
        }
    }
}

TEST(Property, SaysOfItsRoofsWhatTheRowsSay) {
    SampleProperty sample;
    const Property property = sample.made();
    ASSERT_EQ(property.roofs.size(), 2U);
    EXPECT_EQ(property.parcel_id, "P1");
    for (std::size_t i = 0; i < 2; ++i) {
        const PropertyRoof& roof = property.roofs[i];
        EXPECT_EQ(roof.roof_id, sample.ids[i]);
        EXPECT_EQ(roof.row.roof_id, sample.ids[i]);
        EXPECT_EQ(roof.connected, sample.found.roofs[i].connected);
        EXPECT_NEAR(*roof.eave_height_m, *roof.row.eave_elev_m - *roof.row.ground_elev_m, 1e-12);
    }
    EXPECT_TRUE(property.roofs[property.pad_roof].connected);
    EXPECT_EQ(property.roofs[property.pad_roof].fill_distance_m, property.pad->row.fill_distance_m);
}

TEST(Property, AsksForFireWaterOnlyWhereStoreysAreKnown) {
    SampleProperty sample;
    const Property property = sample.made();
    EXPECT_FALSE(property.roofs[0].fire_water);
    ASSERT_TRUE(property.roofs[1].fire_water);
    // 100 m2 x 2 x 2.8 m = 560 m3 = 19,776 ft3; / 7 x 1.5 = 4,238 gal = 16.04 m3, with exposures 24.06
    EXPECT_NEAR(property.roofs[1].fire_water->without_exposure_m3, 16.04, 0.01);
    EXPECT_NEAR(property.roofs[1].fire_water->with_exposure_m3, 24.06, 0.01);
}

TEST(Property, SizesLeaveTheLessUnmetTheLargerTheyAre) {
    SampleProperty sample;
    const Property property = sample.made();
    ASSERT_FALSE(property.sizes.empty());
    std::vector<double> replaced_m3;  // in the mean, of those that stand
    for (const SizeAtPad& size : sample.found.sizes) {
        if (size.outcome == SizeOutcome::stands) {
            replaced_m3.push_back(sample.found.curve.at(size.option).behaviour.replaced_mean_m3);
        }
    }
    ASSERT_EQ(replaced_m3.size(), property.sizes.size());
    double last = 1e9;
    std::size_t chosen = 0;
    for (std::size_t i = 0; i < property.sizes.size(); ++i) {
        const PropertySize& size = property.sizes[i];
        EXPECT_NEAR(size.unmet_mean_m3, std::max(0.0, *property.row.demand_m3 - replaced_m3[i]), 1e-12);
        EXPECT_LE(size.unmet_mean_m3, last);
        EXPECT_GE(*size.unmet_dependable_m3, size.unmet_mean_m3 - 1e-9);
        last = size.unmet_mean_m3;
        if (size.row.chosen) {
            ++chosen;
            EXPECT_EQ(replaced_m3[i], *property.row.replaced_mean_m3);
            EXPECT_EQ(*size.row.forbearance_m3, *property.row.forbearance_m3);
        }
    }
    EXPECT_EQ(chosen, 1U);
}

// method.md 5.14.
TEST(Property, UnmetIsAQuantileOfTheSeasonsAndNoDifferenceOfVolumes) {
    SampleProperty sample;
    const Property property = sample.made();
    ASSERT_FALSE(property.sizes.empty());
    for (std::size_t i = 0; i < property.sizes.size(); ++i) {
        const auto standing = std::ranges::find_if(sample.found.sizes, [&](const SizeAtPad& size) {
            return size.outcome == SizeOutcome::stands &&
                   std::abs(sample.found.options.at(size.option).nominal_m3 - *property.sizes[i].row.storage_m3) < 1e-9;
        });
        ASSERT_NE(standing, sample.found.sizes.end());
        const auto& record = sample.found.record;
        const auto years =
            run_store(sample.climate.timeline(), record.counted, record.series.inflow_m3, record.series.demand_m3,
                      {sample.found.options.at(standing->option).usable_m3, 0.0}, StoreRule::after_spillage);
        std::vector<double> unmet;
        for (const YearOfStore& year : years) {
            unmet.push_back(year.demand_m3 - year.replaced_m3);
        }
        std::ranges::sort(unmet);
        // Six seasons: rank 0.8 x 7 = 5.6.
        EXPECT_NEAR(*property.sizes[i].unmet_dependable_m3, unmet[4] + 0.6 * (unmet[5] - unmet[4]), 1e-9);
    }
}

TEST(Property, NothingIsUnmetWhereEverySeasonIsMetHoweverTheSeasonsDiffer) {
    SampleProperty sample;
    // Plenty of rain every winter, and a garden whose wish differs from summer to summer: only the tanks' size limits.
    sample.climate = november_rains(sample.settings, {2000, 2100, 2300, 2500, 2200, 2400});
    sample.parcel.facts.season_use_m3 = 0.5;
    const Property property = sample.made();
    ASSERT_FALSE(property.sizes.empty());
    EXPECT_EQ(*property.row.season_reliability, 1.0);
    std::size_t met = 0;
    for (const PropertySize& size : property.sizes) {
        if (size.row.chosen) {
            EXPECT_NEAR(*size.unmet_dependable_m3, 0.0, 1e-9);
            ++met;
        }
    }
    EXPECT_EQ(met, 1U);
    EXPECT_GT(*property.row.demand_m3, 0.0);  // there was something to meet
}

TEST(Property, RangesHoldWhatTheyAreAbout) {
    SampleProperty sample;
    const Property property = sample.made();
    const PropertyHeadlines& headlines = property.headlines;
    expect_between(headlines.stream_gain_lps);
    expect_between(headlines.harvest_m3);
    expect_between(headlines.pressure_kpa);
    expect_between(headlines.fill_margin_m);
    ASSERT_TRUE(headlines.forbearance_m3 && headlines.forbearance_m3->drawn);
    EXPECT_LE(headlines.forbearance_m3->drawn->low, headlines.forbearance_m3->drawn->high);
    // 1.2816 standard deviations of the logarithm, 0.15: exp(0.19223) = 1.21196
    EXPECT_NEAR(headlines.harvest_m3->drawn->high / headlines.harvest_m3->value, 1.21196, 1e-5);
    EXPECT_NEAR(headlines.pressure_kpa->drawn->high - headlines.pressure_kpa->value,
                1.2815515655446004 * sample.found.pad->pad.feed_sd_kpa, 1e-9);
}

TEST(Property, RangesByAnswersAreThoseOfItsQuestions) {
    SampleProperty sample;
    sample.parcel.facts.water_source.reset();
    const Property property = sample.made();
    ASSERT_FALSE(property.questions.empty());
    EXPECT_EQ(property.questions.front().question, Question::water_source);
    const auto& gain = property.headlines.stream_gain_lps->by_answer;
    ASSERT_TRUE(gain);
    EXPECT_EQ(gain->low, 0.0);                                      // mains
    EXPECT_NEAR(gain->high, *property.row.forbearance_lps, 1e-12);  // the creek
    EXPECT_TRUE(is_checked(property, Question::water_source));
}

TEST(Property, ChecksFollowFromWhatIsNotKnown) {
    SampleProperty sample;
    EXPECT_TRUE(is_checked(sample.made(), Question::use_point));
    EXPECT_THAT(checks_in(sample.made()), Contains(HasSubstr("what lies buried")));
    sample.parcel.facts.set_use_point({60.0, 105.0});
    EXPECT_FALSE(is_checked(sample.made(), Question::use_point));
    EXPECT_FALSE(is_checked(sample.made(), Question::material));
    sample.roofs[0].facts.material.reset();
    EXPECT_TRUE(is_checked(sample.made(), Question::material));
}

TEST(Property, NotesAreOfItsOwnPlace) {
    SampleProperty sample;
    const Property property = sample.made();
    EXPECT_FALSE(property.notes.freezing);
    EXPECT_FALSE(property.notes.leaves);
    EXPECT_FALSE(property.notes.calendar.empty());
    EXPECT_FALSE(property_cautions().empty());
    // The storm of all connected roofs, 0.92 x 75 x 100 / 3600 L/s each.
    const double roofs = static_cast<double>(sample.found.members.size());
    EXPECT_NEAR(property.pad->row.overflow_peak_lps.value(), roofs * 1.916667, 1e-5);
    // A line of more than 12 m, or one that the ground crosses, stays full; a dry one loses nothing of this kind.
    EXPECT_EQ(property.pad->wet_line_loss_m.has_value(), property.pad->row.fill_line != FillLine::dry);
    sample.settings.notes.dry_line_max_m = 0.0;
    const Property wet = sample.made();
    EXPECT_EQ(wet.pad->row.fill_line, FillLine::wet);
    ASSERT_TRUE(wet.pad->wet_line_loss_m);
    EXPECT_GT(*wet.pad->wet_line_loss_m, 0.0);
    sample.change_tile = [](TileInput& tile) {
        tile.canopy = testing::cells(kGround, [](Point) { return 9.0; });
        for (TileSite& site : tile.sites) {
            for (TileRoof& roof : site.roofs) {
                roof.to_canopy = PlaneMap{};
            }
        }
    };
    for (TileRoof& roof : sample.roofs) {
        roof.to_canopy = PlaneMap{};
    }
    const Property wooded = sample.made();
    EXPECT_TRUE(wooded.notes.leaves);
    EXPECT_GT(wooded.notes.calendar.size(), property.notes.calendar.size());
    EXPECT_THAT(checks_in(wooded), Contains(HasSubstr("gutters and screens")));
    EXPECT_THAT(checks_in(wooded), Contains(HasSubstr("over the pad")));
}

TEST(PropertyMap, HasEverythingInMetresAroundThePad) {
    SampleProperty sample;
    const Property property = sample.made();
    ASSERT_TRUE(property.map);
    const PropertyMap& map = *property.map;
    ASSERT_TRUE(map.pad);
    EXPECT_NEAR(std::hypot(map.pad->x, map.pad->y), 0.0, 1e-9);
    EXPECT_EQ(map.roofs.size(), 2U);
    EXPECT_TRUE(map.others.empty());
    EXPECT_NEAR(planar_area(map.roofs[0]), 100.0, 1e-9);
    EXPECT_EQ(map.tank_radius_m, *property.pad->row.pad_radius_m);
    EXPECT_EQ(map.tanks.size(), property.pad->tanks.size());
    EXPECT_EQ(map.fill_lines.size(), sample.found.members.size());
    EXPECT_EQ(map.garden.size() * static_cast<std::size_t>(std::round(map.garden_cell_m * map.garden_cell_m)),
              static_cast<std::size_t>(std::round(*property.pad->row.garden_m2)));
    for (const GardenSpot& spot : map.garden) {
        EXPECT_NEAR(spot.elev_m, ground_m(map.frame.from_metres(spot.middle)), 1e-9);
    }
    const ElevationLattice& ground = map.ground;
    ASSERT_EQ(ground.elev_m.size(), ground.rows * ground.cols);
    EXPECT_LE(std::max(ground.rows, ground.cols), kMapNodes);
    for (std::size_t row = 0; row < ground.rows; row += 7) {
        for (std::size_t col = 0; col < ground.cols; col += 7) {
            const Point node{ground.north_west.x + static_cast<double>(col) * ground.step_m,
                             ground.north_west.y - static_cast<double>(row) * ground.step_m};
            const double elev = ground.at(row, col);
            if (!std::isnan(elev) && std::abs(map.frame.from_metres(node).x - 100.0) < 95.0 &&
                std::abs(map.frame.from_metres(node).y - 100.0) < 95.0) {
                EXPECT_NEAR(elev, ground_m(map.frame.from_metres(node)), 1e-9);
            }
        }
    }
}

TEST(PropertyMap, HasStreamsAndExclusionsApart) {
    SampleProperty sample;
    sample.change_tile = [](TileInput& tile) {
        tile.obstacles.push_back({.layer = 0, .setback_m = 1.0, .line = {{60.0, 60.0}, {60.0, 80.0}}, .area = {}});
        tile.obstacles.push_back({.layer = 1, .setback_m = 1.0, .line = {{70.0, 60.0}, {70.0, 80.0}}, .area = {}});
        tile.obstacles.push_back({.layer = 2, .setback_m = 1.0, .line = {{65.0, 65.0}, {65.0, 65.0}}, .area = {}});
        tile.obstacles.push_back(
            {.layer = 2, .setback_m = 1.0, .line = {}, .area = testing::rectangle(50.0, 62.0, 4.0, 4.0)});
        tile.obstacles.push_back({.layer = 1, .setback_m = 1.0, .line = {{9e5, 0.0}, {9e5, 9.0}}, .area = {}});
    };
    const Property property = sample.made();
    ASSERT_TRUE(property.map);
    EXPECT_EQ(property.map->streams.size(), 1U);
    EXPECT_EQ(property.map->exclusion_lines.size(), 2U);  // what lies far off is none
    EXPECT_EQ(property.map->exclusions.size(), 1U);
}

TEST(Property, WithoutAPadOrARoofSaysWhatIsKnownAndNoMore) {
    SampleProperty sample;
    sample.settings.siting.max_slope_pct = 0.01;  // no ground is flat enough
    Property property = sample.made();
    EXPECT_FALSE(property.pad || property.section);
    EXPECT_TRUE(property.water);  // of the storage all the same
    EXPECT_TRUE(property.map);
    EXPECT_THAT(property.sizes, IsEmpty());
    EXPECT_THAT(property.notes.calendar, IsEmpty());
    EXPECT_FALSE(property.headlines.pressure_kpa);
    sample.roofs[0].status = sample.roofs[1].status = Status::too_small;
    property = sample.made();
    EXPECT_FALSE(property.pad || property.water || property.hand_sum || property.headlines.forbearance_m3);
    EXPECT_THAT(property.checks, IsEmpty());
    // A parcel without any roof has no tile.
    const std::vector<std::string> none;
    const std::vector<TileRoof> no_roofs;
    const ParcelExplanation nothing;
    const PropertyTask task{.parcel_id = sample.id,
                            .roof_ids = none,
                            .explanation = nothing,
                            .ranked = nothing.result.parcel,
                            .parcel = nullptr,
                            .roofs = no_roofs,
                            .tile = nullptr,
                            .settings = sample.settings};
    EXPECT_THAT(property_ground_needed(task), IsEmpty());
    EXPECT_FALSE(property_of(task).map);
}

}  // namespace
}  // namespace eaveshed
