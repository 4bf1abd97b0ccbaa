// The storage that some of a parcel's roofs fill together. Private to the module.
#pragma once

#include <algorithm>
#include <cstddef>
#include <optional>
#include <span>
#include <utility>
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
    std::vector<OptionResult> options{};  // every option of the catalogue on that record
    OptionTried sited;
    std::size_t recommended = 0;  // another option than the one sited where it has no pad here

    [[nodiscard]] bool smaller() const { return recommended != sited.option; }
    [[nodiscard]] const OptionResult& behaviour() const { return options.at(sited.option); }
    [[nodiscard]] double forbearance_m3() const { return behaviour().behaviour.forbearance_m3(); }
};

inline void add_to(std::vector<double>& sum, const std::vector<double>& values) {
    for (std::size_t i = 0; i < sum.size(); ++i) {
        sum[i] += values[i];
    }
}

// Roofs that fill one storage, and what they bring together.
struct Joined {
    Members members;
    WaterRecord record;
};

// The inflow of the roofs, wanted by the owner's demand, over the years that count for each of them. The owner comes
// first, then the others in order; one that would leave no year in common stays out. `record_of` gives a roof's own.
// method.md 7.4.
template <typename RecordOf>
[[nodiscard]] Joined joined(const Members& roofs, std::size_t owner, const RecordOf& record_of) {
    Joined result{{}, record_of(owner)};
    WaterRecord& record = result.record;
    for (const std::size_t roof : roofs) {
        if (roof == owner) {
            result.members.push_back(roof);
            continue;
        }
        const WaterRecord& other = record_of(roof);
        std::vector<TankYear> common = record.counted;
        std::erase_if(common, [&](const TankYear& year) {
            return std::ranges::find(other.counted, year.begin, &TankYear::begin) == other.counted.end();
        });
        if (common.empty()) {
            continue;
        }
        result.members.push_back(roof);
        record.counted = std::move(common);
        add_to(record.series.inflow_m3, other.series.inflow_m3);
        if (record.dry && other.dry) {
            add_to(record.dry->inflow_m3, other.dry->inflow_m3);
        }
    }
    return result;
}

// The storage's record under other rules than those the roofs were evaluated with.
[[nodiscard]] WaterRecord record_under(const TileRules& rules, const TileParcel& parcel, const RoofClimate& climate,
                                       std::span<const ComputedRoof> roofs, const SharedStorage& store);

}  // namespace eaveshed
