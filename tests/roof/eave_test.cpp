#include "eaveshed/roof/eave.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "support/terrain_cells.hpp"

namespace eaveshed {
namespace {

using testing::cells;
using testing::rectangle;

constexpr Ground kGround{.low_m = 98.0, .mid_m = 100.0, .high_m = 103.0, .gaps = false};

EaveRules rules() {
    return {.ground = EaveFrom::mid,
            .surface_is_height = false,
            .storey_height_m = 2.8,
            .standard_height_m = 2.5,
            .sd_field_m = 0.1,
            .sd_surface_m = 0.3,
            .sd_storeys_m = 0.5,
            .sd_standard_m = 0.6};
}

void expect_eave(const EaveData& data, const EaveRules& by, double elev_m, double sd_m, EaveBasis basis) {
    const Eave eave = eave_of(kGround, data, by);
    EXPECT_NEAR(eave.elev_m, elev_m, 1e-12);
    EXPECT_EQ(eave.sd_m, sd_m);
    EXPECT_EQ(eave.basis, basis);
}

// method.md 1.10: the first that applies.
TEST(Eave, TheFirstRuleThatAppliesStands) {
    const EaveData all{.eave_height_m = 3.2, .surface_m = 104.0, .storeys = 2.0};
    expect_eave(all, rules(), 103.2, 0.1, EaveBasis::field);
    expect_eave({std::nullopt, all.surface_m, all.storeys}, rules(), 104.0, 0.3, EaveBasis::surface);
    expect_eave({std::nullopt, std::nullopt, all.storeys}, rules(), 105.6, 0.5, EaveBasis::storeys);
    expect_eave({}, rules(), 102.5, 0.6, EaveBasis::standard_height);
}

// method.md 9.3: what was measured wins over any input.
TEST(Eave, AMeasuredElevationWinsOverEverythingAndCountsFromTheMedianGround) {
    const EaveData all{.eave_height_m = 3.2, .surface_m = 104.0, .storeys = 2.0, .eave_elev_m = 102.25};
    expect_eave(all, rules(), 102.25, 0.1, EaveBasis::elevation);
    const Eave eave = eave_of(kGround, all, rules());
    EXPECT_EQ(eave.ground_elev_m, kGround.mid_m);
    EXPECT_NEAR(eave.height_m, 102.25 - kGround.mid_m, 1e-12);
}

TEST(Eave, NullAndNonPositiveValuesPass) {
    for (const double nothing : {0.0, -1.0}) {
        expect_eave({nothing, std::nullopt, 1.0}, rules(), 102.8, 0.5, EaveBasis::storeys);
        expect_eave({nothing, std::nullopt, nothing}, rules(), 102.5, 0.6, EaveBasis::standard_height);
    }
    expect_eave({1e-3, std::nullopt, 1.0}, rules(), 100.001, 0.1, EaveBasis::field);
    expect_eave({std::nullopt, std::nullopt, 0.5}, rules(), 101.4, 0.5, EaveBasis::storeys);
}

TEST(Eave, ASurfaceOfElevationsCountsAboveOneAndAHalfMetres) {
    expect_eave({std::nullopt, 101.5, std::nullopt}, rules(), 102.5, 0.6, EaveBasis::standard_height);  // not more
    expect_eave({std::nullopt, std::nextafter(101.5, 200.0), std::nullopt}, rules(), 101.5, 0.3, EaveBasis::surface);
    expect_eave({std::nullopt, 90.0, 1.0}, rules(), 102.8, 0.5, EaveBasis::storeys);
}

TEST(Eave, ASurfaceOfHeightsCountsAboveOneAndAHalfMetres) {
    EaveRules heights = rules();
    heights.surface_is_height = true;
    expect_eave({std::nullopt, 1.5, std::nullopt}, heights, 102.5, 0.6, EaveBasis::standard_height);
    expect_eave({std::nullopt, std::nextafter(1.5, 2.0), std::nullopt}, heights, 101.5, 0.3, EaveBasis::surface);
    expect_eave({std::nullopt, 6.0, std::nullopt}, heights, 106.0, 0.3, EaveBasis::surface);
}

TEST(Eave, HeightsAreAddedToTheGroundThatIsAskedFor) {
    for (const auto& [from, base] : {std::pair{EaveFrom::low, 98.0}, {EaveFrom::mid, 100.0}, {EaveFrom::high, 103.0}}) {
        EaveRules by = rules();
        by.ground = from;
        expect_eave({3.0, std::nullopt, std::nullopt}, by, base + 3.0, 0.1, EaveBasis::field);
        expect_eave({std::nullopt, std::nullopt, 2.0}, by, base + 5.6, 0.5, EaveBasis::storeys);
        expect_eave({}, by, base + 2.5, 0.6, EaveBasis::standard_height);
        // An elevation is where it is; whether it shows a roof is judged from the middle ground.
        expect_eave({std::nullopt, 101.6, std::nullopt}, by, 101.6, 0.3, EaveBasis::surface);
        by.surface_is_height = true;
        expect_eave({std::nullopt, 4.0, std::nullopt}, by, base + 4.0, 0.3, EaveBasis::surface);
    }
}

const Grid kGrid{.x_min = 0.0, .y_max = 40.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 40, .cols = 40};

// Nearest rank: element ceil(n / 10) of n sorted values, counted from 1.
TEST(SurfacePercentile, IsTheNearestRankTenth) {
    // Values by column: 20, 21, 22, ... over one row of n cells.
    const auto surface = cells(kGrid, [](Point p) { return std::floor(p.x); });
    for (const auto& [n, expected] : {std::pair{1, 5.0}, {9, 5.0}, {10, 5.0}, {11, 6.0}, {20, 6.0}, {21, 7.0}}) {
        EXPECT_EQ(surface_percentile(rectangle(5, 10, n, 1), surface), expected) << n;
    }
}

TEST(SurfacePercentile, CellsCountByTheirCentres) {
    const auto surface = cells(kGrid, [](Point p) { return std::floor(p.x); });
    EXPECT_EQ(surface_percentile(rectangle(5.4, 10, 5, 1), surface), 5.0);  // centre 5.5 is inside
    EXPECT_EQ(surface_percentile(rectangle(5.6, 10, 5, 1), surface), 6.0);
    EXPECT_EQ(surface_percentile(rectangle(5.6, 10, 0.3, 1), surface), std::nullopt);  // no centre
    MultiPolygon with_hole = rectangle(5, 10, 10, 3);
    with_hole.parts.front().holes.push_back(rectangle(5.2, 10.2, 4.5, 2.6).parts.front().outer);
    // Columns 5..9 are in the hole by their centres in all three rows.
    EXPECT_EQ(surface_percentile(with_hole, surface), 10.0);
}

TEST(SurfacePercentile, MissingCellsAreLeftOut) {
    const auto surface =
        cells(kGrid, [](Point p) { return p.x < 8 ? std::numeric_limits<double>::quiet_NaN() : std::floor(p.x); });
    EXPECT_EQ(surface_percentile(rectangle(5, 10, 10, 1), surface), 8.0);
    EXPECT_EQ(surface_percentile(rectangle(2, 10, 5, 1), surface), std::nullopt);
    EXPECT_EQ(surface_percentile(rectangle(200, 10, 5, 1), surface), std::nullopt);
    EXPECT_EQ(surface_percentile({}, surface), std::nullopt);
}

}  // namespace
}  // namespace eaveshed
