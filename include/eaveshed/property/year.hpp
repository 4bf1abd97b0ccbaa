// The water of a property month by month, in a middling and in a dry winter.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "eaveshed/parcel/explain_parcel.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "eaveshed/storage/store_months.hpp"

namespace eaveshed {

enum class YearKind : std::uint8_t {
    middling,     // of the record: every second is no better
    dry,          // of the record: no wetter than what is reached in the share `reliability` of years
    mean_year,    // of a record that is a mean year
    assumed_dry,  // that mean year made dry
};

// Rain and store of one month.
struct PropertyMonth {
    double rain_mm = 0.0;  // mean over the connected roofs, weighted by their plan areas
    StoreMonth store;
};

// A tank year of the parcel's storage.
struct PropertyYear {
    YearKind kind = YearKind::middling;
    int name = 0;  // calendar year in which it ends; 0 of a mean year
    std::vector<PropertyMonth> months;
    double replaced_m3 = 0.0;  // taken in the forbearance months
    double wanted_m3 = 0.0;    // demand of these months: a dry summer wants more than a wet one
    double harvest_m3 = 0.0;   // inflow of the fill months
    double overflow_m3 = 0.0;  // of the whole tank year
};

// What a year is chosen by.
struct YearWorth {
    double harvest_m3 = 0.0;  // of its winter
    double replaced_m3 = 0.0;
};

// The years are put in ascending order of winter harvest (in whole 1e-6 m3), then of replaced volume, then as they
// come. Of several years whose winters are alike the one is shown that also replaces what its share tells of all years:
// whose replaced volume is nearest to their Weibull quantile; of equally near ones the later in the order. So no year
// stands for its kind whose summer was the odd one. Not empty. method.md 5.13.
//   middling: the ranks floor(0.5 (n + 1)) and floor(0.1 n) on either side of it; the quantile 0.5.
//   dry: the ranks up to floor(share (n + 1)), at least the first; the quantile `share`, 0 <= share < 1.
[[nodiscard]] std::size_t middling_year(std::span<const YearWorth> years);
[[nodiscard]] std::size_t dry_year(std::span<const YearWorth> years, double share);

struct PropertyWater {
    std::vector<PropertyYear> years;  // the middling one, then the dry one where dry winters are known or assumed
    // Mean stock at the start of each month over the counted years, January first, m3.
    std::array<double, 12> stock_at_start_m3{};
};

// Of a parcel with a storage; none without. `roofs`: of the parcel, as explained.
[[nodiscard]] std::optional<PropertyWater> property_water(const ParcelExplanation& parcel,
                                                          const std::vector<TileRoof>& roofs, const TileInput& tile,
                                                          const Settings& settings);

}  // namespace eaveshed
