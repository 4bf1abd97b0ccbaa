// The settings as the computation modules want them: made once a tile, so that no module knows the settings.
#pragma once

#include <array>
#include <vector>

#include "eaveshed/core/season.hpp"
#include "eaveshed/demand/demand.hpp"
#include "eaveshed/hydraulics/elevation_window.hpp"
#include "eaveshed/roof/eave.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/siting/pad_rules.hpp"
#include "eaveshed/storage/recommend.hpp"
#include "eaveshed/storage/store.hpp"

namespace eaveshed {

// One option of the catalogue, usable for the store.
struct StorageOption {
    TankOption tank;
    double nominal_m3 = 0.0;
    double usable_m3 = 0.0;
};

inline constexpr std::array<double, 12> kAsRecorded{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1};

struct TileRules {
    const Settings* settings = nullptr;
    Season season;
    std::vector<StorageOption>
        options;  // smallest first (nominal, then count); those no larger than the reserve left out
    RecommendRules recommend;
    StoreRule store_rule = StoreRule::after_spillage;
    EaveRules eave;
    WindowRules window;
    PadRules pad;  // but for elevation_sd_m: what is known of the ground is in the tile
    // Another climate than the record's: factors by month, January first.
    std::array<double, 12> rain_factor = kAsRecorded;
    std::array<double, 12> et0_factor = kAsRecorded;
};

// `settings` outlives the rules.
[[nodiscard]] TileRules rules_from(const Settings& settings);

// An option as the search for a pad sees it.
[[nodiscard]] Tanks tanks_of(const StorageOption& option, const Settings& settings);

}  // namespace eaveshed
