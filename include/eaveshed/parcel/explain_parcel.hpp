// One parcel's row with everything that led to it: what parcel_system.hpp computes and forgets.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "eaveshed/parcel/pad_sizes.hpp"
#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/roof/eave.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/site/place.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/site/take.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "eaveshed/site/water.hpp"
#include "eaveshed/siting/choice.hpp"
#include "eaveshed/siting/garden.hpp"
#include "eaveshed/siting/stand.hpp"

namespace eaveshed {

// Why another pad of the parcel was taken; `chosen` for the one that was.
enum class CandidateOutcome : std::uint8_t { chosen, stage, lift, feed, volume, pressure, order, impossible };

// The pad of one of the roofs, as a place for the storage that roofs fill together. Roofs and options are positions in
// ParcelExplanation.
struct ParcelCandidate {
    std::size_t roof = 0;
    CandidateOutcome outcome = CandidateOutcome::impossible;
    // The rest is of a pad at which a storage is possible.
    std::vector<std::size_t> members;
    std::size_t recommended = 0;  // option, by the water alone
    std::size_t option = 0;       // that has a pad here
    int stage = 5;
    double lift_steps = 0.0;  // PadRank::lift_steps
    FeedClass feed = FeedClass::pumped;
    double forbearance_m3 = 0.0;
    double pressure_kpa = 0.0;
    double fill_margin_m = 0.0;
};

// A roof seen from the parcel's pad.
struct RoofAtPad {
    std::optional<double> fill_distance_m;  // none beyond max_fill_m, and for a roof without an eave
    std::optional<double> fill_margin_m;    // where there is a distance
};

// Where the parcel's storage stands.
struct ParcelPad {
    Pad pad;
    StandingTanks tanks;             // each of a row; else one place for all
    Eave eave;                       // of the pad's own roof
    RoofCells cells;                 // in its measure
    std::vector<GardenCell> garden;  // of the pad's own roof
    PadRules rules;
};

struct ParcelExplanation {
    ParcelRows result;  // as evaluate_tile gives it
    ParcelFacts facts;  // that it rests on
    std::vector<StorageOption> options;
    std::vector<RoofRows> roofs;              // all of the parcel, in input order; `connected` is set
    std::vector<ParcelCandidate> candidates;  // in the order tried
    std::vector<RoofAtPad> at_pad;            // by roof; empty without a pad
    std::optional<Take> take;                 // of a parcel with a computed roof
    // The rest is of a parcel with a storage.
    std::vector<OptionResult> curve;  // every option on the water of the connected roofs
    std::size_t counted_years = 0;
    std::size_t recommended = 0;
    std::size_t chosen = 0;
    double existing_replaced_m3 = 0.0;  // by the storage already there alone
    std::size_t owner = 0;              // whose pad it is: the position among the roofs
    std::vector<std::size_t> members;   // the roofs that fill it, ascending
    WaterRecord record;                 // of them together
    std::vector<SizeAtPad> sizes;       // every option at the pad; empty without one
    std::optional<ParcelPad> pad;
};

// Pure, like evaluate_tile. The roofs stand in the tile.
[[nodiscard]] ParcelExplanation explain_parcel(const TileParcel& parcel, const std::vector<TileRoof>& roofs,
                                               const TileInput& tile, const Settings& settings);

}  // namespace eaveshed
