// Measured values and the roofs and parcels that they belong to.
#pragma once

#include <cstdint>
#include <string>
#include <unordered_map>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/facts/facts.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/record/override_row.hpp"

namespace eaveshed {

struct Overrides {
    std::vector<OverrideRow> rows;  // every row of the table, in its order, with its outcome
    // What all rows for one roof or parcel say together; places in the terrain's CRS.
    std::unordered_map<std::uint32_t, RoofFacts> roofs;      // by position among the footprints
    std::unordered_map<std::uint32_t, ParcelFacts> parcels;  // by position among the parcels

    [[nodiscard]] std::size_t count(OverrideOutcome outcome) const;
};

// Reads footprints and parcels once and finds those that the rows mean: by id, where nothing is known of the outline
// that was measured or the present one shares more than half of the smaller area with it; else the one that does so
// with the old outline. Rows that contradict each other are not applied. Needs footprints, terrain and the table among
// the inputs; without a table nothing. What was found is told among the findings.
// method.md 9.5, 9.6.
[[nodiscard]] Overrides match_overrides(const Project& project, const Inputs& inputs, Findings& findings);

// "7 rows: 5 apply, 1 carried over, 1 not applied".
[[nodiscard]] std::string overrides_line(const Overrides& overrides);

}  // namespace eaveshed
