// What stands in where the data say nothing, as people are told it: the page at the end of a run, `check` before it and
// docs/answers_rest_on.md take their words from this table. Which rows an assumption decides is told by its flag.
#pragma once

#include <array>
#include <string_view>

#include "eaveshed/core/outcomes.hpp"

namespace eaveshed {

struct Assumption {
    std::string_view key;      // in JSON, and what docs/answers_rest_on.md heads its section with
    Flag flag;                 // of the rows that it decides
    std::string_view what;     // what is assumed; at most 42 letters
    std::string_view instead;  // which data take its place; at most 38 letters
};

// From what weighs most in a decision to what weighs least, by common judgement.
inline constexpr std::array kAssumptions{
    Assumption{"water_source", Flag::unknown_source, "water source not known: creek counted as 0",
               "parcels.water_source"},
    Assumption{"source_share", Flag::assumed_share, "shallow well: what the creek feels assumed",
               "parcels.source_share"},
    Assumption{"people_and_garden", Flag::default_demand, "people or garden assumed",
               "parcels.people and irrigated_area_m2"},
    Assumption{"evapotranspiration", Flag::default_et0, "evapotranspiration assumed", "evapotranspiration.source"},
    Assumption{"mean_year", Flag::mean_year_only, "dry winters not known: a mean year of rain",
               "rain as a series of months or days"},
    Assumption{"dry_winter", Flag::assumed_dry_winter, "dry winters assumed from the mean year",
               "rain as a series of months or days"},
    Assumption{"short_record", Flag::short_record, "fewer than ten tank years of rain", "a longer rain record"},
    Assumption{"elevations", Flag::coarse_elevation, "heights from wide cells: a first guess", "finer elevations"},
    Assumption{"eave_height", Flag::default_eave, "eave height assumed", "footprints.eave_height or a surface"},
    Assumption{"use_point", Flag::assumed_use_point, "place of use assumed in the garden", "use_points.source"},
    Assumption{"material", Flag::default_material, "roof material assumed", "footprints.material"},
    Assumption{"connected_share", Flag::default_connected, "share with downspouts assumed",
               "footprints.connected_share"},
};

}  // namespace eaveshed
