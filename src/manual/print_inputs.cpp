// The inputs in Markdown.
#include <ostream>
#include <string>

#include <fmt/format.h>

#include "eaveshed/manual/print.hpp"
#include "eaveshed/settings/table.hpp"

namespace eaveshed {

namespace {

std::string kind_text(const InputRole& role) {
    const std::string noun(formats_of(role.kind).noun);
    return role.kind == InputKind::layer ? fmt::format("{} of {}", noun, to_text(role.geometry)) : noun;
}

std::string need_text(const Setting& setting) {
    const bool repeated = find_section(setting.section)->repeated;
    if (setting.required && !repeated) {
        return "required";
    }
    return fmt::format("optional{}; without it {}", repeated ? ", as many as wanted" : "", setting.role->without);
}

std::string crs_text(const InputRole& role) {
    return role.crs == CrsDuty::stated ? "the file has to state it" : "that of the footprints where none is stated";
}

std::string overlap_text(const InputRole& role) {
    switch (role.overlap) {
        case Overlap::measure: return "the others are held against these";
        case Overlap::all:
        case Overlap::parts:
        case Overlap::as_read: return "it has to meet the footprints: an error where it does not";
        case Overlap::effect: return fmt::format("a warning where it does not meet the footprints: {}", role.elsewhere);
        case Overlap::none: break;
    }
    return "not asked";
}

// Cells may not hold what ends them.
void print_row(std::ostream& out, std::string_view what, std::string_view text) {
    out << "| " << what << " | " << text << " |\n";
}

void print_input(std::ostream& out, const Setting& setting) {
    const InputRole& role = *setting.role;
    out << "\n## " << name_of(setting) << "\n\n" << setting.meaning << "\n\n| | |\n| --- | --- |\n";
    print_row(out, "kind", kind_text(role));
    print_row(out, "formats", formats_of(role.kind).words);
    print_row(out, "needed", need_text(setting));
    print_row(out, "reference system", crs_text(role));
    print_row(out, "place", overlap_text(role));
    if (!role.only_with.setting.empty() && role.only_with.setting != "footprints.source") {
        print_row(out, "used only with", role.only_with.setting);
    }
}

}  // namespace

void print_inputs(std::ostream& out) {
    out << "# Inputs\n\n"
           "What a project reads, by the setting that names it. `eaveshed check` opens each of them and says what it\n"
           "understood. This page is made by `eaveshed help inputs`.\n";
    for (const Setting* const input : input_settings()) {
        print_input(out, *input);
    }
}

}  // namespace eaveshed
