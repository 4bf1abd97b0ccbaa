#include "eaveshed/core/units.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/core/spelling.hpp"

namespace eaveshed {

namespace {

// International yard and pound agreement of 1959: the inch is 25.4 mm, the pound 0.45359237 kg, both exact.
constexpr double kFoot = kMetresPerFoot;
constexpr double kInch = kMetresPerFoot / 12.0;
constexpr double kMile = 1609.344;
constexpr double kSquareFoot = 0.09290304;
constexpr double kAcre = 4046.8564224;         // 43,560 square feet
constexpr double kCubicFoot = 0.028316846592;  // 0.3048 cubed
constexpr double kGallon = 0.003785411784;     // 231 cubic inches
constexpr double kLitre = 0.001;
constexpr double kPsi = 0.45359237 * 9.80665 / 0.00064516;  // pound-force on a square inch
constexpr double kMinute = 60.0;
constexpr double kHour = 3600.0;
constexpr double kDay = kSecondsPerDay;

using D = Dimension;

constexpr std::array kUnits{
    Unit{{"m", "metre", "metres", "meter", "meters"}, D::length, 1.0, "metre"},
    Unit{{"mm", "millimetre", "millimetres", "millimeter", "millimeters"}, D::length, 0.001, "millimetre"},
    Unit{{"cm", "centimetre", "centimetres", "centimeter", "centimeters"}, D::length, 0.01, "centimetre"},
    Unit{{"km", "kilometre", "kilometres", "kilometer", "kilometers"}, D::length, 1000.0, "kilometre"},
    Unit{{"ft", "foot", "feet", "'"}, D::length, kFoot, "international foot, 0.3048 m"},
    Unit{{"in", "inch", "inches", "\""}, D::length, kInch, "inch, 25.4 mm"},
    Unit{{"yd", "yard", "yards"}, D::length, 0.9144, "yard, 3 ft"},
    Unit{{"mi", "mile", "miles"}, D::length, kMile, "mile, 5,280 ft"},
    Unit{{"us-ft", "ftus", "us survey foot"}, D::length, kMetresPerUsSurveyFoot, "US survey foot, 1200/3937 m"},

    Unit{{"m2", "m^2", "sq m", "square metres", "square meters"}, D::area, 1.0, "square metre"},
    Unit{{"km2", "km^2", "sq km"}, D::area, 1.0e6, "square kilometre"},
    Unit{{"ha", "hectare", "hectares"}, D::area, 1.0e4, "hectare, 10,000 m2"},
    Unit{{"ft2", "ft^2", "sq ft", "sqft", "square feet"}, D::area, kSquareFoot, "square foot"},
    Unit{{"acre", "acres", "ac"}, D::area, kAcre, "international acre, 43,560 ft2"},
    Unit{{"mi2", "mi^2", "sq mi", "square miles"}, D::area, kMile* kMile, "square mile"},

    Unit{{"m3", "m^3", "cubic metres", "cubic meters"}, D::volume, 1.0, "cubic metre"},
    Unit{{"L", "litre", "litres", "liter", "liters"}, D::volume, kLitre, "litre"},
    Unit{{"gal", "gallon", "gallons", "us gal"}, D::volume, kGallon, "US gallon, 231 in3"},
    Unit{{"kgal"}, D::volume, 1000.0 * kGallon, "thousand US gallons"},
    Unit{{"ft3", "ft^3", "cu ft", "cubic feet"}, D::volume, kCubicFoot, "cubic foot"},
    Unit{{"acre-ft", "acre-foot", "acre-feet", "acre ft"}, D::volume, kAcre* kFoot, "acre-foot, 43,560 ft3"},

    Unit{{"kPa", "kilopascal", "kilopascals"}, D::pressure, 1000.0, "kilopascal"},
    Unit{{"Pa", "pascal", "pascals"}, D::pressure, 1.0, "pascal"},
    Unit{{"bar"}, D::pressure, 1.0e5, "bar, 100 kPa"},
    Unit{{"psi"}, D::pressure, kPsi, "pound-force per square inch, 6.894757 kPa"},

    Unit{{"L/s", "lps", "litres per second"}, D::flow, kLitre, "litre per second"},
    Unit{{"L/min", "lpm"}, D::flow, kLitre / kMinute, "litre per minute"},
    Unit{{"L/h"}, D::flow, kLitre / kHour, "litre per hour"},
    Unit{{"m3/s"}, D::flow, 1.0, "cubic metre per second"},
    Unit{{"m3/h"}, D::flow, 1.0 / kHour, "cubic metre per hour"},
    Unit{{"m3/day", "m3/d"}, D::flow, 1.0 / kDay, "cubic metre per day"},
    Unit{{"gpm", "gal/min"}, D::flow, kGallon / kMinute, "US gallon per minute"},
    Unit{{"gph", "gal/h"}, D::flow, kGallon / kHour, "US gallon per hour"},
    Unit{{"gal/day", "gpd", "gal/d"}, D::flow, kGallon / kDay, "US gallon per day"},
    Unit{{"cfs", "ft3/s"}, D::flow, kCubicFoot, "cubic foot per second"},

    Unit{{"mm/day", "mm day-1", "mm/d"}, D::depth_rate, 0.001 / kDay, "millimetre per day"},
    Unit{{"mm/h", "mm h-1"}, D::depth_rate, 0.001 / kHour, "millimetre per hour"},
    Unit{{"in/day", "in/d"}, D::depth_rate, kInch / kDay, "inch per day"},
    Unit{{"in/h", "in/hr"}, D::depth_rate, kInch / kHour, "inch per hour"},

    Unit{{"m2/day", "m2/d", "m2 day-1"}, D::transmissivity, 1.0 / kDay, "square metre per day"},
    Unit{{"m2/s"}, D::transmissivity, 1.0, "square metre per second"},
    Unit{{"ft2/day", "ft2/d"}, D::transmissivity, kSquareFoot / kDay, "square foot per day"},
    Unit{{"gpd/ft", "gal/day/ft"}, D::transmissivity, kGallon / kDay / kFoot, "US gallon per day and foot"},

    Unit{{"%", "pct", "percent"}, D::slope, 0.01, "rise per 100 of run"},
    Unit{{"days", "day", "d"}, D::days, 1.0, "day"},
    Unit{{"years", "year", "yr"}, D::years, 1.0, "year"},
};

bool same_word(std::string_view a, std::string_view b) {
    return std::ranges::equal(a, b, [](char left, char right) { return ascii_lower(left) == ascii_lower(right); });
}

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view kBlanks = " \t\r\n";
    const auto begin = text.find_first_not_of(kBlanks);
    if (begin == std::string_view::npos) {
        return {};
    }
    return text.substr(begin, text.find_last_not_of(kBlanks) - begin + 1);
}

// Takes a finite number off the front; what follows it is left.
std::optional<double> take_number(std::string_view& words) {
    double number = 0.0;
    const auto [end, fault] = std::from_chars(words.data(), words.data() + words.size(), number);
    if (fault != std::errc{} || !std::isfinite(number)) {
        return std::nullopt;
    }
    words.remove_prefix(static_cast<std::size_t>(end - words.data()));
    return number;
}

// None when it is too large to be a number.
std::optional<double> converted(double number, const Unit& from, const Unit& to) {
    const double quantity = &from == &to ? number : number * from.factor / to.factor;
    return std::isfinite(quantity) ? std::optional<double>{quantity} : std::nullopt;
}

}  // namespace

std::span<const Unit> units() {
    return kUnits;
}

const Unit* find_unit(std::string_view name) {
    if (name.empty()) {
        return nullptr;
    }
    for (const Unit& unit : kUnits) {
        if (std::ranges::any_of(unit.names, [name](std::string_view known) { return same_word(known, name); })) {
            return &unit;
        }
    }
    return nullptr;
}

std::string_view to_text(Dimension dimension) {
    switch (dimension) {
        case Dimension::length: return "length";
        case Dimension::area: return "area";
        case Dimension::volume: return "volume";
        case Dimension::pressure: return "pressure";
        case Dimension::flow: return "flow";
        case Dimension::depth_rate: return "depth of water in a time";
        case Dimension::transmissivity: return "transmissivity";
        case Dimension::slope: return "slope";
        case Dimension::days: return "days";
        case Dimension::years: return "years";
    }
    return "";
}

std::optional<double> number_in(std::string_view text) {
    std::string_view words = trimmed(text);
    const auto number = take_number(words);
    return words.empty() ? number : std::nullopt;
}

std::optional<double> in_unit(std::string_view text, const Unit& wanted) {
    std::string_view words = trimmed(text);
    const auto number = take_number(words);
    const Unit* const unit = number ? find_unit(trimmed(words)) : nullptr;
    if (unit == nullptr || unit->dimension != wanted.dimension) {
        return std::nullopt;
    }
    return converted(*number, *unit, wanted);
}

std::optional<double> in_unit(std::string_view text, const Unit& wanted, const Unit& stated) {
    const auto number = number_in(text);
    return number ? converted(*number, stated, wanted) : in_unit(text, wanted);
}

std::string unit_names(Dimension dimension) {
    std::string names;
    for (const Unit& unit : kUnits) {
        if (unit.dimension == dimension) {
            names += names.empty() ? "" : ", ";
            names += unit.name();
        }
    }
    return names;
}

}  // namespace eaveshed
