#include "eaveshed/shape/boxed_lines.hpp"

#include <utility>

namespace eaveshed {

BoxedLines::BoxedLines(const std::vector<Line>& lines) {
    for (const Line& line : lines) {
        push_back(line);
    }
}

void BoxedLines::push_back(Line line) {
    for (std::size_t first = 0; first + 1 < line.size(); first += kEdgesOfRun) {
        Run run{m_lines.size(), first, std::min(first + kEdgesOfRun, line.size() - 1), {}};
        for (std::size_t i = run.first; i <= run.last; ++i) {
            run.box.add(line[i]);
        }
        m_runs.push_back(run);
    }
    m_lines.push_back(std::move(line));
}

}  // namespace eaveshed
