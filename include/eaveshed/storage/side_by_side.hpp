// Many stores on many records: how each does, for the price of a few.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/core/vectors.hpp"
#include "eaveshed/storage/behaviour.hpp"

namespace eaveshed {

// A record of a timeline, and the years of it that count.
struct CountedFlows {
    Flows flows;
    std::span<const TankYear> counted;
};

// behaviour() of run_store() for every store on every record, to the last bit: a list a record, in it an entry a store.
// Records run side by side; together they take much less time than one after another.
[[nodiscard]] std::vector<std::vector<Behaviour>> behaviours(const Timeline& timeline,
                                                             std::span<const CountedFlows> records,
                                                             std::span<const Store> stores, StoreRule rule,
                                                             double reliability,
                                                             Vectors vectors = widest_vectors());

// The same of one store on a record a lane, all with the same counted years: an entry a lane. One value of inflow and
// demand per step.
[[nodiscard]] std::array<Behaviour, kLanes> lane_behaviours(const Timeline& timeline, std::span<const TankYear> counted,
                                                            const std::vector<Lanes>& inflow_m3,
                                                            const std::vector<Lanes>& demand_m3, Store store,
                                                            StoreRule rule, double reliability,
                                                            Vectors vectors = widest_vectors());

}  // namespace eaveshed
