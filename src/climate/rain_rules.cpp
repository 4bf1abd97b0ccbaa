#include "eaveshed/climate/rain_rules.hpp"

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

const std::vector<std::string>& rain_standard_names() {
    static const std::vector<std::string> names{"precipitation_amount",
                                                "precipitation_flux",
                                                "rainfall_amount",
                                                "rainfall_flux",
                                                "rainfall_rate",
                                                "thickness_of_rainfall_amount",
                                                "lwe_thickness_of_precipitation_amount",
                                                "lwe_precipitation_rate"};
    return names;
}

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

void require_tank_year(const std::string& where, const Timeline& timeline, const Season& season) {
    if (timeline.years.empty()) {
        throw input_error(where,
                          fmt::format("{} steps from {} on, without one complete tank year", timeline.steps.size(),
                                      to_text(timeline.first)),
                          fmt::format("twelve months from the first day of month {} on", season.first_month),
                          "name a longer record, or correct the months of [season]");
    }
}

void warn_of_odd_rain(const RainSeen& rain, Findings& findings) {
    constexpr double kDriestYear = 1.0;       // mm
    constexpr double kWettestMonth = 3000.0;  // mm, above most records of the Earth
    constexpr double kWettestDay = 1900.0;    // mm, above the record (1,825 mm, from memory)
    constexpr double kWettestYear = 20000.0;  // mm, above any mean (about 11,900 mm at Mawsynram, from memory)
    const std::string read_as = fmt::format("{}, read as \"{}\"", rain.place, to_text(rain.unit));
    if (rain.most_mm > (rain.daily ? kWettestDay : kWettestMonth)) {
        findings.warn({rain.where,
                       fmt::format("a {} of {:.0f} mm{}", rain.daily ? "day" : "month", rain.most_mm, read_as),
                       "rain of this Earth",
                       "look whether the values are in tenths of mm or another unit, or stand for missing ones"});
    } else if (rain.year_mm && *rain.year_mm > kWettestYear) {
        findings.warn({rain.where, fmt::format("{:.0f} mm in a mean year{}", *rain.year_mm, read_as),
                       "rain of this Earth", "look whether the values are in tenths of mm or another unit, or add up"});
    }
    if (rain.year_mm && *rain.year_mm < kDriestYear) {
        findings.warn({rain.where, fmt::format("{:.3f} mm in a mean year{}", *rain.year_mm, read_as),
                       "rain that fills tanks", "look whether the values are in metres or another unit"});
    }
}

}  // namespace eaveshed
