// The storage that some of a parcel's roofs fill together. Private to the module.
#pragma once

#include <algorithm>
#include <cstddef>
#include <span>
#include <vector>

#include "eaveshed/site/computed_roof.hpp"
#include "eaveshed/site/siting.hpp"

namespace eaveshed {

using Members = std::vector<std::size_t>;  // positions among the parcel's roofs, ascending

// Storage at the pad of one of the roofs.
struct SharedStorage {
    std::size_t owner = 0;  // whose pad it is
    Members members;
    WaterRecord record;
    OptionTried sited;
    OptionResult behaviour;
    std::size_t recommended = 0;  // another option than the one sited where it has no pad here

    [[nodiscard]] bool smaller() const { return recommended != sited.option; }
    [[nodiscard]] double forbearance_m3() const { return behaviour.behaviour.forbearance_m3(); }
};

inline void add_to(std::vector<double>& sum, const std::vector<double>& values) {
    for (std::size_t i = 0; i < sum.size(); ++i) {
        sum[i] += values[i];
    }
}

// The inflow of all members, wanted by the owner's demand, over the years that count for each of them. `record_of`
// gives a roof's own.
template <typename RecordOf>
[[nodiscard]] WaterRecord combined_record(const Members& members, std::size_t owner, const RecordOf& record_of) {
    WaterRecord record = record_of(owner);
    for (const std::size_t roof : members) {
        if (roof == owner) {
            continue;
        }
        const WaterRecord& other = record_of(roof);
        std::erase_if(record.counted, [&](const TankYear& year) {
            return std::ranges::find(other.counted, year.begin, &TankYear::begin) == other.counted.end();
        });
        add_to(record.series.inflow_m3, other.series.inflow_m3);
        if (record.dry && other.dry) {
            add_to(record.dry->inflow_m3, other.dry->inflow_m3);
        }
    }
    return record;
}

// The combined record under other rules than those the roofs were evaluated with; the rules' options are put aside.
[[nodiscard]] WaterRecord record_under(const TileRules& rules, const TileParcel& parcel, const RoofClimate& climate,
                                       std::span<const ComputedRoof> roofs, const SharedStorage& store);

}  // namespace eaveshed
