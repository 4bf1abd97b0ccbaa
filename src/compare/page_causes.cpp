#include <fmt/format.h>

#include "eaveshed/words/wording.hpp"
#include "page.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kMostCauses = 40;  // of a kind
constexpr std::size_t kMostBytes = 160;  // of a value

std::string value_or(const std::optional<std::string>& value, std::string_view absent) {
    return value && !value->empty() ? printable(*value, kMostBytes) : std::string(absent);
}

std::string named_lines(const std::string& title, const std::vector<NamedChange>& changes, std::string_view absent) {
    if (changes.empty()) {
        return "";
    }
    std::string text = "  " + title + "\n";
    for (std::size_t i = 0; i < changes.size() && i < kMostCauses; ++i) {
        text += page_lines(fmt::format("    {}: {} before, {} after", printable(changes[i].name),
                                       value_or(changes[i].before, absent), value_or(changes[i].after, absent)),
                           8);
    }
    if (changes.size() > kMostCauses) {
        text += fmt::format("    and {} more (--json tells all)\n", changes.size() - kMostCauses);
    }
    return text;
}

// "2345 bytes of 2026-05-01T10:00:00Z, fingerprint 0123456789ab...".
std::string file_text(const RecordedInput& input) {
    constexpr std::size_t kDigits = 12;
    return fmt::format("{} bytes of {}, fingerprint {}...", input.size, printable(input.modified, 30),
                       printable(input.sha256.substr(0, kDigits)));
}

std::string input_line(const InputChange& change) {
    const RecordedInput& one = change.after ? *change.after : *change.before;
    const std::string what(term_of(change.fate).meaning);
    if (!change.before || !change.after) {
        return fmt::format("    {}: {}: {}", setting_and_path(change.setting, one.path), what, file_text(one));
    }
    if (change.fate == InputFate::renamed) {
        return fmt::format("    {}: {}: \"{}\" before", setting_and_path(change.setting, one.path), what,
                           printable(change.before->path));
    }
    const std::string former =
        change.before->path == one.path ? "" : fmt::format(" in place of \"{}\"", printable(change.before->path));
    return fmt::format("    {}{}: {}: {} before, {} after", setting_and_path(change.setting, one.path), former, what,
                       file_text(*change.before), file_text(*change.after));
}

std::string inputs_lines(const std::vector<InputChange>& changes) {
    if (changes.empty()) {
        return "";
    }
    std::string text = "  Inputs\n";
    for (std::size_t i = 0; i < changes.size() && i < kMostCauses; ++i) {
        text += page_lines(input_line(changes[i]), 8);
    }
    if (changes.size() > kMostCauses) {
        text += fmt::format("    and {} more (--json tells all)\n", changes.size() - kMostCauses);
    }
    return text;
}

std::string measured_lines(const std::vector<MeasuredChange>& changes) {
    if (changes.empty()) {
        return "";
    }
    std::string text =
        fmt::format("  Measured values: other ones at {}\n",
                    changes.size() == 1 ? "one roof or parcel" : fmt::format("{} roofs or parcels", changes.size()));
    const auto values = [](const std::string& held) { return held.empty() ? "none" : printable(held, kMostBytes); };
    for (std::size_t i = 0; i < changes.size() && i < kShownChanges; ++i) {
        const MeasuredChange& change = changes[i];
        text += page_lines(fmt::format("    {} {}: {} before; {} after", change.of_parcel ? "parcel" : "roof",
                                       printable(change.id, 40), values(change.before), values(change.after)),
                           8);
    }
    if (changes.size() > kShownChanges) {
        text += fmt::format("    and {} more (--json tells all)\n", changes.size() - kShownChanges);
    }
    return text;
}

}  // namespace

std::string causes_part(const Comparison& comparison) {
    const Causes& causes = comparison.causes;
    std::string text = "Why\n";
    if (causes.none()) {
        text += page_lines(
            "  Nothing differs that the files tell of: the same program, settings, inputs and measured values.", 2);
    }
    text += named_lines("Program", causes.program, "not there");
    text += named_lines("Settings", causes.settings, "not given");
    text += inputs_lines(causes.inputs);
    text += named_lines("What the inputs turned out to be", causes.found, "not there");
    text += measured_lines(causes.measured);
    const std::uint64_t talks = comparison.parcels.counts.touched.at(static_cast<std::size_t>(ChangeStep::contact));
    if (talks > 0) {
        text += page_lines(fmt::format("  How far talks are changed at {}.", counted(talks, "parcel")), 4);
    }
    if (causes.none() && talks == 0 && !(comparison.parcels.rows.empty() && comparison.roofs.rows.empty())) {
        text += page_lines("  Yet rows changed: the files do not tell why. One of them may have been edited.", 2);
    }
    std::string same;
    const auto add_same = [&same](bool differs, std::string_view what) {
        same += differs ? "" : (same.empty() ? "" : ", ") + std::string(what);
    };
    add_same(!causes.program.empty(), "program");
    add_same(!causes.settings.empty(), "settings");
    add_same(!causes.inputs.empty(), "inputs");
    add_same(!causes.measured.empty(), "measured values");
    add_same(talks > 0, "contacts");
    if (!causes.none() && !same.empty()) {
        text += page_lines("  Nothing differs in: " + same + ".", 4);
    }
    return text;
}

}  // namespace eaveshed
