#include "eaveshed/summary/summary_facts.hpp"

#include <fmt/format.h>

#include <charconv>
#include <iterator>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/result/read_values.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/words/version.hpp"

namespace eaveshed {

RecordFacts::RecordFacts(std::string file, std::vector<std::pair<std::string, std::string>> rows)
    : m_file(std::move(file)), m_rows(std::make_move_iterator(rows.begin()), std::make_move_iterator(rows.end())) {}

std::string RecordFacts::text(const std::string& key) const {
    const auto found = m_rows.find(key);
    return found == m_rows.end() ? std::string{} : found->second;
}

std::optional<double> RecordFacts::number(const std::string& key) const {
    const std::string words = text(key);
    if (words == kNotKnown) {
        return std::nullopt;
    }
    double value = 0.0;
    const auto [end, fault] = std::from_chars(words.data(), words.data() + words.size(), value);
    if (words.empty() || fault != std::errc() || end != words.data() + words.size()) {
        throw input_error(m_file, fmt::format("no number \"{}\" in its run record", key),
                          "a file of this version, " + program_version(), "screen the basin again");
    }
    return value;
}

std::uint64_t RecordFacts::count(const std::string& key) const {
    return static_cast<std::uint64_t>(number(key).value_or(0.0));
}

std::size_t RecordFacts::count_of_keys(std::string_view prefix) const {
    std::size_t found = 0;
    for (auto row = m_rows.lower_bound(prefix); row != m_rows.end() && row->first.starts_with(prefix); ++row) {
        ++found;
    }
    return found;
}

HeadlineSum SummaryFacts::headline(std::string_view part) const {
    const std::string prefix = fmt::format("headline.{}.", part);
    return {record.count(prefix + "number"), record.number(prefix + "forbearance_m3").value_or(0.0),
            record.number(prefix + "felt_m3").value_or(0.0), record.number(prefix + "felt_lps").value_or(0.0)};
}

bool SummaryFacts::felt_is_known(std::string_view part) const {
    return share_of_roofs(Flag::unknown_source).value_or(1.0) < 1.0 && part != to_text(HeadlinePart::source_not_known);
}

std::optional<double> SummaryFacts::share_of_roofs(Flag flag) const {
    const std::uint64_t computed = record.count("count.status.ok");
    const std::uint64_t flagged = record.count("count.flag." + std::string(to_text(flag)));
    return computed > 0 ? std::optional(static_cast<double>(flagged) / static_cast<double>(computed)) : std::nullopt;
}

std::optional<double> SummaryFacts::share_of_volume(Flag flag) const {
    const double all = record.number("sum.forbearance_m3").value_or(0.0);
    const double flagged = record.number("sum.flag_forbearance_m3." + std::string(to_text(flag))).value_or(0.0);
    return all > 0.0 ? std::optional(flagged / all) : std::nullopt;
}

bool SummaryFacts::only_means() const {
    return settings.rain.kind == RainKind::monthly_normals && !settings.rain.dry_winter_factor;
}

namespace {

template <typename Row>
std::vector<Row> first_rows(const ResultReader& result, const std::string& file, const std::string& condition,
                            const std::string& order) {
    const std::string table(Row::kTable.name);
    const RowReader<Row> reader(file, result.columns(table));
    std::vector<Row> rows;
    result.first_rows(table, condition, order, kShownRows,
                      [&](const std::vector<Value>& values) { rows.push_back(reader(values)); });
    return rows;
}

}  // namespace

SummaryFacts read_summary(const ResultReader& result, const std::string& file) {
    SummaryFacts facts{RecordFacts(file, result.record()), recorded_settings(result, file), {}, {}};
    if (facts.record.text("headline.of").empty()) {
        throw input_error(
            file, fmt::format("a run record of version {} without a headline", facts.record.text("program.version")),
            "a file of this version, " + program_version(), "screen the basin again");
    }
    if (facts.of_parcels()) {
        facts.parcels = first_rows<ParcelRow>(result, file, "rank IS NOT NULL", "rank");
        facts.streams = stream_sums(result, file, facts.settings);
    } else {
        facts.roofs = first_rows<RoofRow>(result, file, "pad_elev_m IS NOT NULL AND forbearance_m3 > 0",
                                          "instream_gain_lps DESC, forbearance_m3 DESC");
    }
    return facts;
}

}  // namespace eaveshed
