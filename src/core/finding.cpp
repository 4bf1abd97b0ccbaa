#include "eaveshed/core/finding.hpp"

#include <algorithm>

namespace eaveshed {

std::size_t Findings::count(Severity severity) const {
    return static_cast<std::size_t>(
        std::ranges::count_if(m_list, [severity](const Finding& finding) { return finding.severity == severity; }));
}

}  // namespace eaveshed
