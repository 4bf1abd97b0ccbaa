// Lines whose edges are looked for by where they are: cut into short runs with a box around each, so that runs too far
// away are passed over whole.
#pragma once

#include <cstddef>
#include <utility>
#include <vector>

#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/shape/segment.hpp"

namespace eaveshed {

// Immutable after construction. Made of plain lines wherever these are given.
class LineRuns {
public:
    LineRuns() = default;
    LineRuns(std::vector<Line> lines);  // NOLINT(google-explicit-constructor): lines, and boxes that follow from them

    [[nodiscard]] const std::vector<Line>& lines() const { return m_lines; }

    // Calls visit(Segment) with every edge of the runs for whose box `wanted(Box)` is true, in the order of the lines;
    // `wanted` is asked of a run after all edges before it were visited.
    template <typename Wanted, typename Visit>
    void visit_edges(Wanted&& wanted, Visit&& visit) const {
        for (const Run& run : m_runs) {
            if (wanted(run.box)) {
                const Line& line = m_lines[run.line];
                for (std::size_t i = run.first + 1; i <= run.last; ++i) {
                    visit(Segment{line[i - 1], line[i]});
                }
            }
        }
    }

private:
    // The vertices [first, last] of a line.
    struct Run {
        std::size_t line = 0;
        std::size_t first = 0;
        std::size_t last = 0;
        Box box;
    };
    std::vector<Line> m_lines;
    std::vector<Run> m_runs;
};

}  // namespace eaveshed
