#include "eaveshed/parcel/explain_parcel.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "eaveshed/record/values.hpp"
#include "eaveshed/tile/evaluate.hpp"
#include "site/tile_samples.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

template <typename Row>
std::vector<Value> all_values(const Row& row) {
    std::vector<Value> values;
    values_of(row, values);
    return values;
}

// A slope with several roofs on one parcel: some stand well for each other, some do not.
class ExplainParcel : public ::testing::Test {
protected:
    ExplainParcel()
        : m_settings(two_options()), m_climate(november_rains(m_settings, {900, 400, 700, 1200, 500, 800})) {
        m_settings.tanks.push_back({.volume_m3 = 1.0, .diameter_m = 1.0, .height_m = 1.2, .count = 1, .cost = 90.0});
        m_settings.siting.minimum_kpa = 1.0;
        m_parcel.outline = testing::rectangle(40.0, 60.0, 120.0, 90.0);
        m_parcel.facts.season_use_m3 = 18.4;
    }
    // A few roofs of any height beside each other.
    std::vector<TileRoof> some_roofs(testing::RandomNumbers& random) const {
        std::vector<TileRoof> roofs;
        const int count = random.whole(1, 5);
        for (int i = 0; i < count; ++i) {
            TileRoof roof = roof_at(50.0 + 20.0 * i, random.between(65.0, 130.0), static_cast<std::uint64_t>(i));
            roof.facts.eave_height_m = random.between(0.3, 5.0);
            roof.plan_area_m2 = random.between(20.0, 120.0);
            roof.status = random.chance(0.1) ? Status::too_small : Status::ok;
            roofs.push_back(roof);
        }
        return roofs;
    }

    Settings m_settings;
    RoofClimate m_climate;
    TileParcel m_parcel = parcel_with_measured_use();
};

TEST_F(ExplainParcel, IsTheRowOfTheTileAndWhyItsPadWasChosen) {
    testing::RandomNumbers random(4);
    std::size_t outcomes = 0;
    std::size_t left_out = 0;
    for (int world = 0; world < 60; ++world) {
        SCOPED_TRACE(world);
        const std::vector<TileRoof> roofs = some_roofs(random);
        const TileInput tile = tile_with({{m_parcel, roofs}}, m_climate);
        const TileRows rows = evaluate_tile(tile, m_settings);
        const ParcelExplanation found = explain_parcel(m_parcel, roofs, tile, m_settings);
        const ParcelRows& parcel = rows.parcels.at(0);
        EXPECT_EQ(all_values(found.result.parcel), all_values(parcel.parcel));
        ASSERT_EQ(found.result.pad.has_value(), parcel.pad.has_value());
        ASSERT_EQ(found.roofs.size(), roofs.size());
        for (std::size_t i = 0; i < roofs.size(); ++i) {
            EXPECT_EQ(found.roofs[i].connected, rows.roofs[i].connected);
            left_out += parcel.pad && rows.roofs[i].roof.status == Status::ok && !rows.roofs[i].connected ? 1U : 0U;
        }
        if (!parcel.pad) {
            EXPECT_TRUE(found.candidates.empty());
            continue;
        }
        EXPECT_EQ(all_values(*found.result.pad), all_values(*parcel.pad));
        const auto chosen = std::ranges::find(found.candidates, CandidateOutcome::chosen, &ParcelCandidate::outcome);
        ASSERT_NE(chosen, found.candidates.end());
        EXPECT_EQ(std::ranges::count(found.candidates, CandidateOutcome::chosen, &ParcelCandidate::outcome), 1);
        EXPECT_EQ(chosen->forbearance_m3, parcel.parcel.forbearance_m3);
        EXPECT_EQ(chosen->pressure_kpa, parcel.parcel.pressure_kpa);
        EXPECT_EQ(found.options.at(chosen->option).nominal_m3, parcel.parcel.storage_m3);
        EXPECT_EQ(found.curve.at(found.chosen).behaviour.forbearance_m3(), parcel.parcel.forbearance_m3);
        for (std::size_t i = 0; i < roofs.size(); ++i) {
            EXPECT_EQ(std::ranges::find(chosen->members, i) != chosen->members.end(), found.roofs[i].connected);
        }
        for (const ParcelCandidate& other : found.candidates) {
            outcomes |= std::size_t{1} << static_cast<unsigned>(other.outcome);
            switch (other.outcome) {
                case CandidateOutcome::stage: EXPECT_GT(other.stage, chosen->stage); break;
                case CandidateOutcome::lift: EXPECT_GT(other.lift_steps, chosen->lift_steps); break;
                case CandidateOutcome::feed: EXPECT_GT(other.feed, chosen->feed); break;
                case CandidateOutcome::volume: EXPECT_LT(other.forbearance_m3, chosen->forbearance_m3); break;
                case CandidateOutcome::pressure: EXPECT_LT(other.pressure_kpa, chosen->pressure_kpa); break;
                default: break;
            }
        }
    }
    EXPECT_GE(outcomes, 0b1011U);  // chosen, by stage, and by volume at least
    EXPECT_GT(left_out, 10U);
}

TEST_F(ExplainParcel, SaysHowEveryRoofStandsToThePad) {
    TileRoof low = roof_at(86, 100, 1);
    low.facts.eave_height_m = 0.4;
    const TileRoof far = roof_at(50, 62, 2);
    m_settings.siting.max_fill_m = 30.0;
    const std::vector<TileRoof> roofs{roof_at(100, 100, 0), low, far};
    const ParcelExplanation found =
        explain_parcel(m_parcel, roofs, tile_with({{m_parcel, roofs}}, m_climate), m_settings);
    ASSERT_EQ(found.at_pad.size(), 3U);
    ASSERT_EQ(found.result.pad_roof, 0U);
    EXPECT_EQ(found.at_pad[0].fill_distance_m, found.result.pad->fill_distance_m);
    EXPECT_EQ(found.at_pad[0].fill_margin_m, found.result.pad->fill_margin_m);
    EXPECT_LT(found.at_pad[1].fill_margin_m.value(), 0.0);
    EXPECT_EQ(found.at_pad[2].fill_distance_m, std::nullopt);
}

}  // namespace
}  // namespace eaveshed
