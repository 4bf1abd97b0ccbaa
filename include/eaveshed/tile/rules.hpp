// The settings as the computation modules want them: made once a tile, so that no module knows the settings.
#pragma once

#include <vector>

#include "eaveshed/core/season.hpp"
#include "eaveshed/demand/demand.hpp"
#include "eaveshed/roof/eave.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/siting/elevation_window.hpp"
#include "eaveshed/storage/store.hpp"

namespace eaveshed {

// One option of the catalogue, usable for the store.
struct StorageOption {
    TankOption tank;
    double nominal_m3 = 0.0;
    double usable_m3 = 0.0;
};

struct TileRules {
    const Settings* settings = nullptr;
    Season season;
    std::vector<StorageOption>
        options;  // smallest first (nominal, then count); those no larger than the reserve left out
    StoreRule store_rule = StoreRule::after_spillage;
    EaveRules eave;
    WindowRules window;
};

// `settings` outlives the rules.
[[nodiscard]] TileRules rules_from(const Settings& settings);

}  // namespace eaveshed
