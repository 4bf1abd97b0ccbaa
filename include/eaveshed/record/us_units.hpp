// Columns in US customary units beside the SI ones, for those who ask for them.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/record/field.hpp"

namespace eaveshed {

// How people are shown an SI unit in US customary units: value = SI value x factor.
struct UsUnit {
    std::string_view shown;  // a short name: "gal", "gpm"
    double factor = 1.0;
};

// Of "m3", "L", "m2", "m", "mm", "kPa", "L/s" and "t"; none for any other.
[[nodiscard]] std::optional<UsUnit> us_unit(std::string_view si_unit);

// The column that repeats another in a US unit, with its title and meaning: value = SI value x factor.
struct UsTwin {
    std::string name;  // harvest_mean_m3 gives harvest_mean_gal
    std::string_view unit;
    double factor = 1.0;
};

// For m3 and L (gal), m2 (ft2), m (ft), mm (in), kPa (psi) and L/s (gpm), where the column's name ends in its unit; US
// gallon of 231 in3 and international foot, exact. None for any other column.
[[nodiscard]] std::optional<UsTwin> us_twin(const Field& field);

}  // namespace eaveshed
