#include "eaveshed/result/reaches_of_file.hpp"

#include <fmt/format.h>

#include <utility>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/result/read_values.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

bool flow_in_a_circle(const std::vector<std::uint32_t>& next) {
    std::vector<std::uint32_t> walked(next.size(), kNoReach);  // by the walk from which reach
    for (std::uint32_t start = 0; start < next.size(); ++start) {
        std::uint32_t reach = start;
        while (reach != kNoReach && walked[reach] == kNoReach) {
            walked[reach] = start;
            reach = next[reach];
        }
        if (reach != kNoReach && walked[reach] == start) {
            return true;
        }
    }
    return false;
}

}  // namespace

std::uint32_t FileReaches::number(const std::optional<std::string>& reach_id) const {
    const auto found = reach_id ? numbers.find(*reach_id) : numbers.end();
    return found != numbers.end() ? found->second : kNoReach;
}

FileReaches reaches_of_file(const ResultReader& result, const std::string& file) {
    FileReaches reaches;
    const std::string table(ReachRow::kTable.name);
    reaches.layer = result.has_table(table);
    if (!reaches.layer) {
        return reaches;
    }
    const RowReader<ReachRow> reader(file, result.columns(table));
    result.each_row(table, "", table, [&](const std::vector<Value>& values) {
        ReachRow row = reader(values);
        if (!reaches.numbers.emplace(row.reach_id, static_cast<std::uint32_t>(reaches.rows.size())).second) {
            throw input_error(file, fmt::format("two reaches \"{}\" in the layer {}", printable(row.reach_id), table),
                              "an id for each", "screen the basin again: the file was edited");
        }
        reaches.rows.push_back(std::move(row));
    });
    std::vector<std::uint32_t> next;
    next.reserve(reaches.rows.size());
    for (const ReachRow& row : reaches.rows) {
        next.push_back(reaches.number(row.next_reach_id));
    }
    if (flow_in_a_circle(next)) {
        throw input_error(file, fmt::format("reaches that flow in a circle in the layer {}", table),
                          "reaches that lead to an outlet", "screen the basin again: the file was edited");
    }
    reaches.tree = ReachTree(std::move(next));
    return reaches;
}

std::string creek_key(std::string_view name) {
    constexpr std::string_view kBlanks = " \t\r\n";
    const auto first = name.find_first_not_of(kBlanks);
    return first == std::string_view::npos ? std::string()
                                           : lower_case(name.substr(first, name.find_last_not_of(kBlanks) - first + 1));
}

std::string name_in_column(const std::string& name, std::size_t most) {
    constexpr std::size_t kDots = 3;  // behind a name that is cut
    return name.empty() ? "-" : printable(name, name.size() <= most ? most : most - kDots);
}

std::string low_flow_percent(std::optional<double> share) {
    constexpr int kFigures = 2;
    return share ? with_figures(kPercent * *share, kFigures) + " %" : "-";
}

}  // namespace eaveshed
