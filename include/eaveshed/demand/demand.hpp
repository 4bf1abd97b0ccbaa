// The present summer take that a store could replace, step by step.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/core/season.hpp"
#include "eaveshed/core/spells.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/lanes/vectors.hpp"

namespace eaveshed {

struct DemandInputs {
    double people = 0.0;
    double litres_per_person_day = 0.0;
    double home_share = 0.0;  // part that roof water may serve without treatment, 0..1
    double garden_m2 = 0.0;
    double crop_coefficient = 0.0;        // Kc
    double irrigation_efficiency = 1.0;   // > 0
    double rain_effectiveness = 0.0;      // share of the rain that the soil takes up, 0..1
    double soil_store_mm = 0.0;           // what the soil can hold for the plants; records of days only
    std::array<double, 12> et0_mm_day{};  // reference evapotranspiration, January first
    std::optional<double> season_use_m3;  // measured take of the forbearance months: replaces home and garden
};

// What the garden lacks, mm per day, for every step of the record. Days: from a soil store that begins empty on the
// record's first day, is filled by that day's effective rain first and then drawn upon, all year. Months:
// max(0, Kc ET0 - effective rain per day). `rain_mm` has one depth per step, none NaN.
// method.md 4.7, 4.8.
[[nodiscard]] std::vector<double> net_irrigation_mm_day(const Timeline& timeline, std::span<const double> rain_mm,
                                                        const DemandInputs& inputs);

// Demand of every step, m3 per step (not per day); 0 outside the draw months. Measured use is spread evenly over the
// forbearance days of the step's tank year (of the mean year for steps outside the complete tank years, which count
// nowhere).
// method.md 4.1 to 4.4.
[[nodiscard]] std::vector<double> demand_m3(const Timeline& timeline, std::span<const double> rain_mm,
                                            const Season& season, const DemandInputs& inputs);

// The same for a record of days in spells, of as many roofs as there are inputs, at most kLanes, a roof a lane:
// `timeline` is the condensed one, `wet_mm` has one depth per wet spell. Each is to the last bit what it is alone.
// `out` is filled anew: its memory is used again.
void run_demands(const Timeline& timeline, std::span<const Spell> spells, std::span<const Lanes> wet_mm,
                 const Season& season, std::span<const DemandInputs> inputs, std::vector<Lanes>& out,
                 Vectors vectors = widest_vectors());

}  // namespace eaveshed
