// One roof's row with everything that led to it: what evaluate.hpp computes and forgets.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "eaveshed/hydraulics/elevation_window.hpp"
#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/roof/eave.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/site/place.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "eaveshed/site/water.hpp"
#include "eaveshed/siting/search.hpp"

namespace eaveshed {

// A place for the tanks, as searched and as a row.
struct ExplainedPad {
    Pad pad;
    PadRow row;
    StandingTanks tanks;         // each of a row; else one place for all
    double pad_sd_m = 0.0;       // of its elevation
    double fill_fall_m = 0.0;    // that the line from the gutter needs
    double sure_margin_m = 0.0;  // fill margin from which the fill is sure
};

// One storage option at the site. Removed and eligible cells together are the cells within max_fill_m.
struct ExplainedOption {
    std::size_t option = 0;  // position in RoofExplanation::options
    Tanks tanks;
    RemovedCells removed{};  // by the first rule that each fails
    std::uint64_t eligible = 0;
};

// How many places are shown, the chosen one included.
inline constexpr std::size_t kPlacesShown = 4;

struct SitingExplanation {
    PadRules rules;
    WindowRules window_rules;
    RoofCells cells;
    std::size_t garden_cells = 0;
    double garden_m2 = 0.0;
    // The rest needs a use point.
    double minimum_head_m = 0.0;
    std::optional<ElevationWindow> window;  // of the chosen storage
    std::uint64_t cells_within_reach = 0;
    std::vector<ExplainedOption> tried;  // the recommended, then the next smaller ones until one has a pad
    // For the chosen storage: the pad, then the best places whose ground overlaps none of those before, best first.
    // Empty without a pad.
    std::vector<ExplainedPad> places;
};

struct RoofExplanation {
    RoofRows result;  // as evaluate_tile gives it
    std::vector<StorageOption> options;
    std::optional<WaterOutcome> water;  // of a roof with status ok
    std::optional<Eave> eave;           // also of one without any use for storage
    std::optional<SitingExplanation> siting;
    std::size_t chosen = 0;  // position in options; without meaning where none is recommended
};

// Pure, like evaluate_tile, and much slower: it asks for every place and every reason. `parcel` is null for a roof
// without one. The roof stands in the tile.
[[nodiscard]] RoofExplanation explain_roof(const TileRoof& roof, const TileParcel* parcel, const TileInput& tile,
                                           const Settings& settings);

}  // namespace eaveshed
