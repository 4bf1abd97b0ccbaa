// Rain of a mean year as a grid, by which a gauge's rain is brought to a roof.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/step_field.hpp"
#include "eaveshed/crs/crs.hpp"

namespace eaveshed {

struct ClimateStack;

// Looked at once; its cells are read as often as wanted.
class NormalsSource {
public:
    // One band, or twelve that are added up: rates by the days of their months, a unit that is not stated as depths,
    // which is noted. Anything else, and a unit that is none of rain, is an input error.
    static NormalsSource open(const std::vector<std::string>& paths, Findings& findings);

    [[nodiscard]] const std::string& where() const;
    [[nodiscard]] const Crs& crs() const;
    [[nodiscard]] std::vector<std::string> files() const;

    // The sums over the cells within four cells of `area` (in the grid's CRS): one step, in mm where the file states
    // a unit, missing where any band is. An input error where they do not meet.
    [[nodiscard]] StepField read(const Box& area) const;
    // At each place (degrees of `geographic`), sampled as rain is; NaN where there is none, or where it is not above 0.
    [[nodiscard]] std::vector<double> at(const std::vector<Point>& degrees, const Crs& geographic) const;

private:
    std::shared_ptr<const ClimateStack> m_stack;
    std::vector<double> m_factors;  // by band
};

// The normal of a field (NormalsSource::read) at a place of its grid; NaN as in NormalsSource::at.
[[nodiscard]] double normal_at(const StepField& field, Point place);

}  // namespace eaveshed
