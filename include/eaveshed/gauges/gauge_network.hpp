// Series and places brought together: which stations of a table can be made use of, and where they stand.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/grid.hpp"
#include "eaveshed/gauges/gauge_places.hpp"
#include "eaveshed/source/climate_info.hpp"
#include "eaveshed/source/feature_source.hpp"

namespace eaveshed {

// A series of the table that is made use of.
struct UsedSeries {
    std::uint32_t series = 0;        // position among the ids
    std::optional<Point> degrees{};  // none of the only one, which counts everywhere
};

// By id. A series without a place, or a place without a series, is told and left out; one series and one place belong
// together whatever they are called; one series without places counts everywhere. Several series without places are an
// input error, and so is no match at all. `where`: of the table; `setting`: that would name the places.
// `footprints`: null where they could not be opened; nothing has a place then.
[[nodiscard]] std::vector<UsedSeries> used_series(const std::vector<std::string>& ids,
                                                  const std::optional<GaugePlaces>& places,
                                                  const VectorInfo* footprints, const std::string& where,
                                                  const std::string& setting, Findings& findings);

// The table of places, where one is given.
[[nodiscard]] std::optional<GaugePlaces> places_if_given(const std::string& setting, const std::string& path,
                                                         Findings& findings);

// Warns of gauges that all stand far from the footprints.
void warn_of_far_gauges(const GaugeTableInfo& table, const VectorInfo& footprints, Findings& findings);

}  // namespace eaveshed
