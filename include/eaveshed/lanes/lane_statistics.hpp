// Statistics over years of several records, one a lane.
#pragma once

#include <cstddef>
#include <span>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/core/year_statistics.hpp"
#include "eaveshed/lanes/vectors.hpp"

namespace eaveshed {

// year_statistics of each lane, to the last bit. Sorts `year_sums` in every lane.
struct LaneStatistics {
    Lanes mean;
    Lanes median;
    Lanes dependable;
    Lanes worst;

    [[nodiscard]] YearStatistics of(std::size_t lane) const {
        return {.mean = mean[lane], .median = median[lane], .dependable = dependable[lane], .worst = worst[lane]};
    }
};
[[nodiscard]] LaneStatistics lane_statistics(std::span<Lanes> year_sums, double reliability,
                                             Vectors vectors = widest_vectors());

}  // namespace eaveshed
