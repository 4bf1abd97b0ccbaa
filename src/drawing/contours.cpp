#include "eaveshed/drawing/contours.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <unordered_map>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

// An edge between two neighbouring centres: eastward or southward from the cell of that number. A contour crosses it
// once or never.
using EdgeKey = std::uint64_t;

// From one edge of a square to another, with the higher ground to the right.
struct Step {
    EdgeKey from = 0;
    EdgeKey to = 0;
};

class Squares {
public:
    Squares(const Grid& grid, const RasterPatch& patch, double level) : m_grid(grid), m_patch(patch), m_level(level) {}

    [[nodiscard]] std::vector<Step> steps() const {
        std::vector<Step> steps;
        for (std::int64_t row = m_patch.range.row_begin; row + 1 < m_patch.range.row_end; ++row) {
            for (std::int64_t col = m_patch.range.col_begin; col + 1 < m_patch.range.col_end; ++col) {
                add_square(row, col, steps);
            }
        }
        return steps;
    }
    // Where the level lies on an edge.
    [[nodiscard]] Point crossing(EdgeKey edge) const {
        const auto cell = static_cast<std::int64_t>(edge / 2);
        const Cell here{m_patch.range.row_begin + cell / m_patch.range.cols(),
                        m_patch.range.col_begin + cell % m_patch.range.cols()};
        const Cell next{here.row + static_cast<std::int64_t>(edge % 2),
                        here.col + 1 - static_cast<std::int64_t>(edge % 2)};
        const double a = m_patch.at(here.row, here.col);
        const double b = m_patch.at(next.row, next.col);
        const double part = (m_level - a) / (b - a);
        const Point from = m_grid.centre(here);
        const Point to = m_grid.centre(next);
        return {from.x + part * (to.x - from.x), from.y + part * (to.y - from.y)};
    }

private:
    [[nodiscard]] EdgeKey edge(std::int64_t row, std::int64_t col, bool southward) const {
        const std::int64_t cell =
            (row - m_patch.range.row_begin) * m_patch.range.cols() + col - m_patch.range.col_begin;
        return 2 * static_cast<EdgeKey>(cell) + (southward ? 1U : 0U);
    }
    void add_square(std::int64_t row, std::int64_t col, std::vector<Step>& steps) const {
        // Clockwise from the north-west.
        const std::array<double, 4> corners{m_patch.at(row, col), m_patch.at(row, col + 1),
                                            m_patch.at(row + 1, col + 1), m_patch.at(row + 1, col)};
        if (std::ranges::any_of(corners, [](double value) { return std::isnan(value); })) {
            return;
        }
        // The edge behind each corner, clockwise: north, east, south, west.
        const std::array<EdgeKey, 4> edges{edge(row, col, false), edge(row, col + 1, true), edge(row + 1, col, false),
                                           edge(row, col, true)};
        const auto above = [&](std::size_t corner) { return corners[corner % 4] >= m_level; };
        // Clockwise, a line comes in where the ground falls below the level and goes out where it rises again: with
        // the low corners between, on its left.
        std::vector<std::size_t> falls;
        std::vector<std::size_t> rises;
        for (std::size_t i = 0; i < 4; ++i) {
            if (above(i) && !above(i + 1)) {
                falls.push_back(i);
            } else if (!above(i) && above(i + 1)) {
                rises.push_back(i);
            }
        }
        if (falls.size() == 2) {
            const bool middle = (corners[0] + corners[1] + corners[2] + corners[3]) / 4.0 >= m_level;
            for (const std::size_t fall : falls) {
                // High middle: each low corner is cut off alone, by the rise next to the fall; else each high one.
                const std::size_t rise = (fall + (middle ? 1 : 3)) % 4;
                steps.push_back({edges[fall], edges[rise]});
            }
        } else if (falls.size() == 1) {
            steps.push_back({edges[falls[0]], edges[rises[0]]});
        }
    }

    const Grid& m_grid;
    const RasterPatch& m_patch;
    double m_level;
};

// Steps joined end to end. No two come in, or go out, by one edge: the square on its other side does.
class StepChains {
public:
    explicit StepChains(const std::vector<Step>& steps) : m_steps(steps), m_used(steps.size(), false) {
        for (std::size_t i = 0; i < steps.size(); ++i) {
            m_by_from.emplace(steps[i].from, i);
            m_by_to.emplace(steps[i].to, i);
        }
    }
    // The edges of the chain that holds a step, in order; a closed one begins and ends with the same.
    [[nodiscard]] std::vector<EdgeKey> chain_with(std::size_t step) {
        std::size_t first = step;
        for (auto before = m_by_to.find(m_steps[first].from); before != m_by_to.end() && before->second != step;
             before = m_by_to.find(m_steps[first].from)) {
            first = before->second;
        }
        if (m_by_to.contains(m_steps[first].from)) {
            first = step;  // closed: it begins at the step first met
        }
        std::vector<EdgeKey> edges{m_steps[first].from};
        for (std::size_t here = first; !m_used[here];) {
            m_used[here] = true;
            edges.push_back(m_steps[here].to);
            const auto next = m_by_from.find(m_steps[here].to);
            if (next == m_by_from.end()) {
                break;
            }
            here = next->second;
        }
        return edges;
    }
    [[nodiscard]] bool used(std::size_t step) const { return m_used[step]; }

private:
    const std::vector<Step>& m_steps;
    std::vector<bool> m_used;
    std::unordered_map<EdgeKey, std::size_t> m_by_from;
    std::unordered_map<EdgeKey, std::size_t> m_by_to;
};

}  // namespace

std::vector<Contour> contours(const Grid& grid, const RasterPatch& patch, double level) {
    const Squares squares(grid, patch, level);
    const std::vector<Step> steps = squares.steps();
    StepChains chains(steps);
    std::vector<Contour> found;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        if (chains.used(i)) {
            continue;
        }
        const std::vector<EdgeKey> edges = chains.chain_with(i);
        Contour& contour = found.emplace_back(Contour{level, {}, edges.front() == edges.back()});
        for (const EdgeKey edge : edges) {
            const Point point = squares.crossing(edge);
            if (contour.line.empty() || !(contour.line.back() == point)) {
                contour.line.push_back(point);
            }
        }
        if (contour.line.size() < 2) {
            found.pop_back();  // a single point at the level
        }
    }
    return found;
}

std::vector<Contour> all_contours(const Grid& grid, const RasterPatch& patch, double step) {
    if (!(step > 0.0)) {
        internal_error("contours without a step");
    }
    double least = kMissing;
    double greatest = kMissing;
    for (const double value : patch.values) {
        least = value < least || std::isnan(least) ? value : least;
        greatest = value > greatest || std::isnan(greatest) ? value : greatest;
    }
    std::vector<Contour> found;
    if (std::isnan(least)) {
        return found;
    }
    const double first = std::ceil(least / step);
    for (int i = 0; (first + i) * step <= greatest; ++i) {
        std::ranges::move(contours(grid, patch, (first + i) * step), std::back_inserter(found));
    }
    return found;
}

}  // namespace eaveshed
