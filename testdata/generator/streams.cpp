#include "streams.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "portable_math.hpp"
#include "random.hpp"

namespace demo {
namespace {

constexpr double kBin_m = 100.0;
constexpr double kVertex_m = 12.0;
constexpr double kFlowPerKm_lps = 2.6;  // springs along a main channel

Reach tributary_reach(const Tributary& t, Random random) {
    Reach reach;
    const int steps = std::max(2, static_cast<int>((t.course().length_m - 70.0) / kVertex_m));
    for (int i = steps; i >= 0; --i) {
        reach.line.push_back(t.point_at(i * kVertex_m));
    }
    reach.low_flow_lps = rounded_to(random.range(0.3, 1.4), 0.1);
    return reach;
}

Line main_line(const Valley& valley, double upper_m, double lower_m) {
    Line line;
    const int steps = std::max(1, static_cast<int>(std::ceil((upper_m - lower_m) / kVertex_m)));
    for (int i = 0; i <= steps; ++i) {
        const double along = upper_m + (lower_m - upper_m) * i / steps;
        line.push_back(valley.to_world(along, valley.channel_offset_m(along)));
    }
    return line;
}

// Invented. Of many streams the same names come round with a number.
std::string creek_name(bool main, int number) {
    constexpr std::array<const char*, 3> kMain{"Quill Water", "Tansy Water", "Larch Water"};
    constexpr std::array<const char*, 8> kSide{"Alder Run",  "Fern Gill", "Otter Rill", "Stone Beck",
                                               "Heron Rill", "Moss Gill", "Willow Run", "Thrush Beck"};
    const auto count = static_cast<int>(main ? kMain.size() : kSide.size());
    const auto place = static_cast<std::size_t>(number % count);
    const std::string name = main ? kMain[place] : kSide[place];
    return number < count ? name : fmt::format("{} {}", name, number / count + 1);
}

}  // namespace

std::vector<Reach> make_reaches(const BasinPlan& plan, const Terrain& terrain) {
    std::vector<Reach> reaches;
    int side_streams = 0;
    for (int v = 0; v < static_cast<int>(terrain.row().valleys.size()); ++v) {
        const Valley& valley = terrain.row().valleys[static_cast<std::size_t>(v)];
        std::vector<const Tributary*> joins;
        for (const Tributary& t : terrain.tributaries()) {
            if (t.course().valley == v) {
                joins.push_back(&t);
            }
        }
        std::sort(joins.begin(), joins.end(), [](const Tributary* a, const Tributary* b) {
            return a->course().junction_along_m > b->course().junction_along_m;
        });
        double upper = terrain.stream_head_along_m();
        double flow = 0.8;
        const auto add_main = [&](double lower) {
            flow += kFlowPerKm_lps * (upper - lower) / 1000.0;
            reaches.push_back({"", main_line(valley, upper, lower), rounded_to(flow, 0.1), creek_name(true, v)});
            upper = lower;
        };
        for (const Tributary* t : joins) {
            add_main(t->course().junction_along_m);
            reaches.push_back(
                tributary_reach(*t, Random(plan.seed, Purpose::kStream, {v, static_cast<int>(reaches.size())})));
            reaches.back().creek = creek_name(false, side_streams++);
            flow += reaches.back().low_flow_lps;
        }
        add_main(3.0);
    }
    for (std::size_t i = 0; i < reaches.size(); ++i) {
        reaches[i].id = fmt::format("R{:03}", i + 1);
        reaches[i].line = rounded_ring(reaches[i].line);
    }
    return reaches;
}

StreamIndex::StreamIndex(const BasinPlan& plan, const std::vector<Reach>& reaches)
    : m_cols(static_cast<int>(std::ceil(plan.width_m / kBin_m))),
      m_rows(static_cast<int>(std::ceil(plan.height_m / kBin_m))) {
    m_bins.resize(static_cast<std::size_t>(m_cols) * static_cast<std::size_t>(m_rows));
    for (const Reach& reach : reaches) {
        for (std::size_t i = 1; i < reach.line.size();
             ++i) {  // segments are far shorter than a bin: the middle decides
            const Segment s{reach.line[i - 1], reach.line[i]};
            const int col = std::clamp(static_cast<int>((s.a.x + s.b.x) / 2.0 / kBin_m), 0, m_cols - 1);
            const int row = std::clamp(static_cast<int>((s.a.y + s.b.y) / 2.0 / kBin_m), 0, m_rows - 1);
            m_bins[static_cast<std::size_t>(row) * static_cast<std::size_t>(m_cols) + static_cast<std::size_t>(col)]
                .push_back(s);
        }
    }
}

double StreamIndex::distance_m(Point p, double limit_m) const {
    double best = limit_m;
    const auto bin = [](double v, int count) {
        return std::clamp(static_cast<int>(std::floor(v / kBin_m)), 0, count - 1);
    };
    const double reach = limit_m + kVertex_m;
    for (int r = bin(p.y - reach, m_rows); r <= bin(p.y + reach, m_rows); ++r) {
        for (int c = bin(p.x - reach, m_cols); c <= bin(p.x + reach, m_cols); ++c) {
            for (const Segment& s :
                 m_bins[static_cast<std::size_t>(r) * static_cast<std::size_t>(m_cols) + static_cast<std::size_t>(c)]) {
                best = std::min(best, segment_distance(p, s.a, s.b));
            }
        }
    }
    return best;
}

}  // namespace demo
