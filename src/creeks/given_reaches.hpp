// Stream lines that are given, read and made a network. Private to the module.
#pragma once

#include <functional>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/creeks/creeks.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/project/project.hpp"

namespace eaveshed {

struct ReachList {
    std::vector<CreekReach> reaches;
    ReachTree tree;
};

// The lines of the layer in its order, each part of a feature a reach. `elevation_m`: of the ground at a place of the
// terrain's CRS, NaN where there is none. What is odd is told with ids.
[[nodiscard]] ReachList given_reaches(const Project& project, const Inputs& inputs,
                                      const std::function<double(Point)>& elevation_m, Findings& findings);

}  // namespace eaveshed
