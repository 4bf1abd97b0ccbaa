// What the finished rows show of the inputs: where they did not reach, could not be read, or said nothing.
#pragma once

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/finding.hpp"
#include "eaveshed/run/counts.hpp"
#include "eaveshed/run/inputs.hpp"
#include "eaveshed/run/project.hpp"

namespace eaveshed::run {

// Warns of inputs that left roofs without elevation, rain or parcel, of blocks that could not be read, and of fields in
// which no roof had a known value.
void report_cover(const Project& project, const Inputs& inputs, const RunCounts& counts, Findings& findings);

// What stops a run that is strict about warnings.
[[nodiscard]] Error strict_error(const Project& project, const Findings& findings, Fault fault);

// "1 roof", "2 roofs".
[[nodiscard]] std::string counted(std::uint64_t number, const std::string& singular);

}  // namespace eaveshed::run
