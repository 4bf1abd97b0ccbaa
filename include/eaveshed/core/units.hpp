// Quantities in text: "5000 gal", "200 ft", "2.5 in/h". One table of units for settings, help and documents.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace eaveshed {

// What a unit measures. A text converts only between units of one dimension.
enum class Dimension : std::uint8_t {
    length,
    area,
    volume,
    pressure,
    flow,            // volume per time
    depth_rate,      // depth of water per time
    transmissivity,  // area per time
    slope,           // rise over run
    days,            // whole days; no other unit of time is a fixed number of them
    years,
};

// The base of a dimension is its SI unit (m, m2, m3, Pa, m3/s, m/s, m2/s), one for slope, one day, one year.
struct Unit {
    std::array<std::string_view, 5> names;  // the first is the one shown; unused places are empty
    Dimension dimension = Dimension::length;
    double factor = 1.0;       // base units in one of it
    std::string_view meaning;  // what it is, with the exact definition where that is not obvious

    [[nodiscard]] std::string_view name() const { return names.front(); }
};

// All units, by dimension. Gallons are US liquid gallons (231 cubic inches); feet and inches are international.
[[nodiscard]] std::span<const Unit> units();

// By any of its names, upper or lower case. Null when there is none.
[[nodiscard]] const Unit* find_unit(std::string_view name);

// The dimension in words: "length", "flow", ...
[[nodiscard]] std::string_view to_text(Dimension dimension);

// The number that a text holds alone: with a decimal point and without thousands separators, blanks around it as liked.
// None for anything else, NaN or infinity.
[[nodiscard]] std::optional<double> number_in(std::string_view text);

// The quantity in `wanted`. The text is a number with a decimal point and no thousands separators, then a unit of the
// same dimension, blanks between and around them as liked. None for anything else, and when the number is not finite.
// Accurate to 1e-15 relative.
[[nodiscard]] std::optional<double> in_unit(std::string_view text, const Unit& wanted);

// The same of a cell of data, where a number alone counts as `stated`, a unit of the same dimension as `wanted`.
[[nodiscard]] std::optional<double> in_unit(std::string_view text, const Unit& wanted, const Unit& stated);

// The names of all units of a dimension: "m3, L, gal, kgal, ft3, acre-ft".
[[nodiscard]] std::string unit_names(Dimension dimension);

}  // namespace eaveshed
