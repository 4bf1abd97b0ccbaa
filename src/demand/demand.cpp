#include "eaveshed/demand/demand.hpp"

#include <algorithm>
#include <cstdint>

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

struct LaneSoil {
    std::array<Lanes, 12> need_mm_day{};
    Lanes store_mm{};
    Lanes rain_effectiveness{};
};

LaneSoil in_lanes(std::span<const DemandInputs> inputs) {
    LaneSoil lanes;
    for (std::size_t k = 0; k < inputs.size(); ++k) {
        const auto need_of = crop_need_mm_day(inputs[k]);
        for (std::size_t month = 0; month < need_of.size(); ++month) {
            lanes.need_mm_day[month][k] = need_of[month];
        }
        lanes.store_mm[k] = inputs[k].soil_store_mm;
        lanes.rain_effectiveness[k] = inputs[k].rain_effectiveness;
    }
    return lanes;
}

// A run of dry days takes from the soil what they need together: plants take all they can. `net_mm` has one entry per
// step, all zero.
EAVESHED_WIDEN void run_soil(std::span<const Spell> spells, const Lanes* wet_mm, const LaneSoil& rules, Lanes* net_mm) {
    const Lanes store = rules.store_mm;  // local copies can stay in registers
    const Lanes effectiveness = rules.rain_effectiveness;
    Lanes soil{};
    Lanes sum{};
    std::uint32_t step = 0;
    for (const Spell& spell : spells) {
        if (spell.step != step) {
            net_mm[step] = sum;
            sum = Lanes{};
            step = spell.step;
        }
        if (spell.wet) {
            const Lanes& rain_mm = *wet_mm++;
            for (std::size_t k = 0; k < kLanes; ++k) {
                soil[k] = std::min(store[k], soil[k] + effectiveness[k] * rain_mm[k]);
            }
        }
        const Lanes& need_mm_day = rules.need_mm_day[static_cast<std::size_t>(spell.month - 1)];
        for (std::size_t k = 0; k < kLanes; ++k) {
            const double need = need_mm_day[k] * spell.days;
            const double taken = std::min(soil[k], need);
            soil[k] -= taken;
            sum[k] += need - taken;
        }
    }
    net_mm[step] = sum;
}

// Summed over each step, mm.
std::vector<Lanes> net_of_spells(std::span<const Spell> spells, std::size_t step_count, std::span<const Lanes> wet_mm,
                                 std::span<const DemandInputs> inputs) {
    std::vector<Lanes> net_mm(step_count);
    if (!spells.empty()) {
        run_soil(spells, wet_mm.data(), in_lanes(inputs), net_mm.data());
    }
    return net_mm;
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
    return timeline.kind == RainKind::daily ? lane_of(net_of_spells(as_recorded(timeline).spells, rain_mm.size(),
                                                                    in_first_lane(rain_mm), {&inputs, 1}),
                                                      0)
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

std::vector<std::vector<double>> demands_m3(const Timeline& timeline, std::span<const Spell> spells,
                                            std::span<const Lanes> wet_mm, const Season& season,
                                            std::span<const DemandInputs> inputs) {
    if (inputs.size() > kLanes) {
        internal_error("more roofs than lanes");
    }
    const auto measured = [](const DemandInputs& input) { return input.season_use_m3.has_value(); };
    const std::vector<Lanes> net_mm = std::ranges::all_of(inputs, measured)
                                          ? std::vector<Lanes>{}
                                          : net_of_spells(spells, timeline.steps.size(), wet_mm, inputs);
    std::vector<std::vector<double>> demands;
    demands.reserve(inputs.size());
    for (std::size_t k = 0; k < inputs.size(); ++k) {
        demands.push_back(measured(inputs[k]) ? measured_demand_m3(timeline, season, *inputs[k].season_use_m3)
                                              : home_and_garden_m3(timeline, lane_of(net_mm, k), season, inputs[k]));
    }
    return demands;
}

}  // namespace eaveshed
