// What the gridded climate turned out to be.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/step_field.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// A rain record as it was understood, before any cell is read.
struct RainInfo {
    std::string where;
    std::vector<std::string> files;
    Grid grid;
    Crs crs;
    Timeline timeline;
    RainUnit unit = RainUnit::mm;  // as stated by the file or the settings
};

// Twelve-band fields, January first.
struct MonthField {
    std::string where;
    std::vector<std::string> files;
    Crs crs;
    StepField field;  // 12 steps
};

}  // namespace eaveshed
