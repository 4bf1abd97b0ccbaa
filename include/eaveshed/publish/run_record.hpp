// What a finished file says of the run that made it. Nothing in it changes between two equal runs.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/creeks/creeks.hpp"
#include "eaveshed/inputs/input_files.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/measured/overrides.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/publish/counts.hpp"
#include "eaveshed/rain/mean_year.hpp"
#include "eaveshed/record/run_record_row.hpp"

namespace eaveshed {

struct RunFacts {
    const Project& project;
    const Inputs& inputs;
    const Creeks& creeks;
    const std::vector<InputFile>& files;
    const Timeline& timeline;
    const Overrides& overrides;
    const RunCounts& counts;
    const std::vector<std::string_view>& components_without_data;  // of the score: no candidate has any
    const Findings& findings;
    const std::vector<std::pair<std::string, std::string>>& libraries;  // by name, their versions
    std::optional<MonthDepths> mean_year_mm{};                          // rain in the middle of the basin
    std::span<const std::uint32_t> stations_used{};                     // gauges of rain that some roof draws on
};

// What the record says of program, libraries, settings and inputs: everything that the other rows of the file follow
// from. Runs for which these are equal give equal files.
[[nodiscard]] std::vector<RunRecordRow> identity_rows(const Project& project, const std::vector<InputFile>& files,
                                                      std::span<const std::pair<std::string, std::string>> libraries);

[[nodiscard]] std::vector<RunRecordRow> run_record(const RunFacts& facts);

// The record as plain text, "key = value" a line.
[[nodiscard]] std::string record_text(const std::vector<RunRecordRow>& rows);

}  // namespace eaveshed
