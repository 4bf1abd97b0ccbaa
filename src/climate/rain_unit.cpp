#include "eaveshed/climate/rain_unit.hpp"

#include <fmt/format.h>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/words/unit_text.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr const char* kRainChoices =
    "depth per step: mm, 0.1 mm, cm, m, in; rate: mm day-1, mm h-1, m day-1, kg m-2 s-1, m s-1";

// "mm month-1" in a series of days is no depth of a step.
void require_step(const std::string& where, PerStep per, RainKind kind, const std::string& text) {
    const bool daily = kind == RainKind::daily;
    if ((per == PerStep::month && daily) || (per == PerStep::day && !daily)) {
        throw input_error(where,
                          fmt::format("the unit \"{}\" for steps of a {}", printable(text), daily ? "day" : "month"),
                          kRainChoices, "correct rain.kind, or convert the file");
    }
}

}  // namespace

RainUnit rain_unit(const std::string& where, const std::string& text, const RainSettings& settings) {
    const auto known = rain_unit_from_text(text);
    if (!known) {
        if (settings.unit != RainUnit::from_file) {
            return settings.unit;
        }
        throw input_error(where, text.empty() ? "no unit" : fmt::format("the unit \"{}\"", printable(text)),
                          kRainChoices, "set rain.unit to what the values are");
    }
    require_step(where, known->per, settings.kind, text);
    // In a day, mm and mm day-1 are one.
    const double days = settings.kind == RainKind::daily ? 1.0 : static_cast<double>(kMeanYearDays.front());
    if (settings.unit != RainUnit::from_file && mm_per_value(settings.unit, days) != mm_per_value(known->unit, days)) {
        throw input_error(
            where,
            fmt::format("the unit \"{}\" in the file, and rain.unit = \"{}\"", printable(text), to_text(settings.unit)),
            "one of them", "leave rain.unit out if the file is right; else correct the file");
    }
    return known->unit;
}

}  // namespace eaveshed
