#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/summary/statements.hpp"
#include "eaveshed/words/wording.hpp"
#include "page_parts.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kPartsShown = 10;
constexpr std::size_t kPartNameBytes = 34;
constexpr std::string_view kPartsHeading = "{:<38}{:>9}{:>13}{:>12}{:>13}{:>12}\n";
constexpr std::string_view kPartLine = "  {:<36}{:>9}{:>13}{:>12}{:>13}{:>12}\n";

std::string part_name(const PartSum& part) {
    const std::string name = part.name.empty() ? "no name, outlet " + part.outlet_reach_id : part.name;
    return name.size() <= kPartNameBytes ? printable(name, kPartNameBytes) : printable(name, kPartNameBytes - 3);
}

std::string part_share(const std::optional<double>& share) {
    constexpr int kFigures = 2;
    return share ? with_figures(kPercent * *share, kFigures) + " %" : "-";
}

// Parts without candidates say nothing.
std::string parts_text(const std::vector<PartSum>& parts, std::string_view noun, const SummaryFacts& facts) {
    const QuantityText units(facts.settings.output.units);
    const bool felt = facts.felt_is_known("all");
    const auto flow = [&](const std::optional<double>& lps) {
        return !lps ? std::string("-") : units.entry("L/s", felt ? lps : std::nullopt);
    };
    std::string text;
    std::size_t told = 0;
    for (const PartSum& part : parts) {
        if (part.candidates == 0 || ++told > kPartsShown) {
            continue;
        }
        text += fmt::format(kPartLine, part_name(part), part.candidates, units.entry("m3", part.added_forbearance_m3),
                            flow(part.added_gain_lps), flow(part.end_gain_lps),
                            felt ? part_share(part.low_flow_share) : "-");
    }
    if (told > kPartsShown) {
        text += fmt::format("  and {}\n", counted(told - kPartsShown, "more " + std::string(noun)));
    }
    return text;
}

}  // namespace

std::string streams_part(const SummaryFacts& facts) {
    const std::string creeks = parts_text(facts.streams.creeks, "creek", facts);
    const std::string subbasins = parts_text(facts.streams.subbasins, "sub-basin", facts);
    if (creeks.empty() && subbasins.empty()) {
        return "";
    }
    const QuantityText units(facts.settings.output.units);
    std::string text = fmt::format(kPartsHeading, "What those that can be asked would add", "", "replaced", "mean flow",
                                   "flow at its", "of the low");
    const auto heading = [&](std::string_view what) {
        return fmt::format(kPartsHeading, what, "parcels", units.unit("m3"), units.unit("L/s"), "lower end",
                           "flow there");
    };
    text += creeks.empty() ? creeks : heading("by creek") + creeks;
    text += subbasins.empty() ? subbasins : heading("by sub-basin") + subbasins;
    return text +
           wrapped(
               "  flow at its lower end: with what comes from upstream; of the low flow there: where the streams' "
               "data state one.",
               4);
}

}  // namespace eaveshed
