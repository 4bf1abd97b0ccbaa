#include "eaveshed/storage/behaviour.hpp"

#include <vector>

#include "eaveshed/core/year_statistics.hpp"

namespace eaveshed {

Behaviour behaviour(std::span<const YearOfStore> years, double reliability) {
    std::vector<double> replaced;
    replaced.reserve(years.size());
    double yield = 0.0;
    double demand = 0.0;
    double overflow = 0.0;
    int met = 0;
    int full = 0;
    for (const YearOfStore& year : years) {
        replaced.push_back(year.replaced_m3);
        yield += year.replaced_m3;
        demand += year.demand_m3;
        overflow += year.overflow_m3;
        met += year.replaced_m3 >= year.demand_m3 - kMetWithin_m3 ? 1 : 0;
        full += year.filled ? 1 : 0;
    }
    const YearStatistics statistics = year_statistics(replaced, reliability);
    const auto count = static_cast<double>(years.size());
    return {.replaced_mean_m3 = statistics.mean,
            .replaced_dependable_m3 = statistics.dependable,
            .replaced_worst_m3 = statistics.worst,
            .season_reliability = met / count,
            .volume_reliability = demand > 0.0 ? yield / demand : 1.0,
            .full_winters_share = full / count,
            .overflow_mean_m3 = overflow / count,
            .seasons_met = met,
            .seasons = static_cast<int>(years.size())};
}

}  // namespace eaveshed
