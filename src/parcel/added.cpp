#include "added.hpp"

#include <algorithm>

namespace eaveshed {

ExistingStorage::ExistingStorage(const std::optional<double>& existing_m3, const WaterRecord& record,
                                 const Timeline& timeline, const TileRules& rules)
    : m_season_days(rules.season.forbear.mean_year_days()) {
    // What does not hold more than the reserve gives nothing out.
    if (existing_m3.value_or(0.0) > rules.settings->storage.reserve_m3) {
        const StorageOption existing{.tank = {}, .nominal_m3 = *existing_m3, .usable_m3 = *existing_m3};
        m_replaced_m3 = store_results(record, timeline, rules, {&existing, 1}).front().behaviour.forbearance_m3();
    }
}

Added ExistingStorage::added_by(double forbearance_m3, double source_share) const {
    const double added_m3 = std::max(0.0, forbearance_m3 - m_replaced_m3);
    return {added_m3, mean_rate_lps(added_m3, m_season_days) * source_share};
}

}  // namespace eaveshed
