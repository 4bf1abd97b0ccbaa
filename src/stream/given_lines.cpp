#include "eaveshed/stream/given_lines.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/shape/box_index.hpp"
#include "eaveshed/shape/measure.hpp"
#include "eaveshed/stream/nearest_reach.hpp"

namespace eaveshed {

namespace {

// Groups of ends; the least number of a group stands for it.
class Groups {
public:
    explicit Groups(std::size_t count) : m_parent(count) { std::iota(m_parent.begin(), m_parent.end(), 0U); }
    std::uint32_t least(std::uint32_t i) {
        while (m_parent[i] != i) {
            m_parent[i] = m_parent[m_parent[i]];
            i = m_parent[i];
        }
        return i;
    }
    void join(std::uint32_t a, std::uint32_t b) {
        a = least(a);
        b = least(b);
        m_parent[std::max(a, b)] = std::min(a, b);
    }

private:
    std::vector<std::uint32_t> m_parent;
};

// Where the way down from each line ends, asked again and again while ways are led on.
class WayEnds {
public:
    WayEnds() = default;
    explicit WayEnds(std::vector<std::uint32_t> next) : m_next(std::move(next)) {
        for (std::uint32_t i = 0; i < m_next.size(); ++i) {
            m_next[i] = m_next[i] == kNoReach ? i : m_next[i];
        }
    }
    // Of a loop; before any way into it is asked for.
    void end_at(std::uint32_t line) { m_next[line] = line; }
    // From an end on into a line whose way ends elsewhere.
    void lead(std::uint32_t end, std::uint32_t to) { m_next[end] = to; }
    // Each question halves the way for those that follow.
    std::uint32_t of(std::uint32_t line) {
        while (m_next[line] != line) {
            m_next[line] = m_next[m_next[line]];
            line = m_next[line];
        }
        return line;
    }

private:
    std::vector<std::uint32_t> m_next;  // an end leads to itself
};

double squared_distance_between(Point a, Point b) {
    return (a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y);
}

class NetworkMaker {
public:
    NetworkMaker(const std::vector<GivenLine>& given, const LineRules& rules) : m_rules(rules), m_next(given.size()) {
        m_result.turned = rules.turn;
        m_lines.reserve(given.size());
        for (const GivenLine& one : given) {
            judge(one);
        }
        m_index = ReachIndex(m_lines);
    }

    GivenNetwork made() {
        number_nodes();
        lead_on();
        cut_loops();
        join_midway();
        find_gaps();
        find_short_lines();
        m_result.tree = ReachTree(std::move(m_next));
        return std::move(m_result);
    }

private:
    [[nodiscard]] bool is_line(std::uint32_t line) const { return m_lines[line].size() >= 2; }
    [[nodiscard]] std::uint32_t count() const { return static_cast<std::uint32_t>(m_lines.size()); }

    void judge(const GivenLine& given) {
        const auto number = static_cast<std::uint32_t>(m_lines.size());
        m_lines.push_back(given.line);
        const double rise_m = given.last_elev_m - given.first_elev_m;
        if (std::isnan(rise_m)) {
            m_result.unjudged.push_back(number);
        } else if (rise_m > m_rules.elevation_slack_m) {
            m_result.rising.push_back(number);
            if (m_rules.turn) {
                std::ranges::reverse(m_lines.back());
            }
        }
    }

    // Ends 2 i and 2 i + 1 are the upper and the lower one of line i.
    [[nodiscard]] Groups grouped_ends() const {
        std::vector<Box> boxes(2 * m_lines.size());
        for (std::uint32_t i = 0; i < count(); ++i) {
            if (is_line(i)) {
                const std::size_t upper = 2 * std::size_t{i};
                boxes[upper].add(m_lines[i].front());
                boxes[upper + 1].add(m_lines[i].back());
            }
        }
        const BoxIndex index(boxes);
        const double limit = m_rules.join_m * m_rules.join_m;
        Groups groups(boxes.size());
        for (std::uint32_t i = 0; i < boxes.size(); ++i) {
            if (boxes[i].empty()) {
                continue;
            }
            const Point place{boxes[i].x_min, boxes[i].y_min};
            for (const std::uint32_t j : index.query(boxes[i].grown(m_rules.join_m, m_rules.join_m))) {
                const double squared = squared_distance_between(place, {boxes[j].x_min, boxes[j].y_min});
                if (j < i && squared <= limit && (j / 2 != i / 2 || squared == 0.0)) {
                    groups.join(i, j);
                }
            }
        }
        return groups;
    }

    void number_nodes() {
        Groups groups = grouped_ends();
        std::vector<std::uint32_t> node(2 * m_lines.size());
        for (std::uint32_t i = 0; i < node.size(); ++i) {
            const std::uint32_t least = groups.least(i);
            node[i] = least == i ? m_result.node_count++ : node[least];
        }
        for (std::uint32_t i = 0; i < count(); ++i) {
            const std::size_t upper = 2 * std::size_t{i};
            m_result.upper_node.push_back(node[upper]);
            m_result.lower_node.push_back(node[upper + 1]);
        }
    }

    void lead_on() {
        m_leaving.resize(m_result.node_count);
        for (std::uint32_t i = 0; i < count(); ++i) {
            if (is_line(i)) {
                m_leaving[m_result.upper_node[i]].push_back(i);
            }
        }
        for (const std::vector<std::uint32_t>& arms : m_leaving) {
            if (arms.size() > 1) {
                m_result.forks.push_back({arms});
            }
        }
        std::ranges::sort(m_result.forks, {}, [](const LineFork& fork) { return fork.arms.front(); });
        for (std::uint32_t i = 0; i < count(); ++i) {
            const auto& arms = m_leaving[m_result.lower_node[i]];
            m_next[i] = is_line(i) && !arms.empty() ? arms.front() : kNoReach;
        }
    }

    void cut_loops() {
        std::vector<std::uint32_t> walk(m_lines.size(), kNoReach);  // which walk came by
        std::vector<std::uint32_t> ends;
        m_last = WayEnds(m_next);
        for (std::uint32_t start = 0; start < count(); ++start) {
            std::uint32_t at = start;
            while (at != kNoReach && walk[at] == kNoReach) {
                walk[at] = start;
                at = m_next[at];
            }
            if (at != kNoReach && walk[at] == start) {
                m_last.end_at(at);
                ends.push_back(at);
            }
        }
        for (const std::uint32_t end : ends) {
            cut_loop_of(end);
        }
        std::ranges::sort(m_result.loops, {}, [](const LineLoop& loop) { return loop.lines.front(); });
        m_last = WayEnds(m_next);
    }

    void cut_loop_of(std::uint32_t end) {
        LineLoop loop;
        for (std::uint32_t at = end; loop.lines.empty() || at != end; at = m_next[at]) {
            loop.lines.push_back(at);
        }
        std::ranges::sort(loop.lines);
        loop.cut = loop.lines.back();
        for (const std::uint32_t candidate : loop.lines) {
            const auto& arms = m_leaving[m_result.lower_node[candidate]];
            const auto away = std::ranges::find_if(arms, [&](std::uint32_t arm) { return m_last.of(arm) != end; });
            if (away != arms.end()) {
                loop.cut = candidate;
                loop.to = *away;
                m_last.lead(end, loop.to);
                break;
            }
        }
        m_next[loop.cut] = loop.to;
        m_result.loops.push_back(std::move(loop));
    }

    // Of the lines at most so far from the lower end, the nearest that neither ends nor drains there.
    [[nodiscard]] std::optional<NearReach> not_draining_here(std::uint32_t line, double limit_m) {
        const std::uint32_t node = m_result.lower_node[line];
        return m_index.nearest(m_lines[line].back(), limit_m, [&](std::uint32_t other) {
            return is_line(other) && m_result.lower_node[other] != node &&
                   m_result.lower_node[m_last.of(other)] != node;
        });
    }

    void join_midway() {
        for (std::uint32_t i = 0; i < count(); ++i) {
            if (!is_line(i) || m_next[i] != kNoReach || !m_leaving[m_result.lower_node[i]].empty()) {
                continue;
            }
            if (const auto near = not_draining_here(i, m_rules.join_m)) {
                m_next[i] = near->reach;
                m_last.lead(i, near->reach);
                m_result.joined_midway.push_back(i);
            }
        }
    }

    void find_gaps() {
        std::vector<bool> seen(m_result.node_count, false);
        for (std::size_t i = 0; !m_rules.turn && i < m_result.rising.size(); ++i) {
            seen[m_result.lower_node[m_result.rising[i]]] = true;
        }
        for (std::uint32_t i = 0; i < count(); ++i) {
            const std::uint32_t node = m_result.lower_node[i];
            if (!is_line(i) || m_next[i] != kNoReach || seen[node] || !m_leaving[node].empty()) {
                continue;
            }
            seen[node] = true;
            if (const auto near = not_draining_here(i, m_rules.gap_m)) {
                m_result.gaps.push_back({i, near->reach, near->distance_m});
            }
        }
    }

    void find_short_lines() {
        for (std::uint32_t i = 0; i < count(); ++i) {
            if (is_line(i) && planar_length(m_lines[i]) <= m_rules.join_m) {
                m_result.short_lines.push_back(i);
            }
        }
    }

    LineRules m_rules;
    std::vector<Line> m_lines;  // as turned
    ReachIndex m_index;
    std::vector<std::uint32_t> m_next;
    WayEnds m_last;
    std::vector<std::vector<std::uint32_t>> m_leaving;  // by node, ascending
    GivenNetwork m_result;
};

}  // namespace

GivenNetwork network_of(const std::vector<GivenLine>& lines, const LineRules& rules) {
    if (!(rules.join_m >= 0.0 && rules.gap_m >= 0.0 && rules.elevation_slack_m >= 0.0)) {
        internal_error("a tolerance of stream lines below 0");
    }
    return NetworkMaker(lines, rules).made();
}

Line as_turned(const GivenNetwork& network, std::uint32_t number, Line line) {
    if (network.turned && std::ranges::binary_search(network.rising, number)) {
        std::ranges::reverse(line);
    }
    return line;
}

}  // namespace eaveshed
