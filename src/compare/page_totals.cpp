#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/words/text_lines.hpp"
#include "eaveshed/words/wording.hpp"
#include "page.hpp"
#include "totals.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kTotalLine = "  {:<41}{:>8}{:>8}{:>8}{:>11}{:>11}{:>11}\n";
constexpr std::string_view kThreeLine = "  {:<52}{:>6}{:>13}{:>13}{:>13}\n";

std::string count_change(std::uint64_t before, std::uint64_t after) {
    return before == after ? "0"
                           : fmt::format("{:+}", static_cast<std::int64_t>(after) - static_cast<std::int64_t>(before));
}

bool is_nothing(const TotalSide& side) {
    return side.number == 0 && side.forbearance_m3 == 0.0;
}

// Nobody to feel for, or nothing felt: a line that would only say so.
bool feels_nothing(const TotalSide& side) {
    return !side.felt_m3 || *side.felt_m3 == 0.0;
}

std::string lead_sentence(const Comparison& comparison, const std::vector<HeadlineTotal>& totals,
                          const QuantityText& units) {
    const HeadlineTotal& creek = *std::ranges::find(totals, to_text(HeadlinePart::creek), &HeadlineTotal::part);
    const auto flow = [&](const TotalSide& side) {
        return side.felt_lps ? fmt::format("{} {}", units.entry("L/s", side.felt_lps), units.unit("L/s"))
                             : std::string(kNotKnown);
    };
    return fmt::format(
        "What the creek would feel if all {} that can be asked and draw on it take part, on average over the season: "
        "{} "
        "before, {} after (change: {}).",
        comparison.by_parcels() ? "parcels" : "parcels or roofs", flow(creek.before), flow(creek.after),
        creek.before.felt_lps && creek.after.felt_lps
            ? fmt::format("{} {}", units.entry_change("L/s", creek.before.felt_lps, creek.after.felt_lps),
                          units.unit("L/s"))
            : std::string(kNotKnown));
}

std::string replaced_table(const Comparison& comparison, const std::vector<HeadlineTotal>& totals,
                           const QuantityText& units) {
    const std::string things = comparison.by_parcels()          ? "parcels"
                               : comparison.after.of_parcels()  ? "roofs, parcels"
                               : comparison.before.of_parcels() ? "parcels, roofs"
                                                                : "roofs";
    std::string text = fmt::format(kTotalLine, "", "", "", things, "", units.unit("m3"), "a season");
    text += fmt::format(kTotalLine, "replaced by storage", "before", "after", "change", "before", "after", "change");
    for (const HeadlineTotal& total : totals) {
        if (is_nothing(total.before) && is_nothing(total.after)) {
            continue;
        }
        text +=
            fmt::format(kTotalLine, total.meaning, total.before.number, total.after.number,
                        count_change(total.before.number, total.after.number),
                        units.entry("m3", total.before.forbearance_m3), units.entry("m3", total.after.forbearance_m3),
                        units.entry_change("m3", total.before.forbearance_m3, total.after.forbearance_m3));
    }
    return text;
}

std::string felt_table(const std::vector<HeadlineTotal>& totals, const QuantityText& units) {
    std::string text;
    for (const HeadlineTotal& total : totals) {
        if (feels_nothing(total.before) && feels_nothing(total.after)) {
            continue;
        }
        const auto add = [&](std::string_view name, std::string_view unit, const std::optional<double>& before,
                             const std::optional<double>& after) {
            text += fmt::format(kThreeLine, name, units.unit(unit), units.entry(unit, before), units.entry(unit, after),
                                units.entry_change(unit, before, after));
        };
        add(total.meaning, "m3", total.before.felt_m3, total.after.felt_m3);
        add("", "L/s", total.before.felt_lps, total.after.felt_lps);
    }
    if (text.empty()) {
        return page_lines("What of it the creek feels is not known in either file, or nothing.", 2);
    }
    return fmt::format(kThreeLine, "what of it the creek feels", "", "before", "after", "change") + text;
}

std::string counts_table(const Comparison& comparison) {
    std::string text = fmt::format(kThreeLine, "rows", "", "before", "after", "change");
    for (const CountGroup& group : count_groups(comparison)) {
        std::string lines;
        for (const CountTotal& count : group.counts) {
            if (count.before > 0 || count.after > 0) {
                lines += fmt::format(kThreeLine, "  " + spaced(count.word), "", count.before, count.after,
                                     count_change(count.before, count.after));
            }
        }
        text += lines.empty() ? "" : fmt::format("  {}\n{}", group.title, lines);
    }
    return text;
}

std::string rank_text(const std::optional<ParcelRow>& row) {
    return row && row->rank ? std::to_string(*row->rank) : "-";
}

// Why a parcel that is in one ranking is not in the other.
std::string absence_of(const std::optional<ParcelRow>& row, std::string_view file) {
    if (!row) {
        return fmt::format("not in the file {}, or not once", file);
    }
    if (row->rank) {
        return "";
    }
    if (row->contact_status != ContactStatus::candidate) {
        return fmt::format("not ranked {}: {}", file, spaced(to_text(row->contact_status)));
    }
    return fmt::format("not ranked {}", file);
}

}  // namespace

std::string totals_part(const Comparison& comparison) {
    const QuantityText units(comparison.after.settings.output.units);
    const std::vector<HeadlineTotal> totals = headline_totals(comparison);
    return page_lines(lead_sentence(comparison, totals, units), 0) + "\nTotals\n" +
           replaced_table(comparison, totals, units) + felt_table(totals, units) + counts_table(comparison);
}

std::string ranking_part(const Comparison& comparison) {
    if (comparison.ranking.empty()) {
        return "No parcel is ranked in either file.\n";
    }
    constexpr std::string_view kLine = "  {:>6}{:>8}  {:<16}{:>10}{:>10}{:>10}{:>10}  {}\n";
    const QuantityText units(comparison.after.settings.output.units);
    const std::string volume(units.unit("m3"));
    std::string text = fmt::format("The first {} of the ranking, and those that were among them\n", kShownRows);
    text +=
        without_end(fmt::format(kLine, "rank", "rank", "", "score", "score", "adds " + volume, "adds " + volume, ""));
    text += without_end(fmt::format(kLine, "after", "before", "parcel", "before", "after", "before", "after", ""));
    const auto score = [](const std::optional<ParcelRow>& row) {
        return row && row->score ? fmt::format("{:.3f}", *row->score) : std::string("-");
    };
    const auto adds = [&](const std::optional<ParcelRow>& row) {
        return row && row->added_forbearance_m3 ? units.number("m3", row->added_forbearance_m3) : std::string("-");
    };
    for (const RankedParcel& parcel : comparison.ranking) {
        std::string note = absence_of(parcel.before, "before");
        note = note.empty() ? absence_of(parcel.after, "after") : note;
        text += without_end(fmt::format(kLine, rank_text(parcel.after), rank_text(parcel.before),
                                        printable(parcel.id, 12), score(parcel.before), score(parcel.after),
                                        adds(parcel.before), adds(parcel.after), note));
    }
    return text;
}

}  // namespace eaveshed
