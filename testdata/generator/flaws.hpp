// The faults that real footprint layers have: a bow-tie, a courtyard (no fault, but rarer than a plain ring), a
// footprint entered twice, one digitised twice, one without a geometry; and holes in the elevation under roofs.
#pragma once
#include <vector>

#include "buildings.hpp"

namespace demo {

struct ElevationHole {
    Point centre;
    double radius_m = 0.0;
};

// One set for every 5000 roofs, at least one. Changes a few buildings and appends a few.
std::vector<ElevationHole> add_flaws(std::vector<Building>& buildings);

}  // namespace demo
