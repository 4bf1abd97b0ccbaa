// What the answers of a run will rest on, as far as a look at the inputs can tell: the same assumptions as on the page
// that the run ends with (record/assumptions.hpp), counted before anything is computed.
#pragma once

#include <cstdint>
#include <vector>

#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/record/assumptions.hpp"

namespace eaveshed {

// How many roofs an assumption will decide.
struct AssumedRoofs {
    const Assumption* assumption = nullptr;
    std::uint64_t roofs = 0;
    // At most so many: fewer where a raster knows better, or where no storage is of use.
    bool at_most = false;
};

struct ExpectedBasis {
    std::uint64_t roofs = 0;            // that will be computed, unless they have no rain
    std::uint64_t beyond_terrain = 0;   // of them, with their interior point outside the elevation raster
    std::uint64_t beyond_rain = 0;      // and outside the rain grid, where there is one
    std::vector<AssumedRoofs> assumed;  // in the order of kAssumptions; those that decide nothing left out
};

// `plan`: from look_at_features. Terrain and rain are among the inputs.
[[nodiscard]] ExpectedBasis expected_basis(const Project& project, const Inputs& inputs, const Plan& plan);

}  // namespace eaveshed
