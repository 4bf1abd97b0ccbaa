// What a look at the inputs brought up, for `check` and for the run record. A finding never stops anything by itself:
// errors are collected so that a planner sees them all at once, then they stop the run.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "eaveshed/core/check_code.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/core/severity.hpp"

namespace eaveshed {

struct Finding {
    Severity severity = Severity::note;
    Trouble trouble;
    std::optional<CheckCode> code{};  // of what the table of checks has
};

// Findings in the order in which they were made.
class Findings {
public:
    void note(Trouble trouble) { add({Severity::note, std::move(trouble)}); }
    void warn(Trouble trouble) { add({Severity::warning, std::move(trouble)}); }
    void error(Trouble trouble) { add({Severity::error, std::move(trouble)}); }
    // One of the table of checks, with its severity; an empty remedy is the table's.
    void check(CheckCode code, Trouble trouble);

    // Findings with these codes that come from now on are deliberate: they become notes that say so.
    void accept(std::vector<CheckCode> codes) { m_accepted = std::move(codes); }

    // Of something that concerns some of many: nothing for none, a note where they are fewer than one in twenty, which
    // their rows tell, else a warning.
    void tell(std::uint64_t concerned, std::uint64_t of, Trouble trouble);

    void add(Finding finding);

    [[nodiscard]] const std::vector<Finding>& list() const { return m_list; }
    [[nodiscard]] std::size_t count(Severity severity) const;

private:
    std::vector<Finding> m_list;
    std::vector<CheckCode> m_accepted;
};

[[nodiscard]] std::string severity_name(Severity severity);
// "error: where: found ...; wanted ...; remedy"; with its code, where it has one, in brackets behind "error".
[[nodiscard]] std::string finding_line(const Finding& finding);

}  // namespace eaveshed
