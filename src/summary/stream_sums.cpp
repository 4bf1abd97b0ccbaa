#include "eaveshed/summary/stream_sums.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <unordered_map>
#include <utility>

#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/result/reaches_of_file.hpp"
#include "eaveshed/result/read_values.hpp"
#include "eaveshed/stream/reach_tree.hpp"

namespace eaveshed {

namespace {

struct CandidateSum {
    std::uint64_t number = 0;
    double added_m3 = 0.0;
    double added_lps = 0.0;

    void add(const CandidateSum& more) {
        number += more.number;
        added_m3 += more.added_m3;
        added_lps += more.added_lps;
    }
};

// What the candidates add where their offers enter a reach, by its number; those that enter none are left out. Columns
// that the file lacks are null: who needs them says so.
std::vector<CandidateSum> sums_of_reaches(const ResultReader& result, const std::string& file,
                                          const FileReaches& reaches) {
    std::vector<CandidateSum> sums(reaches.rows.size());
    const std::string table(ParcelRow::kTable.name);
    std::vector<std::string> columns{std::string(column_name(&ParcelRow::parcel_id)),
                                     std::string(column_name(&ParcelRow::contact_status)),
                                     std::string(column_name(&ParcelRow::delivery)),
                                     std::string(column_name(&ParcelRow::added_forbearance_m3)),
                                     std::string(column_name(&ParcelRow::added_gain_lps)),
                                     std::string(column_name(&ParcelRow::reach_id))};
    const std::vector<std::string> there = result.columns(table);
    std::erase_if(columns, [&](const std::string& name) { return std::ranges::find(there, name) == there.end(); });
    const RowReader<ParcelRow> reader(file, columns);
    RowCursor parcels = result.rows(table, columns, RowOrder::number);
    while (parcels.next()) {
        const ParcelRow row = reader(parcels.values());
        const std::uint32_t reach = reaches.number(row.reach_id);
        if (reach != kNoReach && is_candidate(row)) {
            sums[reach].add({1, row.added_forbearance_m3.value_or(0.0), row.added_gain_lps.value_or(0.0)});
        }
    }
    return sums;
}

// The lower end of some reaches: of those that flow into none of them the one that all others flow through; kNoReach
// where there is none.
std::uint32_t lower_end(const std::vector<std::uint32_t>& members, const ReachTree& tree) {
    std::vector<std::uint32_t> ends;
    for (const std::uint32_t reach : members) {
        if (!std::ranges::binary_search(members, tree.next(reach))) {
            ends.push_back(reach);
        }
    }
    for (const std::uint32_t end : ends) {
        const std::vector<std::uint32_t> above = tree.upstream_of(end);
        if (std::ranges::includes(above, ends)) {
            return end;
        }
    }
    return kNoReach;
}

void fill_end(std::uint32_t end, const FileReaches& reaches, const std::vector<double>& totals_lps, PartSum& part) {
    if (end == kNoReach) {
        return;
    }
    part.end_reach_id = reaches.rows[end].reach_id;
    part.end_gain_lps = totals_lps[end];
    part.end_low_flow_lps = reaches.rows[end].low_flow_lps;
    part.low_flow_share = share_of_low_flow(totals_lps[end], part.end_low_flow_lps);
}

std::vector<double> totals_of(const std::vector<CandidateSum>& sums, const ReachTree& tree) {
    std::vector<double> local;
    local.reserve(sums.size());
    for (const CandidateSum& sum : sums) {
        local.push_back(sum.added_lps);
    }
    return tree.accumulated(local);
}

std::vector<PartSum> creeks_of(const FileReaches& reaches, const std::vector<CandidateSum>& sums,
                               const std::vector<double>& totals_lps) {
    // By name; those without one by the outlet that they leave by.
    std::unordered_map<std::string, std::size_t> place;
    std::vector<std::vector<std::uint32_t>> members;
    for (std::uint32_t i = 0; i < reaches.rows.size(); ++i) {
        const std::string key = creek_key(reaches.rows[i].creek.value_or(""));
        const std::string of = key.empty() ? fmt::format("outlet {}", reaches.tree.outlet_of(i)) : "creek " + key;
        const auto found = place.try_emplace(of, members.size()).first;
        members.resize(std::max(members.size(), found->second + 1));
        members[found->second].push_back(i);
    }
    std::vector<PartSum> creeks;
    for (const auto& reaches_of_one : members) {
        CandidateSum sum;
        for (const std::uint32_t reach : reaches_of_one) {
            sum.add(sums[reach]);
        }
        const ReachRow& first = reaches.rows[reaches_of_one.front()];
        const bool named = !creek_key(first.creek.value_or("")).empty();
        creeks.push_back({named ? *first.creek : "", sum.number, sum.added_m3, sum.added_lps});
        creeks.back().outlet_reach_id = reaches.rows[reaches.tree.outlet_of(reaches_of_one.front())].reach_id;
        fill_end(lower_end(reaches_of_one, reaches.tree), reaches, totals_lps, creeks.back());
    }
    return creeks;
}

std::vector<PartSum> subbasins_of(const ResultReader& result, const std::string& file, const FileReaches& reaches,
                                  const std::vector<double>& totals_lps, bool catchments) {
    std::vector<PartSum> parts;
    const std::string table(SubbasinRow::kTable.name);
    if (!result.has_table(table)) {
        return parts;
    }
    const RowReader<SubbasinRow> reader(file, result.columns(table));
    result.each_row(table, "", table, [&](const std::vector<Value>& values) {
        const SubbasinRow row = reader(values);
        parts.push_back({row.subbasin_id,
                         static_cast<std::uint64_t>(std::max<std::int64_t>(0, row.open_count.value_or(0))),
                         row.open_added_m3.value_or(0.0), row.open_added_lps.value_or(0.0)});
        if (catchments) {
            fill_end(reaches.number(row.subbasin_id), reaches, totals_lps, parts.back());
        }
    });
    return parts;
}

void sort_parts(std::vector<PartSum>& parts) {
    std::ranges::stable_sort(parts, std::ranges::greater{}, [](const PartSum& part) {
        return std::pair(part.added_gain_lps, part.added_forbearance_m3);
    });
}

}  // namespace

StreamSums stream_sums(const ResultReader& result, const std::string& file, const Settings& settings) {
    StreamSums sums;
    const FileReaches reaches = reaches_of_file(result, file);
    std::vector<double> totals_lps;
    if (!reaches.empty()) {
        const std::vector<CandidateSum> local = sums_of_reaches(result, file, reaches);
        totals_lps = totals_of(local, reaches.tree);
        sums.creeks = creeks_of(reaches, local, totals_lps);
    }
    sums.subbasins = subbasins_of(result, file, reaches, totals_lps, settings.subbasins.from.source.empty());
    sort_parts(sums.creeks);
    sort_parts(sums.subbasins);
    return sums;
}

}  // namespace eaveshed
