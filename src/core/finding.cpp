#include "eaveshed/core/finding.hpp"

#include <algorithm>

namespace eaveshed {

void Findings::add(Finding finding) {
    if (finding.code && std::ranges::find(m_accepted, *finding.code) != m_accepted.end()) {
        finding.severity = Severity::note;
        finding.trouble.remedy = "accepted by check.accepted";
    }
    m_list.push_back(std::move(finding));
}

void Findings::check(CheckCode code, Trouble trouble) {
    const CheckRule& rule = rule_of(code);
    if (trouble.remedy.empty()) {
        trouble.remedy = rule.remedy;
    }
    add({rule.severity, std::move(trouble), code});
}

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
    const std::string code = finding.code ? " [" + std::string(to_text(*finding.code)) + "]" : "";
    return severity_name(finding.severity) + code + ": " + to_text(finding.trouble);
}

}  // namespace eaveshed
