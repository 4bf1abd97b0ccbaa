// What a look at the inputs brought up, for `check` and for the run record. A finding never stops anything by itself:
// errors are collected so that a planner sees them all at once, then they stop the run.
#pragma once

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

enum class Severity : std::uint8_t { note, warning, error };

struct Finding {
    Severity severity = Severity::note;
    Trouble trouble;
};

// Findings in the order in which they were made.
class Findings {
public:
    void note(Trouble trouble) { m_list.push_back({Severity::note, std::move(trouble)}); }
    void warn(Trouble trouble) { m_list.push_back({Severity::warning, std::move(trouble)}); }
    void error(Trouble trouble) { m_list.push_back({Severity::error, std::move(trouble)}); }

    // Of something that concerns some of many: nothing for none, a note where they are fewer than one in twenty, which
    // their rows tell, else a warning.
    void tell(std::uint64_t concerned, std::uint64_t of, Trouble trouble);

    void add(Finding finding) { m_list.push_back(std::move(finding)); }

    [[nodiscard]] const std::vector<Finding>& list() const { return m_list; }
    [[nodiscard]] std::size_t count(Severity severity) const;

private:
    std::vector<Finding> m_list;
};

[[nodiscard]] std::string severity_name(Severity severity);
// "error: where: found ...; wanted ...; remedy".
[[nodiscard]] std::string finding_line(const Finding& finding);

}  // namespace eaveshed
