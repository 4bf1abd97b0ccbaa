#include <fmt/format.h>

#include "eaveshed/compare/compare.hpp"
#include "eaveshed/words/text_lines.hpp"
#include "eaveshed/words/wording.hpp"
#include "page.hpp"

namespace eaveshed {

namespace {

std::string file_line(std::string_view when, const SummaryFacts& facts) {
    const std::string& name = facts.settings.basin.name;
    return page_lines(fmt::format("{}: {}{}, by version {}", when, printable(facts.file()),
                                  name.empty() ? "" : fmt::format(" ({})", printable(name, 60)),
                                  printable(facts.record.text("program.version"), 40)),
                      8);
}

bool nothing_changed(const Comparison& comparison) {
    return comparison.parcels.rows.empty() && comparison.roofs.rows.empty();
}

}  // namespace

std::string page_lines(const std::string& text, std::size_t indent) {
    return wrapped_text(text, kPageColumns, indent);
}

std::string comparison_text(const Comparison& comparison) {
    std::string text = "What changed between two screenings\n\n";
    text += file_line("before", comparison.before) + file_line("after ", comparison.after);
    if (nothing_changed(comparison)) {
        text += "\nNothing changed: every roof and parcel that can be compared has the same values in both files.\n";
    }
    if (!comparison.cautions.empty()) {
        text += "\nTo know before reading\n";
        for (const std::string& caution : comparison.cautions) {
            text += page_lines("  - " + caution, 4);
        }
    }
    text += "\n" + totals_part(comparison);
    const std::string creeks = creeks_part(comparison);
    text += creeks.empty() ? creeks : "\n" + creeks;
    if (comparison.before.of_parcels() || comparison.after.of_parcels()) {
        text += "\n" + ranking_part(comparison);
    }
    return text + "\n" + causes_part(comparison) + "\n" + rows_part(comparison);
}

}  // namespace eaveshed
