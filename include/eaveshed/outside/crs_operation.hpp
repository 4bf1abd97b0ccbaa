// How good the way between two coordinate reference systems is, as PROJ tells: which operation, how accurate, and what
// a better one lacks. The way itself is that of gdal_crs.hpp: PROJ's default for a place, without network grids.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"

namespace eaveshed {

struct OperationFacts {
    std::string name{};                  // PROJ's own
    std::optional<double> accuracy_m{};  // none: PROJ does not know; 0 within one datum
    bool ballpark = false;               // the shift between the two datums is not known and left out
    // Of the operation that PROJ would prefer, had it the grids that are not installed; empty where it has what it
    // wants.
    std::vector<std::string> missing_grids{};
    std::optional<double> better_accuracy_m{};
};

// Over an area in degrees (x longitude, y latitude). A turned plane counts as what was turned. None for equal CRSs, for
// one that is not given or did not come from outside/gdal_crs.hpp, and where PROJ knows no way.
[[nodiscard]] std::optional<OperationFacts> operation_between(const Crs& from, const Crs& to, const Box& area_deg);

}  // namespace eaveshed
