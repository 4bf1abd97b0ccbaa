#include "shared_storage.hpp"

namespace eaveshed {

WaterRecord record_under(const TileRules& rules, const TileParcel& parcel, const RoofClimate& climate,
                         std::span<const ComputedRoof> roofs, const SharedStorage& store) {
    std::vector<RoofRows> scratch(store.members.size());
    std::vector<WaterTask> tasks;
    for (std::size_t i = 0; i < store.members.size(); ++i) {
        const ComputedRoof& roof = roofs[store.members[i]];
        scratch[i].roof.plan_area_m2 = roof.result.roof.plan_area_m2;
        tasks.push_back({.roof = roof.input, .parcel = &parcel, .result = &scratch[i], .other_runoff = {}});
    }
    const std::vector<WaterOutcome> waters = evaluate_waters(tasks, climate, rules);
    return joined(store.members, store.owner,
                  [&](std::size_t roof) -> const WaterRecord& {
                      const auto member = std::ranges::lower_bound(store.members, roof) - store.members.begin();
                      return waters[static_cast<std::size_t>(member)].record;
                  })
        .record;
}

}  // namespace eaveshed
