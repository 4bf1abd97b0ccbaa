// Many stores on many records: how each does, for the price of a few.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/lanes/vectors.hpp"
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
                                                             double reliability, Vectors vectors = widest_vectors());

// A series that counts in each lane by a factor of the lane's own. One value per step.
struct VariedSeries {
    std::span<const double> values;
    Lanes factors;
};
// What flows into a store that is tried on other water in each lane. All values are finite and not negative, and so are
// the factors.
struct VariedFlows {
    std::vector<VariedSeries> inflow_m3;  // added in this order
    VariedSeries demand_m3;
};

// behaviour() of run_store() of one store on the flows of each lane, all with the same counted years, to the last bit:
// an entry a lane.
[[nodiscard]] std::array<Behaviour, kLanes> lane_behaviours(const Timeline& timeline, std::span<const TankYear> counted,
                                                            const VariedFlows& flows, Store store, StoreRule rule,
                                                            double reliability, Vectors vectors = widest_vectors());

}  // namespace eaveshed
