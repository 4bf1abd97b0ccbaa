// A look at a project that computes nothing and leaves nothing: every input opened, every feature read.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/creeks/make_creeks.hpp"
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

// A feature as it was read: "id" -> "B00001", "material" -> "metal". Only the fields that the settings name, without
// those that are only carried along or tell who owns what.
using ShownRow = std::vector<std::pair<std::string, std::string>>;

// "footprints" -> "4708 features, layer buildings, EPSG:4326 (WGS 84)": one line an input, and where it lies.
struct UnderstoodInput {
    UnderstoodInput(std::string_view input_, std::string is_) : input(input_), is(std::move(is_)) {}

    std::string input;
    std::string is;
    std::vector<std::string> files{};
    std::string crs{};
    Box extent{};                  // in that CRS; empty where there is none
    std::vector<ShownRow> rows{};  // the first ones of a layer
};

struct CheckReport {
    std::vector<UnderstoodInput> understood;
    std::optional<LeadingSize> leading{};  // of water over the ground
    std::uint64_t stream_bytes = 0;        // what given lines take of memory
    Estimate estimate;
    // What the answers will rest on; none where errors keep the features from being read.
    std::optional<ExpectedBasis> basis;
    std::optional<MonthDepths> mean_year_mm;  // rain in the middle of the footprints' extent
};

[[nodiscard]] CheckReport check(const Project& project, Findings& findings);

// The report for people, with every finding and its remedy.
[[nodiscard]] std::string report_text(const Project& project, const CheckReport& report, const Findings& findings);

}  // namespace eaveshed
