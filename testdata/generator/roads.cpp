#include "roads.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <tuple>

namespace demo {
namespace {

struct Span {
    int first = 1 << 30;
    int last = -1;
};
using RoadKey = std::tuple<int, int, int>;  // valley, side, road

const char* road_name(int road) {
    static constexpr std::array<const char*, 5> kNames = {"Alderbank Road", "Terrace Road", "Upper Road",
                                                          "Sheepfold Track", "Ridge Track"};
    return kNames[static_cast<std::size_t>(std::min(road, 4))];
}

// Each road runs past its lots and on to the next lane on either side.
std::map<RoadKey, Span> road_spans(const LotGrid& grid, const std::vector<Lot>& lots) {
    std::map<RoadKey, Span> spans;
    for (const Lot& lot : lots) {
        Span& span = spans[{lot.valley, lot.side, lot.road()}];
        span.first = std::min(span.first, lot.first);
        span.last = std::max(span.last, lot.last);
    }
    for (auto& [key, span] : spans) {
        Span wider = span;
        for (int knot : grid.cross_knots(std::get<0>(key))) {
            if (knot <= span.first) {
                wider.first = knot;
            }
        }
        const auto& knots = grid.cross_knots(std::get<0>(key));
        const auto after =
            std::find_if(knots.begin(), knots.end(), [&, last = span.last](int knot) { return knot >= last; });
        if (after != knots.end()) {
            wider.last = *after;
        }
        span = wider;
    }
    return spans;
}

// A lane climbs from the lowest road to the highest one that reaches it; every other one fords the stream.
void add_lanes(const LotGrid& grid, int valley, const std::map<RoadKey, Span>& spans, std::vector<Road>& roads) {
    int nth = 0;
    for (int knot : grid.cross_knots(valley)) {
        std::vector<Line> arms;
        for (int side : {-1, 1}) {
            int top = -1;
            for (int road = 0; road < grid.road_count(); ++road) {
                const auto it = spans.find({valley, side, road});
                if (it != spans.end() && it->second.first <= knot && knot <= it->second.last) {
                    top = road;
                }
            }
            Line arm;
            for (int road = 0; road <= top; ++road) {
                arm.push_back(grid.road_point(valley, side, road, knot));
            }
            arms.push_back(arm);
        }
        const std::string name = fmt::format("Lane {}-{}", valley + 1, ++nth);
        if (nth % 2 == 0 && !arms[0].empty() && !arms[1].empty()) {
            Line whole(arms[0].rbegin(), arms[0].rend());
            whole.insert(whole.end(), arms[1].begin(), arms[1].end());
            roads.push_back({name, "lane", rounded_ring(whole)});
            continue;
        }
        for (const Line& arm : arms) {
            if (arm.size() > 1) {
                roads.push_back({name, "lane", rounded_ring(arm)});
            }
        }
    }
}

}  // namespace

std::vector<Road> make_roads(const LotGrid& grid, int valley_count, const std::vector<Lot>& lots) {
    const std::map<RoadKey, Span> spans = road_spans(grid, lots);
    std::vector<Road> roads;
    for (const auto& [key, span] : spans) {
        const auto [valley, side, road] = key;
        Line line;
        for (int knot = span.first; knot <= span.last; ++knot) {
            line.push_back(grid.road_point(valley, side, road, knot));
        }
        roads.push_back(
            {fmt::format("{} {}", road_name(road), side < 0 ? "West" : "East"), "road", rounded_ring(line)});
    }
    for (int valley = 0; valley < valley_count; ++valley) {
        add_lanes(grid, valley, spans, roads);
    }
    return roads;
}

}  // namespace demo
