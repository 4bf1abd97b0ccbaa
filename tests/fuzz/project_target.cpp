// Project files. Settings are given exactly when there is no error; each error says where and what; what was accepted
// reads back from its own rows as the same settings.
#include "eaveshed/project/from_rows.hpp"
#include "eaveshed/project/read_settings.hpp"
#include "eaveshed/settings/table.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {

void fuzz_project(Bytes bytes) {
    Findings findings;
    const std::optional<Settings> settings = read_settings(text_of(bytes), "basin.toml", findings);
    require(settings.has_value() == (findings.count(Severity::error) == 0), "settings and errors, or neither");
    for (const Finding& finding : findings.list()) {
        require(!finding.trouble.where.empty() && !finding.trouble.found.empty(), "a finding that says nothing");
    }
    if (!settings) {
        return;
    }
    const auto rows = effective_settings(*settings);
    Findings again;
    const std::optional<Settings> copy = settings_from_rows(rows, "record", again);
    if (!copy) {
        throw Broken(std::string("settings that do not read back: ") + error_of(again, "record").what());
    }
    require(effective_settings(*copy) == rows, "settings that read back as others");
}

}  // namespace eaveshed::fuzz
