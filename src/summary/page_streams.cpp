#include <fmt/format.h>

#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/result/reaches_of_file.hpp"
#include "eaveshed/summary/statements.hpp"
#include "eaveshed/words/text_lines.hpp"
#include "eaveshed/words/wording.hpp"
#include "page_parts.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kPartsShown = 10;
constexpr std::size_t kPartNameBytes = 29;
constexpr std::string_view kPartsHeading = "{:<32}{:>8}{:>10}{:>12}{:>11}{:>13}{:>12}\n";
constexpr std::string_view kPartLine = "  {:<30}{:>8}{:>10}{:>12}{:>11}{:>13}{:>12}\n";
constexpr std::string_view kParcelsOnly =
    "Reaches and sub-basins count the gains of parcels only: give [parcels] to have sums by creek and sub-basin.";

// A line of the table: a part, or what no part holds.
std::string part_line(const QuantityText& units, std::string_view name, const CandidateSum& sum,
                      const std::string& end_flow, const std::string& share) {
    return without_end(fmt::format(kPartLine, name, sum.number, sum.unknown_source,
                                   units.entry("m3", sum.added_forbearance_m3),
                                   units.entry("L/s", sum.known_gain_lps()), end_flow, share));
}

std::string part_name(const PartSum& part) {
    return name_in_column(part.shown_name(), kPartNameBytes);
}

// Parts without candidates say nothing.
std::string parts_text(const std::vector<PartSum>& parts, std::string_view noun,
                       const std::optional<CandidateSum>& in_none, std::string_view none, const QuantityText& units) {
    std::string text;
    std::size_t told = 0;
    CandidateSum others;
    for (const PartSum& part : parts) {
        if (part.sum.number == 0) {
            continue;
        }
        if (++told > kPartsShown) {
            others.add(part.sum);
            continue;
        }
        text += part_line(units, part_name(part), part.sum,
                          part.end_reach_id.empty() ? "-" : units.entry("L/s", part.end_gain_lps),
                          low_flow_percent(part.low_flow_share));
    }
    if (told > kPartsShown) {
        text += part_line(units, "and " + counted(told - kPartsShown, "more " + std::string(noun)), others, "", "");
    }
    if (in_none && in_none->number > 0) {
        text += part_line(units, none, *in_none, "", "");
    }
    return text;
}

}  // namespace

std::string streams_part(const SummaryFacts& facts) {
    const Settings& settings = facts.settings;
    if (!facts.of_parcels()) {
        const bool asked = settings.streams.given() || settings.subbasins.from.given();
        return asked ? wrapped(std::string(kParcelsOnly), 0) : "";
    }
    const QuantityText units(settings.output.units);
    const StreamSums& sums = facts.streams;
    const std::string creeks = parts_text(sums.creeks, "creek", sums.no_reach, "entering no reach", units);
    const std::string subbasins = parts_text(sums.subbasins, "sub-basin", sums.no_subbasin, "in no sub-basin", units);
    if (creeks.empty() && subbasins.empty()) {
        return "";
    }
    std::string text = "What those that can be asked would add\n";
    text += fmt::format(kPartsHeading, "", "", "source", "replaced", "mean flow", "flow at its", "of the low");
    const auto heading = [&](std::string_view what) {
        return fmt::format(kPartsHeading, what, "parcels", "not known", units.unit("m3"), units.unit("L/s"),
                           "lower end", "flow there");
    };
    text += creeks.empty() ? creeks : heading("by creek") + creeks;
    text += subbasins.empty() ? subbasins : heading("by sub-basin") + subbasins;
    return text +
           wrapped(
               "  source not known: so many of the parcels, whose gain is in no flow. Flow at its lower end: with what "
               "comes from upstream; \"-\" where there is no one end: in sub-basins that are given, and for a name "
               "borne by reaches that do not come together. Of the low flow there: where the streams' data state one.",
               4);
}

}  // namespace eaveshed
