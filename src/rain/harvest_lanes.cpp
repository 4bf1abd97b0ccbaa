#include "eaveshed/rain/harvest_lanes.hpp"

#include <algorithm>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

// The roofs, one a lane.
struct RoofLanes {
    std::array<Lanes, 1 + kOtherRunoffs> runoff;
    Lanes efficiency;
    Lanes first_flush_mm;
    Lanes dry_days;
    Lanes wet_day_mm;
    Lanes connected_m2;
};

RoofLanes roof_lanes(std::span<const LaneRoof> roofs) {
    RoofLanes lanes{{},
                    lanes_of(roofs, [](const LaneRoof& roof) { return roof.rules.collection_efficiency; }),
                    lanes_of(roofs, [](const LaneRoof& roof) { return roof.rules.first_flush_mm; }),
                    lanes_of(roofs, [](const LaneRoof& roof) { return static_cast<double>(roof.rules.dry_days); }),
                    lanes_of(roofs, [](const LaneRoof& roof) { return roof.rules.wet_day_mm; }),
                    lanes_of(roofs, [](const LaneRoof& roof) { return roof.plan_area_m2 * roof.connected_share; })};
    lanes.runoff[0] = lanes_of(roofs, [](const LaneRoof& roof) { return roof.rules.runoff_coefficient; });
    for (std::size_t other = 0; other < kOtherRunoffs; ++other) {
        lanes.runoff[1 + other] = lanes_of(roofs, [other](const LaneRoof& roof) { return roof.other_runoff[other]; });
    }
    return lanes;
}

// Where the walk puts what it finds, and which steps count for the sums of years.
struct WalkOut {
    WalkOut(const Timeline& timeline, MonthSet months, LaneHarvest& out)
        : years(timeline.years), rain_mm(out.rain_mm.data()), first_flush_m3(out.first_flush_m3.data()) {
        inflow_m3[0] = out.inflow_m3.data();
        for (std::size_t other = 0; other < kOtherRunoffs; ++other) {
            inflow_m3[1 + other] = out.other_inflow_m3[other].data();
        }
        counts.resize(timeline.steps.size());
        for (const TankYear& year : years) {
            for (std::size_t step = year.begin; step < year.end; ++step) {
                counts[step] = months.has(timeline.steps[step].month) ? 1 : 0;
            }
        }
    }

    std::vector<std::uint8_t> counts;
    std::span<const TankYear> years;
    Lanes* rain_mm;
    Lanes* first_flush_m3;
    std::array<Lanes*, 1 + kOtherRunoffs> inflow_m3{};
};

// Through the record at the first `runoffs` coefficients.
template <typename Wide, std::size_t runoffs>
class HarvestWalk {
public:
    [[gnu::always_inline]] explicit HarvestWalk(const RoofLanes& roofs)
        : m_efficiency(Wide::of(roofs.efficiency)),
          m_first_flush_mm(Wide::of(roofs.first_flush_mm)),
          m_dry_days(Wide::of(roofs.dry_days)),
          m_wet_day_mm(Wide::of(roofs.wet_day_mm)),
          m_connected_m2(Wide::of(roofs.connected_m2)),
          m_dry_run(m_dry_days),
          m_year_rain_mm(Wide::all(0.0)),
          m_year_first_flush_m3(Wide::all(0.0)) {
        for (std::size_t c = 0; c < runoffs; ++c) {
            m_runoff[c] = Wide::of(roofs.runoff[c]);
            m_left_mm[c] = Wide::all(0.0);
        }
        begin_step();
    }

    // What is still to be diverted is carried from day to day; a wet day after enough dry ones sets it anew.
    [[gnu::always_inline]] void add_wet_day(const Wide& depth_mm) {
        const Wide zero = Wide::all(0.0);
        const Wide days_if_wet = where_reached(depth_mm, m_wet_day_mm, m_dry_run, Wide::all(-1.0));
        m_dry_run = where_reached(depth_mm, m_wet_day_mm, zero, m_dry_run + Wide::all(1.0));
        m_rain_mm += depth_mm;
        m_dry_step = false;
#pragma GCC unroll 3
        for (std::size_t c = 0; c < runoffs; ++c) {
            const Wide left = where_reached(days_if_wet, m_dry_days, m_first_flush_mm, m_left_mm[c]);
            const Wide runoff = m_runoff[c] * depth_mm;
            const Wide diverted = least(left, runoff);
            m_left_mm[c] = left - diverted;
            m_diverted_mm += c == 0 ? diverted : zero;
            m_harvest_mm[c] += m_efficiency * (runoff - diverted);
        }
    }
    [[gnu::always_inline]] void add_dry_days(int days) {
        m_dry_run += Wide::all(days);
    }

    [[gnu::always_inline]] void end_step(std::size_t step, const WalkOut& out) {
#pragma GCC unroll 3
        for (std::size_t c = 0; c < runoffs; ++c) {
            const Wide inflow = m_dry_step ? Wide::all(0.0) : volume(m_harvest_mm[c]);
            inflow.to(out.inflow_m3[c][step]);
        }
        if (out.counts[step] != 0) {
            m_year_rain_mm += m_rain_mm;
            m_year_first_flush_m3 += volume(m_diverted_mm);
        }
        if (m_year < out.years.size() && step + 1 == out.years[m_year].end) {
            end_year(out);
        }
        begin_step();
    }

private:
    [[gnu::always_inline]] void begin_step() {
        m_rain_mm = m_diverted_mm = Wide::all(0.0);
        for (Wide& harvest_mm : m_harvest_mm) {
            harvest_mm = Wide::all(0.0);
        }
        m_dry_step = true;
    }
    [[gnu::always_inline]] void end_year(const WalkOut& out) {
        m_year_rain_mm.to(out.rain_mm[m_year]);
        m_year_first_flush_m3.to(out.first_flush_m3[m_year]);
        m_year_rain_mm = m_year_first_flush_m3 = Wide::all(0.0);
        ++m_year;
    }
    // As inflow_m3.
    [[nodiscard, gnu::always_inline]] Wide volume(const Wide& depth_mm) const {
        return m_connected_m2 * depth_mm / Wide::all(1000.0);
    }

    // Plain arrays, as those of the storage lanes: the innermost loop.
    Wide m_runoff[runoffs];  // NOLINT(modernize-avoid-c-arrays)
    Wide m_efficiency;
    Wide m_first_flush_mm;
    Wide m_dry_days;
    Wide m_wet_day_mm;
    Wide m_connected_m2;
    Wide m_left_mm[runoffs];  // NOLINT(modernize-avoid-c-arrays)
    Wide m_dry_run;           // whatever came before the record: its first wet day starts an event
    Wide m_rain_mm;
    Wide m_diverted_mm;
    Wide m_harvest_mm[runoffs];  // NOLINT(modernize-avoid-c-arrays)
    Wide m_year_rain_mm;
    Wide m_year_first_flush_m3;
    std::size_t m_year = 0;
    bool m_dry_step = true;
};

template <typename Wide, std::size_t runoffs>
[[gnu::always_inline]] inline void walk(std::span<const Spell> spells, std::span<const Lanes> wet_mm,
                                        const RoofLanes& roofs, const WalkOut& out) {
    HarvestWalk<Wide, runoffs> at(roofs);
    std::size_t step = 0;
    const Lanes* wet = wet_mm.data();
    for (const Spell& spell : spells) {
        for (; step < spell.step; ++step) {
            at.end_step(step, out);
        }
        if (spell.wet) {
            at.add_wet_day(Wide::of(*wet++));
        } else {
            at.add_dry_days(spell.days);
        }
    }
    for (; step < out.counts.size(); ++step) {
        at.end_step(step, out);
    }
}

}  // namespace

void run_harvests(const CondensedDays& days, MonthSet months, std::span<const Lanes> wet_mm,
                  std::span<const LaneRoof> roofs, bool with_others, LaneHarvest& out, Vectors vectors) {
    if (roofs.size() > kLanes || wet_mm.size() != days.wet_steps.size()) {
        internal_error("more roofs than lanes, or rain of another length than its record");
    }
    const std::size_t steps = days.timeline.steps.size();
    out.rain_mm.resize(days.timeline.years.size());
    out.first_flush_m3.resize(days.timeline.years.size());
    out.inflow_m3.resize(steps);
    for (std::vector<Lanes>& inflow : out.other_inflow_m3) {
        inflow.resize(with_others ? steps : 0);
    }
    const RoofLanes lanes = roof_lanes(roofs);
    const WalkOut to(days.timeline, months, out);
    with_vectors(
        vectors, [&]<typename Wide>() __attribute__((always_inline)) {
            with_others ? walk<Wide, 1 + kOtherRunoffs>(days.spells, wet_mm, lanes, to)
                        : walk<Wide, 1>(days.spells, wet_mm, lanes, to);
        });
}

}  // namespace eaveshed
