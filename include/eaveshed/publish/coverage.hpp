// What the finished rows show of the inputs: where they did not reach, could not be read, or said nothing.
#pragma once

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/finding.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/publish/counts.hpp"
#include "eaveshed/publish/stream_accounts.hpp"

namespace eaveshed {

// Warns of inputs that left roofs without elevation, rain or parcel, of blocks that could not be read, and of fields in
// which no roof had a known value.
void report_coverage(const Project& project, const Inputs& inputs, const RunCounts& counts, Findings& findings);

// What the finished rows show of the streams: a note where no parcels are given, whose gains alone are counted, and
// where water is led over the ground how many roofs and parcels found only the nearest reach all the same.
void report_streams(const Inputs& inputs, const Creeks& creeks, const Subbasins& subbasins,
                    const StreamAccounts& streams, Findings& findings);

// What stops a run that is strict about warnings.
[[nodiscard]] Error strict_error(const Project& project, const Findings& findings, Fault fault);

}  // namespace eaveshed
