// Columns in US customary units beside the SI ones, for those who ask for them.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/values.hpp"

namespace eaveshed {

// A column that repeats another in a US unit: value = SI value x factor. Its texts are owned here.
struct UsColumn {
    std::size_t of = 0;  // position of the SI column
    std::string name;    // harvest_mean_m3 gives harvest_mean_gal
    std::string unit;
    std::string title;
    std::string meaning;
    double factor = 1.0;
};

// For m3 (gal), m2 (ft2), m (ft), mm (in), kPa (psi) and L/s (gpm); US gallon of 231 in3 and international foot, exact.
[[nodiscard]] std::vector<UsColumn> us_columns(const std::vector<Column>& columns);

// Appends the values of the US columns, null where the SI value is null.
void append_us_values(const std::vector<UsColumn>& us, std::vector<Value>& values);

}  // namespace eaveshed
