#include "eaveshed/core/finding.hpp"

#include <algorithm>

namespace eaveshed {

void Findings::tell(std::uint64_t concerned, std::uint64_t of, Trouble trouble) {
    constexpr std::uint64_t kFew = 20;
    if (concerned > 0) {
        add({concerned * kFew < of ? Severity::note : Severity::warning, std::move(trouble)});
    }
}

std::size_t Findings::count(Severity severity) const {
    return static_cast<std::size_t>(
        std::ranges::count_if(m_list, [severity](const Finding& finding) { return finding.severity == severity; }));
}

std::string severity_name(Severity severity) {
    switch (severity) {
        case Severity::error: return "error";
        case Severity::warning: return "warning";
        case Severity::note: break;
    }
    return "note";
}

std::string finding_line(const Finding& finding) {
    return severity_name(finding.severity) + ": " + to_text(finding.trouble);
}

}  // namespace eaveshed
