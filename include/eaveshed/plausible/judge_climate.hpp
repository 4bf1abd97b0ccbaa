// Whether the rain and its dates can be meant.
#pragma once

#include <array>
#include <optional>
#include <string>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/rain/mean_year.hpp"

namespace eaveshed {

struct JudgedClimate {
    std::string rain;                    // how messages name the input
    std::string temperature;             //
    const Timeline* timeline = nullptr;  // not null
    std::optional<MonthDepths> mean_mm;  // rain of the mean year in the middle of the basin
    std::optional<Date> newest_input;    // the day on which the newest input file was written
    // Mean daily minimum and maximum in the middle of the basin, degrees C, January first.
    std::optional<std::array<double, 12>> minimum_c;
    std::optional<std::array<double, 12>> maximum_c;
    std::string evapotranspiration{};     // how messages name the input
    std::optional<double> et0_year_mm{};  // of an evapotranspiration grid, in the middle of the basin
};

// Every check of core/check_code.hpp that asks the climate; in the table's order.
void judge_climate(const JudgedClimate& climate, const Season& season, Findings& findings);

}  // namespace eaveshed
