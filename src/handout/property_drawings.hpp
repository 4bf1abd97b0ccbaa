// The drawings of a property sheet, as elements. Private to the module.
#pragma once

#include <string>
#include <string_view>

#include "eaveshed/property/property.hpp"
#include "eaveshed/record/quantity_text.hpp"

namespace eaveshed {

// Plan with boundary, contours, roofs, tanks to scale, pipes, garden; scale bar, north and legend below its window of
// that height.
[[nodiscard]] std::string map_drawing(const Property& property, OutputUnits units, double height_mm);

// Roof, pad and use point in profile with their heights; vertical distances drawn larger than horizontal ones by a
// factor that the drawing states.
struct SectionDrawing {
    std::string element;
    std::string caption;  // how heights and lengths are drawn
};
[[nodiscard]] SectionDrawing section_drawing(const Property& property, OutputUnits units);

// A year of the store: bars of what comes in and what is taken, a line of what is in it at each month's end.
[[nodiscard]] std::string year_drawing(const PropertyYear& year, double usable_m3, std::size_t number,
                                       OutputUnits units);
// "a middling winter (that which ended in 2013)".
[[nodiscard]] std::string year_words(const PropertyYear& year);
// "middling, 2013": the head of its column.
[[nodiscard]] std::string year_short(const PropertyYear& year);

}  // namespace eaveshed
