#include "eaveshed/shape/line_runs.hpp"

#include <algorithm>

namespace eaveshed {

LineRuns::LineRuns(std::vector<Line> lines) : m_lines(std::move(lines)) {
    constexpr std::size_t kEdgesInRun = 8;
    for (std::size_t i = 0; i < m_lines.size(); ++i) {
        const Line& line = m_lines[i];
        for (std::size_t first = 0; first + 1 < line.size(); first += kEdgesInRun) {
            Run run{i, first, std::min(first + kEdgesInRun, line.size() - 1), {}};
            for (std::size_t k = run.first; k <= run.last; ++k) {
                run.box.add(line[k]);
            }
            m_runs.push_back(run);
        }
    }
}

}  // namespace eaveshed
