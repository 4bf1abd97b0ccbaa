// Which columns of a table of gauges hold what. Private to the module.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/files/delimited_text.hpp"
#include "eaveshed/gauges/gauge_rows.hpp"

namespace eaveshed {

struct GaugeColumns {
    std::size_t header = 0;  // row of the names
    std::size_t begin = 1;   // first row of data
    std::optional<std::size_t> date;
    std::optional<std::size_t> year;  // with month, and day or none, in place of a date
    std::optional<std::size_t> month;
    std::optional<std::size_t> day;
    std::optional<std::size_t> station;  // of the form with a station in each line
    std::vector<std::size_t> values;
    std::vector<std::string> ids;       // of the values' columns, as the places or the names have them
    std::vector<std::string> left_out;  // columns that hold something else, as far as that is known
    std::string unit;
};

// Throws input errors: no names, no date, no values, units that differ.
[[nodiscard]] GaugeColumns find_columns(const DelimitedText& table, const GaugeWish& wish);

// A number as cells hold it (core/number_spelling.hpp); none for anything else. `decimal_comma`: what "1,234" means,
// which can be read in two ways.
[[nodiscard]] std::optional<double> cell_number(const std::string& cell, bool decimal_comma);

}  // namespace eaveshed
