#include "explain_reopen.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/spelling.hpp"
#include "eaveshed/project/read_settings.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr double kAgreement = 1e-9;
constexpr std::size_t kSuggestions = 3;

[[noreturn]] void throw_unknown(const ResultReader& result, const std::string& file, const RowAsked& asked) {
    const std::vector<std::string> ids = result.texts(std::string(asked.table), std::string(asked.column));
    const std::vector<std::string_view> views(ids.begin(), ids.end());
    std::vector<std::string> near;
    for (const std::string_view id : closest_names(asked.id, views, kSuggestions)) {
        near.push_back(fmt::format("'{}'", id));
    }
    throw input_error(file, fmt::format("no {} '{}' among its {}", asked.noun, printable(asked.id), ids.size()),
                      fmt::format("a {} of the layer {}", asked.column, asked.table),
                      near.empty() ? "look the id up in the layer's table" : "did you mean " + listed(near) + "?");
}

void require_no_errors(const Findings& findings, const std::string& file) {
    if (findings.count(Severity::error) > 0) {
        throw error_of(findings, file);
    }
}

std::optional<double> number_in(const Value& value) {
    if (const auto* const real = std::get_if<double>(&value)) {
        return *real;
    }
    const auto* const whole = std::get_if<std::int64_t>(&value);
    return whole != nullptr ? std::optional(static_cast<double>(*whole)) : std::nullopt;
}

}  // namespace

void reopen(const ResultReader& result, const ExplainRequest& request, RecordedRun& run, Reopened& reopened,
            Findings& findings, Progress& progress) {
    run = recorded_run(result, request.file, request.project, findings);
    Findings of_inputs;  // the screening told its warnings: they stand in the run record
    reopened.inputs = open_inputs(run.project, of_inputs);
    require_no_errors(of_inputs, request.file);
    compare_inputs(run, reopened.inputs, findings);
    reopened.plan.emplace(make_plan(run.project, reopened.inputs, reopened.scratch.path(), {}, of_inputs, progress));
    reopened.climate =
        read_climate(run.project, reopened.inputs, *reopened.plan, {.folder = reopened.scratch.path()}, of_inputs);
    require_no_errors(of_inputs, request.file);
}

ResultRow stored_row(const ResultReader& result, const std::string& file, const RowAsked& asked) {
    const auto rows = result.rows_where(std::string(asked.table), std::string(asked.column), asked.id, kMostRows);
    if (rows.empty()) {
        throw_unknown(result, file, asked);
    }
    if (rows.size() > 1) {
        throw input_error(file, fmt::format("{} {}s with the id '{}'", rows.size(), asked.noun, printable(asked.id)),
                          "one", asked.remedy);
    }
    return rows.front();
}

std::optional<std::uint32_t> position_in(const ResultRow& stored, std::size_t count) {
    const auto fid = stored.find("fid");
    const auto* const number = fid != stored.end() ? std::get_if<std::int64_t>(&fid->second) : nullptr;
    if (number == nullptr || *number < 1 || *number > static_cast<std::int64_t>(count)) {
        return std::nullopt;
    }
    return static_cast<std::uint32_t>(*number - 1);
}

void keep_level(std::vector<ResultRow>& pads, PadLevel level) {
    std::erase_if(pads, [level](const ResultRow& row) {
        const auto found = row.find(std::string(column_name(&PadRow::level)));
        const bool parcel = found != row.end() && found->second == Value(std::string(to_text(PadLevel::parcel)));
        return parcel != (level == PadLevel::parcel);
    });
}

bool agree(const Value& stored, const Value& recomputed) {
    const auto a = number_in(stored);
    const auto b = number_in(recomputed);
    if (!a || !b) {
        return stored == recomputed;
    }
    return std::abs(*a - *b) <= kAgreement * std::max({1.0, std::abs(*a), std::abs(*b)});
}

Trouble trouble_of(const Explained& explained) {
    std::vector<std::string> changed;
    for (const RecordedInput& input : explained.run.inputs) {
        if (input.changed) {
            changed.push_back(setting_and_path(input.setting, input.path));
        }
    }
    return {explained.run.file,
            fmt::format("{} of the {} values stored of {} not as recomputed", explained.differences.size(),
                        explained.values_compared, explained.subject),
            changed.empty() ? "a row that its recorded inputs and settings give"
                            : "the inputs that were screened; changed since then: " + listed(changed),
            changed.empty()
                ? "the row or the run record was edited, or another version or machine made the file: screen again"
                : "screen again, or bring the old inputs back"};
}

}  // namespace eaveshed
