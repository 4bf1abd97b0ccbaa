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
    double soil = 0.0;
    for (std::size_t i = 0; i < rain_mm.size(); ++i) {
        soil = std::min(inputs.soil_store_mm, soil + inputs.rain_effectiveness * rain_mm[i]);
        const double need = need_of[month_index(timeline.steps[i])];
        const double taken = std::min(soil, need);
        soil -= taken;
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

double home_m3_day(const DemandInputs& inputs) {
    return inputs.people * inputs.litres_per_person_day * inputs.home_share / 1000.0;
}

// `net_mm`: what the garden lacks over each step.
std::vector<double> home_and_garden_m3(const Timeline& timeline, const std::vector<double>& net_mm,
                                       const Season& season, const DemandInputs& inputs) {
    std::vector<double> demand(net_mm.size());
    for (std::size_t i = 0; i < demand.size(); ++i) {
        const int days = draw_days(timeline.steps[i], season);
        const double garden_m3 = inputs.garden_m2 * net_mm[i] / 1000.0 / inputs.irrigation_efficiency;
        demand[i] = days == 0 ? 0.0 : home_m3_day(inputs) * days + garden_m3;
    }
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
    std::vector<double> net_mm = net_irrigation_mm_day(timeline, rain_mm, inputs);
    for (std::size_t i = 0; i < net_mm.size(); ++i) {
        net_mm[i] *= timeline.steps[i].days;
    }
    return home_and_garden_m3(timeline, net_mm, season, inputs);
}

namespace {

// The roofs, one a lane.
struct InputLanes {
    std::array<Lanes, 12> need_mm_day{};
    Lanes store_mm;
    Lanes rain_effectiveness;
    Lanes garden_m2;
    Lanes irrigation_efficiency;
    Lanes home_m3_day;
};

InputLanes input_lanes(std::span<const DemandInputs> inputs) {
    InputLanes lanes{{},
                     lanes_of(inputs, [](const DemandInputs& input) { return input.soil_store_mm; }),
                     lanes_of(inputs, [](const DemandInputs& input) { return input.rain_effectiveness; }),
                     lanes_of(inputs, [](const DemandInputs& input) { return input.garden_m2; }),
                     lanes_of(inputs, [](const DemandInputs& input) { return input.irrigation_efficiency; }),
                     lanes_of(inputs, home_m3_day)};
    for (std::size_t lane = 0; lane < inputs.size(); ++lane) {
        put_lane(crop_need_mm_day(inputs[lane]), lane, lanes.need_mm_day);
    }
    return lanes;
}

// Home and garden in every step. A run of dry days takes from the soil what they need together: plants take all they
// can.
template <typename Wide>
[[gnu::always_inline]] inline void run_soil(const Timeline& timeline, std::span<const Spell> spells,
                                            std::span<const Lanes> wet_mm, const Season& season,
                                            const InputLanes& inputs, Lanes* out) {
    const Wide none = Wide::all(0.0);
    const Wide store_mm = Wide::of(inputs.store_mm);
    const Wide rain_effectiveness = Wide::of(inputs.rain_effectiveness);
    const Wide garden_m2 = Wide::of(inputs.garden_m2);
    const Wide irrigation_efficiency = Wide::of(inputs.irrigation_efficiency);
    const Wide home_m3_day = Wide::of(inputs.home_m3_day);
    Wide soil = none;
    Wide net_mm = none;
    std::size_t step = 0;
    const Lanes* wet = wet_mm.data();
    const auto end_steps = [&](std::size_t end) __attribute__((always_inline)) {
        for (; step < end; ++step) {
            const int days = draw_days(timeline.steps[step], season);
            if (days == 0) {
                none.to(out[step]);
            } else {
                const Wide garden_m3 = garden_m2 * net_mm / Wide::all(1000.0) / irrigation_efficiency;
                (home_m3_day * Wide::all(days) + garden_m3).to(out[step]);
            }
            net_mm = none;
        }
    };
    for (const Spell& spell : spells) {
        end_steps(spell.step);
        if (spell.wet) {
            soil = least(store_mm, soil + rain_effectiveness * Wide::of(*wet++));
        }
        const Wide need =
            Wide::of(inputs.need_mm_day[static_cast<std::size_t>(spell.month - 1)]) * Wide::all(spell.days);
        const Wide taken = least(soil, need);
        soil = soil - taken;
        net_mm += need - taken;
    }
    end_steps(timeline.steps.size());
}

}  // namespace

void run_demands(const Timeline& timeline, std::span<const Spell> spells, std::span<const Lanes> wet_mm,
                 const Season& season, std::span<const DemandInputs> inputs, std::vector<Lanes>& out, Vectors vectors) {
    if (inputs.size() > kLanes) {
        internal_error("more roofs than lanes");
    }
    out.resize(timeline.steps.size());
    if (!std::ranges::all_of(inputs, [](const DemandInputs& input) { return input.season_use_m3.has_value(); })) {
        const InputLanes lanes = input_lanes(inputs);
        with_vectors(
            vectors, [&]<typename Wide>() __attribute__((always_inline)) {
                run_soil<Wide>(timeline, spells, wet_mm, season, lanes, out.data());
            });
    }
    for (std::size_t k = 0; k < inputs.size(); ++k) {
        if (inputs[k].season_use_m3) {
            put_lane(measured_demand_m3(timeline, season, *inputs[k].season_use_m3), k, out);
        }
    }
}

}  // namespace eaveshed
