#include "eaveshed/record/us_units.hpp"

#include <algorithm>
#include <array>
#include <string_view>

namespace eaveshed {

namespace {

struct UnitPair {
    std::string_view si;         // as in Field::unit
    std::string_view si_suffix;  // of a column's name
    std::string_view us;
    std::string_view us_suffix;
    UsUnit shown;
};

constexpr double kMetresPerFoot = 0.3048;              // international foot, exact
constexpr double kKmPerMile = 1.609344;                // international mile, exact
constexpr double kM3PerGallon = 231.0 * 1.6387064e-5;  // 231 in3 of 2.54 cm, exact
constexpr double kKpaPerPsi = 6.894757293168361;       // 0.45359237 kg x 9.80665 m/s2 per in2

constexpr std::array<UnitPair, 8> kUnits{{
    {"m3", "_m3", "US gal", "_gal", {"gal", 1.0 / kM3PerGallon}},
    {"L", "_l", "US gal", "_gal", {"gal", 1.0 / (1000.0 * kM3PerGallon)}},
    {"m2", "_m2", "ft2", "_ft2", {"ft2", 1.0 / (kMetresPerFoot * kMetresPerFoot)}},
    {"km2", "_km2", "mi2", "_mi2", {"mi2", 1.0 / (kKmPerMile * kKmPerMile)}},
    {"m", "_m", "ft", "_ft", {"ft", 1.0 / kMetresPerFoot}},
    {"mm", "_mm", "in", "_in", {"in", 1.0 / 25.4}},
    {"kPa", "_kpa", "psi", "_psi", {"psi", 1.0 / kKpaPerPsi}},
    {"L/s", "_lps", "US gal/min", "_gpm", {"gpm", 60.0 / (1000.0 * kM3PerGallon)}},
}};

// Shown to people, without a twin column.
struct ShownPair {
    std::string_view si;
    UsUnit shown;
};
constexpr std::array<ShownPair, 1> kShownOnly{{
    {"t", {"short tons", 1000.0 / (2000.0 * 0.45359237)}},  // of 2000 pounds, exact
}};

}  // namespace

std::optional<UsUnit> us_unit(std::string_view si_unit) {
    const auto* const unit = std::ranges::find(kUnits, si_unit, &UnitPair::si);
    if (unit != kUnits.end()) {
        return unit->shown;
    }
    const auto* const shown = std::ranges::find(kShownOnly, si_unit, &ShownPair::si);
    return shown == kShownOnly.end() ? std::nullopt : std::optional(shown->shown);
}

std::optional<UsTwin> us_twin(const Field& field) {
    const auto* const unit = std::ranges::find(kUnits, field.unit, &UnitPair::si);
    if (unit == kUnits.end() || !field.name.ends_with(unit->si_suffix)) {
        return std::nullopt;
    }
    const std::string_view stem = field.name.substr(0, field.name.size() - unit->si_suffix.size());
    return UsTwin{std::string(stem) + std::string(unit->us_suffix), unit->us, unit->shown.factor};
}

}  // namespace eaveshed
