#include "override_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <utility>

#include "eaveshed/fieldbook/contact_word.hpp"
#include "eaveshed/measured/contact_status.hpp"
#include "eaveshed/measured/overrides.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kExamples = 5;
constexpr std::size_t kIdBytes = 60;

std::string name_of(const OverrideRow& row) {
    std::string name = fmt::format("row {}", *row.row_number);
    if (row.roof_id) {
        name += fmt::format(", roof '{}'", printable(*row.roof_id, kIdBytes));
    }
    if (row.parcel_id) {
        name += fmt::format(", parcel '{}'", printable(*row.parcel_id, kIdBytes));
    }
    return name;
}

class Report {
public:
    Report(const std::string& where, const std::vector<OverrideEntry>& entries, Findings& findings)
        : m_where(where), m_entries(entries), m_findings(findings) {}

    void tell_rows() const;
    void tell_unused() const;
    void tell_words(const Settings& settings) const;

private:
    // Rows of one outcome with their reasons; nothing for none.
    void tell(OverrideOutcome outcome, const std::string& found, const std::string& wanted,
              const std::string& remedy) const;

    const std::string& m_where;
    const std::vector<OverrideEntry>& m_entries;
    Findings& m_findings;
};

void Report::tell(OverrideOutcome outcome, const std::string& found, const std::string& wanted,
                  const std::string& remedy) const {
    std::vector<std::string> rows;
    for (const OverrideEntry& entry : m_entries) {
        if (entry.row.outcome != outcome) {
            continue;
        }
        std::string text = name_of(entry.row);
        if (outcome == OverrideOutcome::carried) {
            text += fmt::format(" -> '{}'", printable(*entry.row.applied_to, kIdBytes));
        } else if (entry.row.reason) {
            text += ": " + *entry.row.reason;
        }
        rows.push_back(std::move(text));
    }
    if (rows.empty()) {
        return;
    }
    const bool harmless =
        outcome == OverrideOutcome::applied || outcome == OverrideOutcome::carried || outcome == OverrideOutcome::empty;
    std::string what = fmt::format("{} {}", counted(rows.size(), "row"), found);
    if (outcome != OverrideOutcome::applied) {
        what += fmt::format(": {}", listed(rows, kExamples));
    }
    m_findings.add({harmless ? Severity::note : Severity::warning, {m_where, what, wanted, remedy}});
}

void Report::tell_rows() const {
    tell(OverrideOutcome::applied, "of measured values, applied by id", "", "");
    tell(OverrideOutcome::carried, "carried over to what now lies where the old outline lay", "",
         "look at them on a map, then give the table the new ids");
    tell(OverrideOutcome::empty, "with an id and no value", "", "nothing of them is used yet");
    tell(OverrideOutcome::ambiguous, "that could mean several, or that contradict another, not applied",
         "one roof or parcel for a row, and one value for each column",
         "give the id that is meant, or the value that holds; nothing is lost: they stand in the output's table "
         "overrides");
    tell(OverrideOutcome::no_match, "without a match, not applied", "ids of the present footprints and parcels",
         "correct the ids; where footprints were issued again, name the earlier screening as overrides.former, or "
         "give the table the old outlines; nothing is lost: they stand in the output's table overrides");
    tell(OverrideOutcome::not_usable, "that cannot be used", "a roof_id or a parcel_id, and a value that holds",
         "mend them (eaveshed help overrides)");
}

void Report::tell_unused() const {
    std::map<std::pair<std::string, std::string>, std::vector<std::string>> by_cause;
    for (const OverrideEntry& entry : m_entries) {
        for (const UnusedValue& value : entry.unused) {
            by_cause[{value.column, value.wanted}].push_back(
                fmt::format("\"{}\" ({})", printable(value.found, kIdBytes), name_of(entry.row)));
        }
    }
    for (const auto& [cause, values] : by_cause) {
        m_findings.warn({m_where,
                         fmt::format("{} of {} not used: {}", counted(values.size(), "value"), cause.first,
                                     listed(values, kExamples)),
                         cause.second, "mend them; the input or the default stands until then"});
    }
}

// Words that are used and mean less than they could.
void Report::tell_words(const Settings& settings) const {
    std::vector<std::string> materials;
    UnknownStatuses states;
    for (const OverrideEntry& entry : m_entries) {
        const auto& material = entry.row.material;
        if (material && !settings.harvest.runoff_coefficient.contains(*material) && !entry.row.runoff_coefficient) {
            materials.push_back(fmt::format("\"{}\" ({})", printable(*material, kIdBytes), name_of(entry.row)));
        }
        const auto& state = entry.row.contact_status;
        if (state && !contact_status_of(*state)) {
            states.add(*state, entry.row.parcel_id.value_or(""));
        }
    }
    if (!materials.empty()) {
        m_findings.warn({m_where,
                         fmt::format("materials without a runoff coefficient: {}", listed(materials, kExamples)),
                         "a material of [harvest.runoff_coefficient]",
                         "add it there, or give runoff_coefficient: until then the default stands (flag "
                         "default_material)"});
    }
    states.tell(m_where, m_findings);
}

}  // namespace

void report_overrides(const std::string& where, const std::vector<OverrideEntry>& entries, const Settings& settings,
                      Findings& findings) {
    const Report report(where, entries, findings);
    report.tell_rows();
    report.tell_unused();
    report.tell_words(settings);
}

std::size_t Overrides::count(OverrideOutcome outcome) const {
    return static_cast<std::size_t>(
        std::ranges::count_if(rows, [&](const OverrideRow& row) { return row.outcome == outcome; }));
}

std::string overrides_line(const Overrides& overrides) {
    const std::size_t applied = overrides.count(OverrideOutcome::applied);
    const std::size_t carried = overrides.count(OverrideOutcome::carried);
    const std::size_t empty = overrides.count(OverrideOutcome::empty);
    return fmt::format(
        "{}: {} applied by id, {} carried over, {} ambiguous, {} without a match, {} not usable, {} "
        "without a value",
        counted(overrides.rows.size(), "row"), applied, carried, overrides.count(OverrideOutcome::ambiguous),
        overrides.count(OverrideOutcome::no_match), overrides.count(OverrideOutcome::not_usable), empty);
}

}  // namespace eaveshed
