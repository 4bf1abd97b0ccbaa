#include "eaveshed/creeks/creeks.hpp"

#include <algorithm>
#include <limits>
#include <utility>

#include "eaveshed/shape/measure.hpp"

namespace eaveshed {

namespace {

std::vector<Line> lines_of(const std::vector<CreekReach>& reaches, const LocalFrame& frame) {
    std::vector<Line> lines;
    lines.reserve(reaches.size());
    for (const CreekReach& reach : reaches) {
        lines.push_back(frame.to_metres(reach.line));
    }
    return lines;
}

}  // namespace

Creeks::Creeks() = default;
Creeks::~Creeks() = default;
Creeks::Creeks(Creeks&& other) noexcept = default;
Creeks& Creeks::operator=(Creeks&& other) noexcept = default;

Creeks::Creeks(std::vector<CreekReach> reaches, ReachTree tree, const TerrainMetric& metric, const Box& extent,
               std::shared_ptr<const WaysToStream> ways)
    : m_reaches(std::move(reaches)),
      m_tree(std::move(tree)),
      m_metric(metric),
      m_frame(metric.frame_at(extent.middle())),
      m_index(lines_of(m_reaches, m_frame)),
      m_ways(std::move(ways)) {}

std::uint64_t Creeks::bytes() const {
    std::uint64_t points = 0;
    for (const CreekReach& reach : m_reaches) {
        points += reach.line.size();
    }
    return points * kBytesAPoint + m_reaches.size() * kBytesAReach;
}

void Creeks::lead(std::shared_ptr<const WaysToStream> ways) {
    m_ways = std::move(ways);
}

std::uint64_t Creeks::led_cells() const {
    return m_ways != nullptr ? static_cast<std::uint64_t>(m_ways->grid().rows * m_ways->grid().cols) : m_promised_cells;
}

std::optional<NearReach> Creeks::nearest(Point place) const {
    const auto first = m_index.nearest(m_frame.to_metres(place));
    if (!first || !m_metric.geographic) {
        return first;
    }
    // In degrees the one frame of all lines is off: among all that may be the nearest the place's own metres decide.
    // They are those of the frame stretched along both axes.
    const LocalFrame own = m_metric.frame_at(place);
    const auto [least, most] =
        std::minmax({own.metres_per_x / m_frame.metres_per_x, own.metres_per_y / m_frame.metres_per_y});
    constexpr double kRounding = 1.0 + 1e-9;
    constexpr double kAtLeastM = 1e-3;
    NearReach best{kNoReach, std::numeric_limits<double>::infinity()};
    for (const NearReach& other :
         m_index.within(m_frame.to_metres(place), kRounding * first->distance_m * most / least + kAtLeastM)) {
        const double distance_m = distance_to_line(own.to_metres(m_reaches[other.reach].line), own.to_metres(place));
        if (distance_m < best.distance_m || (distance_m == best.distance_m && other.reach < best.reach)) {
            best = {other.reach, distance_m};
        }
    }
    return best;
}

std::optional<ReachEntry> Creeks::entry_of(const std::optional<Point>& place,
                                           const std::optional<Point>& diversion) const {
    if (diversion) {
        const auto near = nearest(*diversion);
        return near ? std::optional(ReachEntry{near->reach, EntryWay::diversion, near->distance_m}) : std::nullopt;
    }
    if (!place) {
        return std::nullopt;
    }
    if (m_ways != nullptr) {
        if (const auto entry = m_ways->entry_of(*place)) {
            return ReachEntry{entry->reach, EntryWay::flow, entry->distance_m};
        }
    }
    const auto near = nearest(*place);
    return near ? std::optional(ReachEntry{near->reach, EntryWay::nearest, near->distance_m}) : std::nullopt;
}

}  // namespace eaveshed
