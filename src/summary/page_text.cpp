#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "eaveshed/core/error.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/summary/page.hpp"
#include "eaveshed/summary/statements.hpp"
#include "eaveshed/words/text_lines.hpp"
#include "eaveshed/words/wording.hpp"
#include "page_parts.hpp"

namespace eaveshed {

namespace {

constexpr std::array<std::string_view, 12> kMonths{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                   "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

// The list's file beside the GeoPackage's own name.
std::string beside(const std::string& file, const std::string& ending) {
    const auto dot = file.rfind(".gpkg");
    return (dot == std::string::npos ? file : file.substr(0, dot)) + ending;
}

bool has_prices(const SummaryFacts& facts) {
    return std::ranges::any_of(facts.parcels, [](const ParcelRow& row) { return row.cost.has_value(); });
}

// Whether the commands that read the inputs again find them without being told where; for one all of them are asked,
// since they lie together as a rule.
bool inputs_are_found(const SummaryFacts& facts) {
    constexpr std::array<std::string_view, 1> kAny{"footprints.source"};
    try {
        (void)recorded_project(facts.settings, facts.file(), "", kAny);
        return true;
    } catch (const Error&) {
        return false;
    }
}

}  // namespace

std::string month_words(const SummaryFacts& facts) {
    std::string text;
    for (const int month : facts.settings.season.forbear_months) {
        text += fmt::format("{}{}", text.empty() ? "" : ", ", kMonths.at(static_cast<std::size_t>(month - 1)));
    }
    return text;
}

std::string wrapped(const std::string& text, std::size_t indent) {
    return wrapped_text(text, kPageColumns, indent);
}

std::string next_part(const SummaryFacts& facts) {
    const std::string file = shell_word(facts.file());
    const std::string file_and_inputs = file + (inputs_are_found(facts) ? "" : " --project PROJECT.toml");
    std::string text = "Next\n";
    const auto step = [&text](const std::string& what, const std::string& how) {
        text += fmt::format("  {:<29}{}\n", what, how);
    };
    step("look at it on a map", file + (facts.of_parcels() ? "  (layers parcels, pads)" : "  (layers roofs, pads)"));
    if (facts.of_parcels()) {
        step("a list to call from", fmt::format("eaveshed rank {} --top 50 --csv {}", file_and_inputs,
                                                shell_word(beside(facts.file(), "_calls.csv"))));
        step("a page and sheets to print", fmt::format("eaveshed report {} --top 20 -o {}", file_and_inputs,
                                                       shell_word(beside(facts.file(), "_report"))));
        if (has_prices(facts)) {
            step("whom to enrol for a budget", fmt::format("eaveshed enrol {} --budget 100000", file_and_inputs));
        }
        if (!facts.parcels.empty()) {
            step("why a parcel is where it is", fmt::format("eaveshed explain {} --parcel {}", file_and_inputs,
                                                            shell_word(facts.parcels.front().parcel_id)));
        }
    } else if (!facts.roofs.empty()) {
        step("the numbers behind a roof",
             fmt::format("eaveshed explain {} --roof {}", file_and_inputs, shell_word(facts.roofs.front().roof_id)));
    }
    step("this page again", fmt::format("eaveshed summary {}", file));
    return text;
}

std::string page_text(const SummaryFacts& facts) {
    const std::string& name = facts.settings.basin.name;
    std::string text = (name.empty() ? std::string("The basin") : printable(name, 90)) + "\n\n";
    text += headline_part(facts) + "\n";
    const std::string streams = streams_part(facts);
    text += streams.empty() ? streams : streams + "\n";
    text += list_part(facts) + "\n";
    text += roofs_part(facts) + "\n";
    text += basis_part(facts) + "\n";
    text += wrapped(std::string(kNoDesign), 0) + "\n";
    return text + next_part(facts);
}

std::string page_of(const std::string& file, bool json, Findings& findings) {
    const SummaryFacts facts = read_summary(open_result(file, findings), file);
    return json ? page_json(facts) : page_text(facts);
}

}  // namespace eaveshed
