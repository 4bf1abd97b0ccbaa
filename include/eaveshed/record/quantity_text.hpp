// Quantities as people are shown them: in SI, or in US customary units where a project asks for them, with no more
// digits than they mean. Files and computations stay in SI; only what is printed goes through here. In US units numbers
// from 10,000 have commas.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// What stands where a quantity is null: never 0.
inline constexpr std::string_view kNotKnown = "not known";

// A pressure of 0 or less is none: the tap lies above the water, or friction and filter take what there is.
inline constexpr std::string_view kNoPressure = "none";
[[nodiscard]] constexpr bool is_pressure(double pressure_kpa) {
    return pressure_kpa > 0.0;
}

// The number with so many significant figures, without an exponent: 3 of 1234.5 are "1230", of 0.04567 "0.0457". The
// zeros that end it are kept: 3 of 4 are "4.00". 0 is "0"; so is what would need more than six decimals.
[[nodiscard]] std::string with_figures(double value, int figures);

// Value type. `si_unit`: as in Field::unit, such as "m3", "m", "L/s", "kPa"; a unit without a US twin is shown as it
// is.
class QuantityText {
public:
    explicit QuantityText(OutputUnits units) : m_units(units) {}

    // The short name of the unit in which the quantity is shown: "m3" or "gal".
    [[nodiscard]] std::string_view unit(std::string_view si_unit) const;
    // The value in that unit.
    [[nodiscard]] double shown(std::string_view si_unit, double value) const;
    // The number alone, rounded to what such a quantity means (three figures, two of a flow); kNotKnown for none.
    [[nodiscard]] std::string number(std::string_view si_unit, std::optional<double> value) const;
    // The same with its unit: "35.2 m3", "9300 gal"; kNotKnown for none.
    [[nodiscard]] std::string text(std::string_view si_unit, std::optional<double> value) const;
    // A pressure as number() and text() have it; kNoPressure where it is none.
    [[nodiscard]] std::string pressure_number(std::optional<double> pressure_kpa) const;
    [[nodiscard]] std::string pressure(std::optional<double> pressure_kpa) const;
    // From low to full tanks: "12.0 to 40.0 kPa"; "up to 16.9 kPa" where low ones give none; kNoPressure.
    [[nodiscard]] std::string pressures(double low_kpa, double full_kpa) const;
    // A price of one SI unit as that of one unit that is shown: of m3 as that of a gallon; none for none.
    [[nodiscard]] std::optional<double> price_per(std::string_view si_unit, std::optional<double> price) const;
    // What one tank holds, without its unit. Those of the shipped catalogue are round sizes in gallons that stand there
    // in rounded m3: in gallons the round number of two figures is told where it is within 1 %, else as number() does.
    [[nodiscard]] std::string tank(double volume_m3) const;
    // "5 x 18.9 m3", "5 x about 5000 gal", "18.9 m3": so many tanks that hold `nominal_m3` together.
    [[nodiscard]] std::string tanks(double nominal_m3, std::int64_t count) const;
    // A figure of a table whose lines add up: a fixed number of decimals for the unit, so that they do on paper.
    [[nodiscard]] std::string entry(std::string_view si_unit, std::optional<double> value) const;
    // From one entry to another as they are printed, so that it is right on paper: "+12", "-0.004", "0"; kNotKnown
    // where either is.
    [[nodiscard]] std::string entry_change(std::string_view si_unit, std::optional<double> before,
                                           std::optional<double> after) const;

    // Of figures that are followed line by line: `decimals` of the SI unit, and in a US unit the fewest that show no
    // less.
    [[nodiscard]] int decimals(std::string_view si_unit, int decimals) const;
    // The value with so many decimals, and its unit: "18.93 m3", "5001 gal" for two.
    [[nodiscard]] std::string fixed(std::string_view si_unit, double value, int decimals) const;
    // A setting, which has few digits in SI: "60 m", "0.3 m"; in a US unit at most four figures.
    [[nodiscard]] std::string plain(std::string_view si_unit, double value) const;
    // What lengths are shown in, as a word.
    [[nodiscard]] std::string_view length_word() const { return m_units == OutputUnits::us ? "foot" : "metre"; }

private:
    OutputUnits m_units;
};

}  // namespace eaveshed
