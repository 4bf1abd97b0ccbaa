#include "eaveshed/rain/harvest_lanes.hpp"

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

struct WideRoofs {
    std::array<Wide, 1 + kOtherRunoffs> runoff;
    Wide efficiency;
    Wide first_flush_mm;
    Wide dry_days;
    Wide wet_day_mm;
    Wide connected_m2;
};

WideRoofs wide_roofs(std::span<const LaneRoof> roofs) {
    WideRoofs wide{{},
                   wide_of(roofs, [](const LaneRoof& roof) { return roof.rules.collection_efficiency; }),
                   wide_of(roofs, [](const LaneRoof& roof) { return roof.rules.first_flush_mm; }),
                   wide_of(roofs, [](const LaneRoof& roof) { return static_cast<double>(roof.rules.dry_days); }),
                   wide_of(roofs, [](const LaneRoof& roof) { return roof.rules.wet_day_mm; }),
                   wide_of(roofs, [](const LaneRoof& roof) { return roof.plan_area_m2 * roof.connected_share; })};
    wide.runoff[0] = wide_of(roofs, [](const LaneRoof& roof) { return roof.rules.runoff_coefficient; });
    for (std::size_t other = 0; other < kOtherRunoffs; ++other) {
        wide.runoff[1 + other] = wide_of(roofs, [other](const LaneRoof& roof) { return roof.other_runoff[other]; });
    }
    return wide;
}

// Through the record at the first `runoffs` coefficients.
template <std::size_t runoffs>
class HarvestWalk {
public:
    explicit HarvestWalk(const WideRoofs& roofs) : m_roofs(roofs), m_dry_run(roofs.dry_days) {
        m_left_mm.fill(Wide::all(0.0));
        begin_step();
    }

    // What is still to be diverted is carried from day to day; a wet day after enough dry ones sets it anew.
    [[gnu::always_inline]] void add_wet_day(const Wide& depth_mm) {
        const Wide zero = Wide::all(0.0);
        const Wide days_if_wet = where_reached(depth_mm, m_roofs.wet_day_mm, m_dry_run, Wide::all(-1.0));
        m_dry_run = where_reached(depth_mm, m_roofs.wet_day_mm, zero, m_dry_run + Wide::all(1.0));
        m_rain_mm += depth_mm;
#pragma GCC unroll 3
        for (std::size_t c = 0; c < runoffs; ++c) {
            const Wide left = where_reached(days_if_wet, m_roofs.dry_days, m_roofs.first_flush_mm, m_left_mm[c]);
            const Wide runoff = m_roofs.runoff[c] * depth_mm;
            const Wide diverted = least(left, runoff);
            m_left_mm[c] = left - diverted;
            m_diverted_mm += c == 0 ? diverted : zero;
            m_harvest_mm[c] += m_roofs.efficiency * (runoff - diverted);
        }
    }
    [[gnu::always_inline]] void add_dry_days(int days) {
        m_dry_run += Wide::all(days);
    }

    [[gnu::always_inline]] void end_step(std::size_t step, LaneHarvest& out) {
        m_rain_mm.to(out.rain_mm[step]);
        volume(m_diverted_mm).to(out.first_flush_m3[step]);
        volume(m_harvest_mm[0]).to(out.inflow_m3[step]);
        for (std::size_t c = 1; c < runoffs; ++c) {
            volume(m_harvest_mm[c]).to(out.other_inflow_m3[c - 1][step]);
        }
        begin_step();
    }

private:
    [[gnu::always_inline]] void begin_step() {
        m_rain_mm = m_diverted_mm = Wide::all(0.0);
        m_harvest_mm.fill(Wide::all(0.0));
    }
    // As inflow_m3.
    [[nodiscard, gnu::always_inline]] Wide volume(const Wide& depth_mm) const {
        return m_roofs.connected_m2 * depth_mm / Wide::all(1000.0);
    }

    WideRoofs m_roofs;
    std::array<Wide, runoffs> m_left_mm;
    Wide m_dry_run;  // whatever came before the record: its first wet day starts an event
    Wide m_rain_mm;
    Wide m_diverted_mm;
    std::array<Wide, runoffs> m_harvest_mm;
};

template <std::size_t runoffs>
void walk(std::span<const Spell> spells, std::size_t step_count, std::span<const Lanes> wet_mm,
          std::span<const LaneRoof> roofs, LaneHarvest& out) {
    HarvestWalk<runoffs> at(wide_roofs(roofs));
    std::size_t step = 0;
    std::size_t wet = 0;
    for (const Spell& spell : spells) {
        for (; step < spell.step; ++step) {
            at.end_step(step, out);
        }
        if (spell.wet) {
            at.add_wet_day(Wide::of(wet_mm[wet++]));
        } else {
            at.add_dry_days(spell.days);
        }
    }
    for (; step < step_count; ++step) {
        at.end_step(step, out);
    }
}

}  // namespace

void run_harvests(std::span<const Spell> spells, std::size_t step_count, std::span<const Lanes> wet_mm,
                  std::span<const LaneRoof> roofs, bool with_others, LaneHarvest& out) {
    if (roofs.size() > kLanes) {
        internal_error("more roofs than lanes");
    }
    out.rain_mm.resize(step_count);
    out.first_flush_m3.resize(step_count);
    out.inflow_m3.resize(step_count);
    for (std::vector<Lanes>& inflow : out.other_inflow_m3) {
        inflow.resize(with_others ? step_count : 0);
    }
    with_others ? walk<1 + kOtherRunoffs>(spells, step_count, wet_mm, roofs, out)
                : walk<1>(spells, step_count, wet_mm, roofs, out);
}

}  // namespace eaveshed
