// Sheets about the properties of a finished file: all that they state, recomputed from the inputs.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/property/property.hpp"
#include "eaveshed/revisit/parcel.hpp"
#include "eaveshed/revisit/revisit.hpp"

namespace eaveshed {

// A parcel of the file by its id, with all places in the output's CRS and in degrees. The inputs were opened when `run`
// was made, so that a further property costs its own evaluation alone. Input errors as revisit_parcel.
[[nodiscard]] Property property(Revisit& run, const ResultReader& result, const std::string& parcel_id);

// Several, in the order of the ids.
[[nodiscard]] std::vector<Property> properties(Revisit& run, const ResultReader& result,
                                               const std::vector<std::string>& parcel_ids);

}  // namespace eaveshed
