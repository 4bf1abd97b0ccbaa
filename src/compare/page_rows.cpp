#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/words/text_lines.hpp"
#include "eaveshed/words/wording.hpp"
#include "page.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kRowLine = "  {:<17}{:<7}{:>6}  {:<14}{:>10}{:>10}{:>10}{:>11}\n";
constexpr std::size_t kIdBytes = 13;
constexpr std::size_t kNamedOnly = 10;

std::uint64_t number_of(const Changes& changes, RowFate fate) {
    return changes.counts.fates.at(static_cast<std::size_t>(fate));
}

std::string figures(const Value& value) {
    constexpr int kFigures = 3;
    const auto number = number_in(value);
    return number ? with_figures(*number, kFigures) : std::string("-");
}

std::string quantity(const QuantityText& units, Measure measure, const Value& value) {
    const auto number = number_in(value);
    return number ? units.number(field_of(measure).unit, number) : std::string("-");
}

std::string word_or_dash(const Value& value) {
    const std::string text = text_in(value);
    return text.empty() ? "-" : spaced(printable(text, kIdBytes));
}

class RowList {
public:
    RowList(const Comparison& comparison, const ComparedTable& table, const Changes& changes)
        : m_comparison(comparison),
          m_table(table),
          m_changes(changes),
          m_units(comparison.after.settings.output.units),
          m_added(table.place(Measure::added) ? Measure::added : Measure::forbearance),
          m_gain(table.place(Measure::added_gain) ? Measure::added_gain : Measure::gain) {}

    [[nodiscard]] std::string text() const {
        std::string rows;
        std::size_t shown = 0;
        ChangeReader reader(*m_comparison.before_file, *m_comparison.after_file, m_table);
        for (const RowChange& change : m_changes.rows) {
            if (shown == kShownChanges) {
                break;
            }
            if (change.only_moved()) {
                continue;
            }
            reader.read(change);
            rows += lines(reader, change);
            ++shown;
        }
        return rows.empty() ? rows : head() + rows + page_lines(legend(), 2);
    }

private:
    [[nodiscard]] std::string head() const {
        const std::string volume(m_units.unit("m3"));
        const std::string currency =
            m_comparison.one_currency() ? printable(m_comparison.after.settings.cost.currency, 9) : std::string();
        const bool ranked = m_table.rank.has_value();
        return without_end(fmt::format(kRowLine, "", "", "", "", "tanks", ranked ? "adds" : "replaces", "creek",
                                       ranked ? "cost" : "")) +
               without_end(fmt::format(kRowLine, m_table.noun, "", ranked ? "rank" : "", "delivery", volume, volume,
                                       m_units.unit("L/s"), ranked ? currency : ""));
    }
    template <typename Side>
    [[nodiscard]] std::string line(const std::string& id, std::string_view when, Side&& side) const {
        const bool ranked = m_table.rank.has_value();
        return without_end(fmt::format(
            kRowLine, id, when, ranked ? figures_of_rank(side(Measure::rank)) : "",
            word_or_dash(side(Measure::delivery)), quantity(m_units, Measure::storage, side(Measure::storage)),
            quantity(m_units, m_added, side(m_added)), quantity(m_units, m_gain, side(m_gain)),
            ranked ? figures(side(Measure::cost)) : ""));
    }
    static std::string figures_of_rank(const Value& value) {
        const std::string text = text_in(value);
        return text.empty() ? "-" : text;
    }
    [[nodiscard]] std::string lines(const ChangeReader& reader, const RowChange& change) const {
        const std::string id = printable(reader.id(), kIdBytes);
        std::string text;
        if (change.fate != RowFate::only_after) {
            text += line(id, "before", [&](Measure measure) { return reader.before(measure); });
        }
        if (change.fate != RowFate::only_before) {
            text += line(text.empty() ? id : "", "after", [&](Measure measure) { return reader.after(measure); });
        }
        return text + page_lines("      " + reason(reader, change), 8);
    }
    [[nodiscard]] std::string reason(const ChangeReader& reader, const RowChange& change) const {
        if (change.fate != RowFate::changed) {
            return change.fate == RowFate::only_before ? "only in the file before" : "only in the file after";
        }
        std::string text;
        if (const std::string former = reader.id_before(); !former.empty()) {
            text += fmt::format("was {} ({}); ", printable(former, kIdBytes),
                                change.by == MatchedBy::outline ? "the same outline" : "carried over by overlap");
        }
        if (change.measured) {
            text += "its measured values; ";
        }
        if (change.steps.has(ChangeStep::contact) && m_table.contact) {
            text += fmt::format("talks: {} before, {} after; ", word_or_dash(reader.before()[*m_table.contact]),
                                word_or_dash(reader.after()[*m_table.contact]));
        }
        const std::string steps = change.steps.text();
        const auto end = steps.find(", ");
        text += end == std::string::npos
                    ? "changed: " + steps
                    : fmt::format("changed first: {}; then {}", steps.substr(0, end), steps.substr(end + 2));
        return text;
    }
    [[nodiscard]] std::string legend() const {
        return fmt::format(
            "  Largest first: by what is replaced each season{}. -: not known, or none. Of what changed: each step "
            "leads to the next, so the first is the nearest to the cause (`eaveshed explain` tells a row's steps).",
            m_table.rank ? " where it can be asked for; a parcel that joins or leaves the ranking counts whole, and "
                           "those that are in "
                           "neither ranking come last"
                         : "");
    }

    const Comparison& m_comparison;
    const ComparedTable& m_table;
    const Changes& m_changes;
    QuantityText m_units;
    Measure m_added;
    Measure m_gain;
};

// "only before: A, B and 3 more": names of the first by size.
std::string only_line(const Comparison& comparison, const ComparedTable& table, const Changes& changes, RowFate fate) {
    const std::uint64_t number = number_of(changes, fate);
    if (number == 0) {
        return "";
    }
    ChangeReader reader(*comparison.before_file, *comparison.after_file, table);
    std::vector<std::string> ids;
    for (const RowChange& change : changes.rows) {
        if (change.fate == fate && ids.size() < kNamedOnly) {
            reader.read(change);
            ids.push_back(reader.id());
        }
    }
    const std::string more = number > ids.size() ? fmt::format(" and {} more", number - ids.size()) : "";
    return page_lines(fmt::format("  {} only in the file {}: {}{}.", counted(number, table.noun),
                                  fate == RowFate::only_before ? "before" : "after", listed(ids), more),
                      4);
}

std::string first_line(const ChangeCounts& counts) {
    std::string text;
    const auto add = [&text](std::string_view what, std::uint64_t number) {
        if (number > 0) {
            text += fmt::format("{}{} {}", text.empty() ? "" : ", ", what, number);
        }
    };
    add("their measured values", counts.measured);
    for (std::size_t i = 0; i < counts.first.size(); ++i) {
        add(terms_of<ChangeStep>()[i].name, counts.first[i]);
    }
    text += counts.first.at(static_cast<std::size_t>(ChangeStep::ranking)) > 0 ? " (moved because others did)" : "";
    return text.empty() ? "" : page_lines("  By what changed first: " + text + ".", 4);
}

std::string renamed_line(const ComparedTable& table, const ChangeCounts& counts) {
    const std::uint64_t outline = counts.matched.at(static_cast<std::size_t>(MatchedBy::outline));
    const std::uint64_t carried = counts.matched.at(static_cast<std::size_t>(MatchedBy::carried));
    if (outline + carried == 0) {
        return "";
    }
    return page_lines(
        fmt::format(
            "  {} under another identifier: {} found by the same outline, {} carried over to the one that shares "
            "more than half of the smaller area.",
            counted(outline + carried, table.noun), outline, carried),
        4);
}

std::string counts_of(const Comparison& comparison, const ComparedTable& table, const Changes& changes) {
    const std::uint64_t changed = number_of(changes, RowFate::changed);
    std::string text = changed == 0 ? fmt::format("No {} that both files have changed ({} compared)\n", table.noun,
                                                  changes.counts.in_both)
                                    : fmt::format("{} changed, of {} that both files have\n",
                                                  counted(changed, table.noun), changes.counts.in_both);
    text += first_line(changes.counts);
    text += renamed_line(table, changes.counts);
    text += only_line(comparison, table, changes, RowFate::only_before);
    return text + only_line(comparison, table, changes, RowFate::only_after);
}

}  // namespace

std::string rows_part(const Comparison& comparison) {
    std::string text;
    const auto add = [&](const ComparedTable& table, const Changes& changes, bool with_rows) {
        text += text.empty() ? "" : "\n";
        text += counts_of(comparison, table, changes);
        text += with_rows && !changes.rows.empty() ? RowList(comparison, table, changes).text() : "";
    };
    if (comparison.before.of_parcels() || comparison.after.of_parcels()) {
        add(comparison.parcel_table, comparison.parcels, comparison.by_parcels());
    }
    add(comparison.roof_table, comparison.roofs, !comparison.by_parcels());
    return text;
}

}  // namespace eaveshed
