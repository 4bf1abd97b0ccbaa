// The names in the folder of a plan in parts, and which parts stand there.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "eaveshed/parts/manifest.hpp"

namespace eaveshed {

// Parts are numbered from 1. What a part needs, what it made, and how the drafts of the latter begin.
[[nodiscard]] std::filesystem::path slice_path(const std::filesystem::path& folder, std::uint64_t part);
[[nodiscard]] std::filesystem::path rows_path(const std::filesystem::path& folder, std::uint64_t part);
[[nodiscard]] std::filesystem::path rows_folder(const std::filesystem::path& folder);
[[nodiscard]] std::string draft_prefix(std::uint64_t part);

// A plan that was made to its end, else an input error that says what to do.
struct PlanInParts {
    std::filesystem::path folder;
    Manifest manifest;
    [[nodiscard]] const PlanFacts& facts() const { return *manifest.plan; }
    [[nodiscard]] const PartOfPlan& part(std::uint64_t number) const { return facts().parts.at(number - 1); }
};
[[nodiscard]] PlanInParts plan_in_parts(const std::filesystem::path& folder);

// Parts without rows, ascending.
[[nodiscard]] std::vector<std::uint64_t> missing_parts(const PlanInParts& plan);

// "3, 5-9 and 12".
[[nodiscard]] std::string ranges_text(const std::vector<std::uint64_t>& ascending);

}  // namespace eaveshed
