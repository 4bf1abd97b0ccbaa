#include "shared_storage.hpp"

namespace eaveshed {

WaterRecord record_under(const TileRules& rules, const TileParcel& parcel, const RoofClimate& climate,
                         std::span<const ComputedRoof> roofs, const SharedStorage& store) {
    TileRules one_option = rules;  // the storage is chosen: no other one need be run
    one_option.options = {rules.options.at(store.sited.option)};
    std::vector<WaterRecord> records(roofs.size());
    for (const std::size_t member : store.members) {
        RoofRows scratch;
        scratch.roof.plan_area_m2 = roofs[member].result.roof.plan_area_m2;
        records[member] = evaluate_water(*roofs[member].input, &parcel, climate, one_option, scratch).record;
    }
    return combined_record(store.members, store.owner,
                           [&](std::size_t roof) -> const WaterRecord& { return records[roof]; });
}

}  // namespace eaveshed
