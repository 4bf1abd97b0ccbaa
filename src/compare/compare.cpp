#include "eaveshed/compare/compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <ostream>
#include <set>
#include <utility>

#include "eaveshed/result/reaches_of_file.hpp"
#include "eaveshed/result/read_values.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr const char* kOutputCrs = "crs.output";

// Whose measured values differ: a parcel's count for its roofs too, and a roof's for its parcel.
struct MeasuredIds {
    std::set<std::string> parcels;
    std::set<std::string> roofs;
};

MeasuredIds measured_ids(const Comparison& comparison) {
    MeasuredIds own;
    for (const MeasuredChange& change : comparison.causes.measured) {
        (change.of_parcel ? own.parcels : own.roofs).insert(change.id);
    }
    MeasuredIds all = own;
    if (comparison.causes.measured.empty()) {
        return all;
    }
    const std::vector<std::string> columns{std::string(column_name(&RoofRow::roof_id)),
                                           std::string(column_name(&RoofRow::parcel_id))};
    for (const ResultReader* const file : {comparison.before_file.get(), comparison.after_file.get()}) {
        for (RowCursor rows = file->rows(comparison.roof_table.name, columns, RowOrder::number); rows.next();) {
            const std::string roof = text_in(rows.values()[0]);
            const std::string parcel = text_in(rows.values()[1]);
            if (own.roofs.contains(roof) && !parcel.empty()) {
                all.parcels.insert(parcel);
            }
            if (own.parcels.contains(parcel)) {
                all.roofs.insert(roof);
            }
        }
    }
    return all;
}

// The parcel of that name in a file, where one alone has it.
std::optional<ParcelRow> parcel_of(const ResultReader& file, const std::string& id) {
    const auto rows =
        file.rows_where(std::string(ParcelRow::kTable.name), std::string(column_name(&ParcelRow::parcel_id)), id, 2);
    return rows.size() == 1 ? std::optional(parcel_from(rows[0])) : std::nullopt;
}

std::vector<RankedParcel> first_of_rankings(const Comparison& comparison) {
    std::vector<std::string> ids;
    for (const auto* const rows : {&comparison.after.parcels, &comparison.before.parcels}) {
        for (const ParcelRow& row : *rows) {
            if (std::ranges::find(ids, row.parcel_id) == ids.end()) {
                ids.push_back(row.parcel_id);
            }
        }
    }
    std::vector<RankedParcel> ranked;
    ranked.reserve(ids.size());
    for (const std::string& id : ids) {
        ranked.push_back({id, parcel_of(*comparison.before_file, id), parcel_of(*comparison.after_file, id)});
    }
    return ranked;
}

void caution_of_rows(const Changes& changes, const ComparedTable& table, std::vector<std::string>& cautions) {
    const Matches& matches = changes.matches;
    const bool any_before = !matches.pairs.empty() || !matches.only_before.empty();
    const bool any_after = !matches.pairs.empty() || !matches.only_after.empty();
    if (matches.pairs.empty() && any_before && any_after) {
        cautions.push_back(fmt::format(
            "No {0} of one file is found in the other: these are other {0}s, or all were numbered anew. Row by row "
            "nothing of them can be compared.",
            table.noun));
    }
    if (matches.repeated > 0) {
        cautions.push_back(fmt::format(
            "{} of {}s more than once in a file: which row is which cannot be told, and {} rows before and {} after "
            "are "
            "not compared ({}{}).",
            matches.repeated == 1 ? "One identifier stands" : fmt::format("{} identifiers stand", matches.repeated),
            table.noun, matches.repeated_before.size(), matches.repeated_after.size(), listed(matches.repeated_ids),
            matches.repeated > matches.repeated_ids.size() ? ", ..." : ""));
    }
    if (!table.only_some.empty()) {
        cautions.push_back(fmt::format("Columns of {} that only one of the files has are not compared: {}.", table.name,
                                       listed(table.only_some)));
    }
}

void caution_of_meanings(const Comparison& comparison, std::vector<std::string>& cautions) {
    const SummaryFacts& before = comparison.before;
    const SummaryFacts& after = comparison.after;
    if (before.of_parcels() != after.of_parcels()) {
        cautions.push_back(fmt::format(
            "The file {} has no parcels and takes each roof as a household of its own: its sums count roofs, those of "
            "the other parcels, and their difference says little.",
            before.of_parcels() ? "after" : "before"));
    }
    if (before.only_means() != after.only_means()) {
        cautions.push_back(fmt::format(
            "Volumes are means of a mean year {}, and those of dry winters {}: part of the difference is that alone.",
            before.only_means() ? "before" : "after", before.only_means() ? "after" : "before"));
    }
    if (before.settings.season.forbear_months != after.settings.season.forbear_months) {
        cautions.emplace_back("The season has other months: flows are means over those of each file.");
    }
    if (!comparison.one_currency()) {
        cautions.push_back(fmt::format("Costs are in {} before and in {} after: no difference of them is told.",
                                       printable(before.settings.cost.currency, 20),
                                       printable(after.settings.cost.currency, 20)));
    }
}

bool is_same_file(const std::string& a, const std::string& b) {
    std::error_code fault;
    return std::filesystem::equivalent(a, b, fault) && !fault;
}

Comparison opened_pair(const std::string& before, const std::string& after, Findings& findings) {
    auto before_file = std::make_unique<ResultReader>(open_result(before, findings));
    auto after_file = std::make_unique<ResultReader>(open_result(after, findings));
    SummaryFacts before_facts = read_summary(*before_file, before);
    SummaryFacts after_facts = read_summary(*after_file, after);
    return {.before_file = std::move(before_file),
            .after_file = std::move(after_file),
            .before = std::move(before_facts),
            .after = std::move(after_facts),
            .causes = {},
            .parcel_table = {},
            .roof_table = {},
            .parcels = {},
            .roofs = {},
            .ranking = {},
            .reaches_new = {},
            .reaches_gone = {},
            .cautions = {}};
}

// The ids of a file's reaches that another does not have.
std::vector<std::string> only_in(const FileReaches& file, const FileReaches& other) {
    std::vector<std::string> ids;
    for (const ReachRow& row : file.rows) {
        if (!other.numbers.contains(row.reach_id)) {
            ids.push_back(row.reach_id);
        }
    }
    return ids;
}

void compare_reaches(Comparison& comparison) {
    const FileReaches before = reaches_of_file(*comparison.before_file, comparison.before.file());
    const FileReaches after = reaches_of_file(*comparison.after_file, comparison.after.file());
    comparison.reaches_new = only_in(after, before);
    comparison.reaches_gone = only_in(before, after);
}

Matches matches_of(const Comparison& comparison, const ComparedTable& table) {
    return match_by_id(*comparison.before_file, *comparison.after_file, table.name, table.names[table.id]);
}

// What the roofs that were found under another identifier were called before, and are now.
std::map<std::string, std::string> renamed_roofs(const Comparison& comparison, const Matches& matches) {
    const std::vector<std::string> id{comparison.roof_table.names[comparison.roof_table.id]};
    RowFinder before = comparison.before_file->finder(comparison.roof_table.name, id);
    RowFinder after = comparison.after_file->finder(comparison.roof_table.name, id);
    std::map<std::string, std::string> renamed;
    for (const RowPair& pair : matches.pairs) {
        if (pair.by != MatchedBy::id) {
            before.find(pair.before);
            after.find(pair.after);
            renamed.emplace(text_in(before.values()[0]), text_in(after.values()[0]));
        }
    }
    return renamed;
}

// Measured values that went with their roof to another identifier are no change.
void follow_renamed(const std::map<std::string, std::string>& renamed, std::vector<MeasuredChange>& changes) {
    for (MeasuredChange& then : changes) {
        const auto now = renamed.find(then.id);
        if (then.of_parcel || !then.after.empty() || now == renamed.end()) {
            continue;
        }
        const auto there = std::ranges::find_if(changes, [&](const MeasuredChange& change) {
            return !change.of_parcel && change.before.empty() && change.id == now->second;
        });
        if (there != changes.end()) {
            there->before = std::exchange(then.before, {});
        }
    }
    std::erase_if(changes, [](const MeasuredChange& change) { return change.before == change.after; });
}

}  // namespace

Comparison compared(const std::string& before, const std::string& after, Findings& findings) {
    Comparison result = opened_pair(before, after, findings);
    const ResultReader& a = *result.before_file;
    const ResultReader& b = *result.after_file;
    result.causes = causes_of(a, b);
    result.parcel_table = compared_parcels(a, b, before, after);
    result.roof_table = compared_roofs(a, b, before, after);
    if (is_same_file(before, after)) {
        result.cautions.emplace_back("Both names are of the same file.");
    }
    caution_of_meanings(result, result.cautions);
    Matches of_roofs = matches_of(result, result.roof_table);
    if (a.record_value(kOutputCrs) == b.record_value(kOutputCrs)) {
        match_by_outline(a, b, result.roof_table.name, of_roofs);
    } else {
        result.cautions.push_back(fmt::format(
            "The files are in different coordinate reference systems ({} before, {} after): roofs are matched by "
            "identifier alone, not by outline.",
            printable(a.record_value(kOutputCrs), 60), printable(b.record_value(kOutputCrs), 60)));
    }
    result.parcel_table.renamed_roofs = renamed_roofs(result, of_roofs);
    follow_renamed(result.parcel_table.renamed_roofs, result.causes.measured);
    const MeasuredIds measured = measured_ids(result);
    result.parcels = changed_rows(a, b, result.parcel_table, matches_of(result, result.parcel_table), measured.parcels);
    result.roofs = changed_rows(a, b, result.roof_table, std::move(of_roofs), measured.roofs);
    result.ranking = first_of_rankings(result);
    compare_reaches(result);
    caution_of_rows(result.parcels, result.parcel_table, result.cautions);
    caution_of_rows(result.roofs, result.roof_table, result.cautions);
    return result;
}

void compare_screenings(const CompareRequest& request, std::ostream& out, Findings& findings) {
    require_lists(request.lists, {request.before, request.after});
    const Comparison comparison = compared(request.before, request.after, findings);
    for (const SummaryFacts* const facts : {&comparison.before, &comparison.after}) {
        require_lists(request.lists, recorded_paths(facts->settings, facts->file(), ""));
    }
    if (!request.lists.csv.empty()) {
        write_comparison_csv(request.lists.csv, comparison);
    }
    if (request.json) {
        print_comparison_json(out, comparison);
    } else {
        out << comparison_text(comparison) << lists_text(request.lists, "\nEvery row that changed", false);
    }
}

}  // namespace eaveshed
