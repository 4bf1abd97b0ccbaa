// What a storage adds to the storage that is there already. Private to the module.
#pragma once

#include <optional>

#include "eaveshed/site/water.hpp"

namespace eaveshed {

// A volume of one season, and the stream's gain from it.
struct Added {
    double forbearance_m3 = 0.0;
    double gain_lps = 0.0;
};

// What is there already: usable as it stands, whatever it is made of.
class ExistingStorage {
public:
    // `existing_m3`: below 0 or none is none. Run on the same inflow and demand, with the same reserve.
    ExistingStorage(const std::optional<double>& existing_m3, const WaterRecord& record, const Timeline& timeline,
                    const TileRules& rules);

    // What it replaces by itself, as a forbearance volume.
    [[nodiscard]] double replaced_m3() const { return m_replaced_m3; }
    // Beyond that. `source_share`: of the take that the creek feels.
    // method.md 7.13.
    [[nodiscard]] Added added_by(double forbearance_m3, double source_share) const;

private:
    double m_replaced_m3 = 0.0;
    int m_season_days = 0;
};

}  // namespace eaveshed
