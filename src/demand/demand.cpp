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

std::vector<double> net_of_days(const Timeline& timeline, std::span<const double> rain_mm, const DemandInputs& inputs) {
    const auto need_of = crop_need_mm_day(inputs);
    std::vector<double> net(rain_mm.size());
    double soil_mm = 0.0;
    for (std::size_t i = 0; i < rain_mm.size(); ++i) {
        soil_mm = std::min(inputs.soil_store_mm, soil_mm + inputs.rain_effectiveness * rain_mm[i]);
        const double need = need_of[month_index(timeline.steps[i])];
        const double taken = std::min(soil_mm, need);
        soil_mm -= taken;
        net[i] = need - taken;
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

}  // namespace

std::vector<double> net_irrigation_mm_day(const Timeline& timeline, std::span<const double> rain_mm,
                                          const DemandInputs& inputs) {
    if (rain_mm.size() != timeline.steps.size()) {
        internal_error("rain and timeline of different lengths");
    }
    return timeline.kind == RainKind::daily ? net_of_days(timeline, rain_mm, inputs)
                                            : net_of_months(timeline, rain_mm, inputs);
}

std::vector<double> demand_m3(const Timeline& timeline, std::span<const double> rain_mm, const Season& season,
                              const DemandInputs& inputs) {
    if (inputs.season_use_m3) {
        return measured_demand_m3(timeline, season, *inputs.season_use_m3);
    }
    const double home_m3_day = inputs.people * inputs.litres_per_person_day * inputs.home_share / 1000.0;
    std::vector<double> demand = net_irrigation_mm_day(timeline, rain_mm, inputs);
    for (std::size_t i = 0; i < demand.size(); ++i) {
        const int days = draw_days(timeline.steps[i], season);
        const double garden_m3_day = inputs.garden_m2 * demand[i] / 1000.0 / inputs.irrigation_efficiency;
        demand[i] = days == 0 ? 0.0 : (home_m3_day + garden_m3_day) * days;
    }
    return demand;
}

}  // namespace eaveshed
