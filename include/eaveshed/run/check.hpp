// A look at a project that computes nothing and leaves nothing: every input opened, every feature read.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/rain/mean_year.hpp"
#include "eaveshed/run/check_basis.hpp"

namespace eaveshed {

// What a run would take; rough on purpose, and said to be so.
struct Estimate {
    std::uint64_t roofs = 0;
    std::uint64_t tiles = 0;
    std::uint64_t memory_mib = 0;
    std::uint64_t disk_mib = 0;  // result and work folder together, at their largest
    std::uint64_t seconds = 0;
};

struct CheckReport {
    // "footprints" -> "4708 features, layer buildings, EPSG:4326 (WGS 84)": one line an input.
    std::vector<std::pair<std::string, std::string>> understood;
    Estimate estimate;
    // What the answers will rest on; none where errors keep the features from being read.
    std::optional<ExpectedBasis> basis;
    std::optional<MonthDepths> mean_year_mm;  // rain in the middle of the footprints' extent
};

[[nodiscard]] CheckReport check(const Project& project, Findings& findings);

// The report for people, with every finding and its remedy.
[[nodiscard]] std::string report_text(const Project& project, const CheckReport& report, const Findings& findings);

}  // namespace eaveshed
