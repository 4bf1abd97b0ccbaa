#include "eaveshed/demand/demand.hpp"

#include <algorithm>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

// Kc ET0 by month, January first, mm per day.
std::array<double, 12> crop_need_mm_day(const DemandInputs& inputs) {
    std::array<double, 12> need{};
    for (std::size_t i = 0; i < need.size(); ++i) {
        need[i] = inputs.crop_coefficient * inputs.et0_mm_day[i];
    }
    return need;
}

std::size_t month_index(const Step& step) {
    return static_cast<std::size_t>(step.month - 1);
}

// Summed over each step, mm. A run of dry days takes from the soil what they need together: plants take all they can.
std::vector<double> net_of_spells(std::span<const Spell> spells, std::size_t step_count, std::span<const double> wet_mm,
                                  const DemandInputs& inputs) {
    const auto need_of = crop_need_mm_day(inputs);
    std::vector<double> net(step_count);
    double soil_mm = 0.0;
    std::size_t next = 0;
    for (const Spell& spell : spells) {
        if (spell.wet) {
            soil_mm = std::min(inputs.soil_store_mm, soil_mm + inputs.rain_effectiveness * wet_mm[next++]);
        }
        const double need = need_of[static_cast<std::size_t>(spell.month - 1)] * spell.days;
        const double taken = std::min(soil_mm, need);
        soil_mm -= taken;
        net[spell.step] += need - taken;
    }
    return net;
}

std::vector<double> net_of_months(const Timeline& timeline, std::span<const double> rain_mm,
                                  const DemandInputs& inputs) {
    const auto need_of = crop_need_mm_day(inputs);
    std::vector<double> net(rain_mm.size());
    for (std::size_t i = 0; i < rain_mm.size(); ++i) {
        const Step& step = timeline.steps[i];
        net[i] = std::max(0.0, need_of[month_index(step)] - inputs.rain_effectiveness * rain_mm[i] / step.days);
    }
    return net;
}

// Zero outside the draw months, else the days of the step.
int draw_days(const Step& step, const Season& season) {
    return season.draw.has(step.month) ? step.days : 0;
}

std::vector<double> measured_demand_m3(const Timeline& timeline, const Season& season, double season_use_m3) {
    const double mean_year_rate = season_use_m3 / season.forbear.mean_year_days();
    std::vector<double> demand(timeline.steps.size());
    const auto spread = [&](std::size_t begin, std::size_t end, double rate_m3_day) {
        for (std::size_t i = begin; i < end; ++i) {
            demand[i] = rate_m3_day * draw_days(timeline.steps[i], season);
        }
    };
    std::size_t done = 0;
    for (const TankYear& year : timeline.years) {
        spread(done, year.begin, mean_year_rate);
        spread(year.begin, year.end, season_use_m3 / year.forbear_days);
        done = year.end;
    }
    spread(done, demand.size(), mean_year_rate);
    return demand;
}

// `net_mm`: what the garden lacks over each step.
std::vector<double> home_and_garden_m3(const Timeline& timeline, const std::vector<double>& net_mm,
                                       const Season& season, const DemandInputs& inputs) {
    const double home_m3_day = inputs.people * inputs.litres_per_person_day * inputs.home_share / 1000.0;
    std::vector<double> demand(net_mm.size());
    for (std::size_t i = 0; i < demand.size(); ++i) {
        const int days = draw_days(timeline.steps[i], season);
        const double garden_m3 = inputs.garden_m2 * net_mm[i] / 1000.0 / inputs.irrigation_efficiency;
        demand[i] = days == 0 ? 0.0 : home_m3_day * days + garden_m3;
    }
    return demand;
}

}  // namespace

std::vector<double> net_irrigation_mm_day(const Timeline& timeline, std::span<const double> rain_mm,
                                          const DemandInputs& inputs) {
    if (rain_mm.size() != timeline.steps.size()) {
        internal_error("rain and timeline of different lengths");
    }
    return timeline.kind == RainKind::daily
               ? net_of_spells(as_recorded(timeline).spells, rain_mm.size(), rain_mm, inputs)
               : net_of_months(timeline, rain_mm, inputs);
}

std::vector<double> demand_m3(const Timeline& timeline, std::span<const double> rain_mm, const Season& season,
                              const DemandInputs& inputs) {
    if (inputs.season_use_m3) {
        return measured_demand_m3(timeline, season, *inputs.season_use_m3);
    }
    std::vector<double> net_mm = net_irrigation_mm_day(timeline, rain_mm, inputs);
    for (std::size_t i = 0; i < net_mm.size(); ++i) {
        net_mm[i] *= timeline.steps[i].days;
    }
    return home_and_garden_m3(timeline, net_mm, season, inputs);
}

std::vector<double> demand_m3(const Timeline& timeline, std::span<const Spell> spells, std::span<const double> wet_mm,
                              const Season& season, const DemandInputs& inputs) {
    if (inputs.season_use_m3) {
        return measured_demand_m3(timeline, season, *inputs.season_use_m3);
    }
    return home_and_garden_m3(timeline, net_of_spells(spells, timeline.steps.size(), wet_mm, inputs), season, inputs);
}

}  // namespace eaveshed
