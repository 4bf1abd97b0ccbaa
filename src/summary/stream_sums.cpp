#include "eaveshed/summary/stream_sums.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <unordered_map>
#include <unordered_set>
#include <utility>

#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/result/reaches_of_file.hpp"
#include "eaveshed/result/read_values.hpp"
#include "eaveshed/stream/reach_tree.hpp"

namespace eaveshed {

namespace {

// What the candidates add where their offers enter, and where they come from.
struct SumsByPlace {
    std::vector<CandidateSum> reaches;  // by number
    CandidateSum no_reach;
    std::unordered_map<std::string, CandidateSum> subbasins;  // by name
    CandidateSum no_subbasin;
};

// Columns that the file lacks are null: who needs them says so.
SumsByPlace sums_by_place(const ResultReader& result, const std::string& file, const FileReaches& reaches) {
    SumsByPlace sums;
    sums.reaches.resize(reaches.rows.size());
    const std::string table(ParcelRow::kTable.name);
    std::vector<std::string> columns{std::string(column_name(&ParcelRow::parcel_id)),
                                     std::string(column_name(&ParcelRow::contact_status)),
                                     std::string(column_name(&ParcelRow::delivery)),
                                     std::string(column_name(&ParcelRow::added_forbearance_m3)),
                                     std::string(column_name(&ParcelRow::added_gain_lps)),
                                     std::string(column_name(&ParcelRow::reach_id)),
                                     std::string(column_name(&ParcelRow::subbasin_id)),
                                     std::string(column_name(&ParcelRow::flags))};
    const std::vector<std::string> there = result.columns(table);
    std::erase_if(columns, [&](const std::string& name) { return std::ranges::find(there, name) == there.end(); });
    const RowReader<ParcelRow> reader(file, columns);
    RowCursor parcels = result.rows(table, columns, RowOrder::number);
    while (parcels.next()) {
        const ParcelRow row = reader(parcels.values());
        if (!is_candidate(row)) {
            continue;
        }
        const CandidateSum one{1, row.flags.has(Flag::unknown_source) ? 1U : 0U, row.added_forbearance_m3.value_or(0.0),
                               row.added_gain_lps.value_or(0.0)};
        const std::uint32_t reach = reaches.number(row.reach_id);
        (reach != kNoReach ? sums.reaches[reach] : sums.no_reach).add(one);
        (row.subbasin_id ? sums.subbasins[*row.subbasin_id] : sums.no_subbasin).add(one);
    }
    return sums;
}

// The reaches one after the other, each followed by all that flow into it: what is upstream of one is one stretch.
class UpstreamStretches {
public:
    explicit UpstreamStretches(const ReachTree& tree) : m_first(tree.size(), 0), m_size(tree.size(), 1) {
        const std::vector<std::uint32_t>& order = tree.upstream_first();
        for (const std::uint32_t reach : order) {
            if (tree.next(reach) != kNoReach) {
                m_size[tree.next(reach)] += m_size[reach];
            }
        }
        std::uint32_t free = 0;                              // for the next outlet
        std::vector<std::uint32_t> free_above(tree.size());  // for the next that flows into each
        for (std::size_t i = order.size(); i-- > 0;) {
            const std::uint32_t reach = order[i];
            const std::uint32_t next = tree.next(reach);
            std::uint32_t& place = next == kNoReach ? free : free_above[next];
            m_first[reach] = place;
            free_above[reach] = place + 1;
            place += m_size[reach];
        }
    }
    // The lower end of some reaches: the one that all others flow through; kNoReach where there is none.
    [[nodiscard]] std::uint32_t lower_end(const std::vector<std::uint32_t>& members) const {
        const std::uint32_t end =
            *std::ranges::max_element(members, {}, [&](std::uint32_t reach) { return m_size[reach]; });
        const bool of_all = std::ranges::all_of(members, [&](std::uint32_t reach) {
            return m_first[reach] >= m_first[end] && m_first[reach] - m_first[end] < m_size[end];
        });
        return of_all ? end : kNoReach;
    }

private:
    std::vector<std::uint32_t> m_first;
    std::vector<std::uint32_t> m_size;  // with itself
};

void fill_end(std::uint32_t end, const FileReaches& reaches, const std::vector<CandidateSum>& totals, PartSum& part) {
    if (end == kNoReach) {
        return;
    }
    part.end_reach_id = reaches.rows[end].reach_id;
    part.end_gain_lps = totals[end].known_gain_lps();
    part.end_low_flow_lps = reaches.rows[end].low_flow_lps;
    if (part.end_gain_lps) {
        part.low_flow_share = share_of_low_flow(*part.end_gain_lps, part.end_low_flow_lps);
    }
}

// With all from upstream.
std::vector<CandidateSum> totals_of(std::vector<CandidateSum> sums, const ReachTree& tree) {
    for (const std::uint32_t reach : tree.upstream_first()) {
        for (const std::uint32_t inflow : tree.inflows(reach)) {
            sums[reach].add(sums[inflow]);
        }
    }
    return sums;
}

std::vector<PartSum> creeks_of(const FileReaches& reaches, const std::vector<CandidateSum>& sums,
                               const std::vector<CandidateSum>& totals) {
    // By name; those without one by the outlet that they leave by.
    const UpstreamStretches stretches(reaches.tree);
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
        const ReachRow& first = reaches.rows[reaches_of_one.front()];
        const bool named = !creek_key(first.creek.value_or("")).empty();
        PartSum& creek = creeks.emplace_back(PartSum{named ? *first.creek : "", {}});
        for (const std::uint32_t reach : reaches_of_one) {
            creek.sum.add(sums[reach]);
        }
        creek.outlet_reach_id = reaches.rows[reaches.tree.outlet_of(reaches_of_one.front())].reach_id;
        fill_end(stretches.lower_end(reaches_of_one), reaches, totals, creek);
    }
    return creeks;
}

// The names in the layer, each once.
std::vector<PartSum> named_subbasins(const ResultReader& result, const std::string& file) {
    std::vector<PartSum> parts;
    const std::string table(SubbasinRow::kTable.name);
    if (!result.has_table(table)) {
        return parts;
    }
    std::unordered_set<std::string> seen;
    const RowReader<SubbasinRow> reader(file, result.columns(table));
    result.each_row(table, "", table, [&](const std::vector<Value>& values) {
        SubbasinRow row = reader(values);
        if (seen.insert(row.subbasin_id).second) {
            parts.push_back({std::move(row.subbasin_id), {}});
        }
    });
    return parts;
}

void sort_parts(std::vector<PartSum>& parts) {
    std::ranges::stable_sort(parts, std::ranges::greater{}, [](const PartSum& part) {
        return std::pair(part.sum.added_gain_lps, part.sum.added_forbearance_m3);
    });
}

}  // namespace

void CandidateSum::add(const CandidateSum& more) {
    number += more.number;
    unknown_source += more.unknown_source;
    added_forbearance_m3 += more.added_forbearance_m3;
    added_gain_lps += more.added_gain_lps;
}

std::optional<double> CandidateSum::known_gain_lps() const {
    return number == 0 || unknown_source < number ? std::optional(added_gain_lps) : std::nullopt;
}

StreamSums stream_sums(const ResultReader& result, const std::string& file, const Settings& settings) {
    StreamSums sums;
    const FileReaches reaches = reaches_of_file(result, file);
    sums.subbasins = named_subbasins(result, file);
    if (reaches.empty() && sums.subbasins.empty()) {
        return sums;
    }
    const SumsByPlace local = sums_by_place(result, file, reaches);
    const std::vector<CandidateSum> totals = totals_of(local.reaches, reaches.tree);
    if (!reaches.empty()) {
        sums.creeks = creeks_of(reaches, local.reaches, totals);
        sums.no_reach = local.no_reach;
    }
    const bool catchments = !settings.subbasins.from.given();
    for (PartSum& part : sums.subbasins) {
        if (const auto found = local.subbasins.find(part.name); found != local.subbasins.end()) {
            part.sum = found->second;
        }
        if (catchments) {
            fill_end(reaches.number(part.name), reaches, totals, part);
        }
    }
    if (!sums.subbasins.empty()) {
        sums.no_subbasin = local.no_subbasin;
    }
    sort_parts(sums.creeks);
    sort_parts(sums.subbasins);
    return sums;
}

}  // namespace eaveshed
