// Lines of which each question concerns a few edges: boxes around runs of edges leave the others out.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

#include "eaveshed/shape/local_frame.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/shape/segment.hpp"

namespace eaveshed {

// Safe to ask from several threads once the last line is in.
class BoxedLines {
public:
    BoxedLines() = default;
    explicit BoxedLines(const std::vector<Line>& lines);

    void push_back(Line line);

    [[nodiscard]] auto begin() const { return m_lines.begin(); }
    [[nodiscard]] auto end() const { return m_lines.end(); }

    // Calls `visit(edge)` in metres of the frame for every edge that may be within `limit_m()` of the point, in the
    // order of the lines; edges farther away may be among them. The limit is asked again and again and may fall
    // meanwhile.
    template <typename Limit, typename Visit>
    void visit_near(Point metres, const LocalFrame& frame, const Limit& limit_m, const Visit& visit) const {
        for (const Run& run : m_runs) {
            const double limit = limit_m() + kSlackM;
            if (squared_distance_to(run, metres, frame) > limit * limit) {
                continue;
            }
            const Line& line = m_lines[run.line];
            Point from = frame.to_metres(line[run.first]);
            for (std::size_t i = run.first + 1; i <= run.last; ++i) {
                const Point to = frame.to_metres(line[i]);
                visit(Segment{from, to});
                from = to;
            }
        }
    }

private:
    static constexpr double kSlackM = 1e-6;        // more than any rounding of a distance that matters
    static constexpr std::size_t kEdgesOfRun = 8;  // few enough that a box is small, enough that there are few boxes

    // Edges between points [first, last] of a line.
    struct Run {
        std::size_t line = 0;
        std::size_t first = 0;
        std::size_t last = 0;
        Box box;
    };

    static double squared_distance_to(const Run& run, Point metres, const LocalFrame& frame) {
        const Point low = frame.to_metres(Point{run.box.x_min, run.box.y_min});
        const Point high = frame.to_metres(Point{run.box.x_max, run.box.y_max});
        const double dx = std::max({0.0, low.x - metres.x, metres.x - high.x});
        const double dy = std::max({0.0, low.y - metres.y, metres.y - high.y});
        return dx * dx + dy * dy;
    }

    std::vector<Line> m_lines;
    std::vector<Run> m_runs;
};

}  // namespace eaveshed
