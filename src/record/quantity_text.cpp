#include "eaveshed/record/quantity_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "eaveshed/record/us_units.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kFlow = "L/s";

std::optional<UsUnit> us_of(OutputUnits units, std::string_view si_unit) {
    return units == OutputUnits::us ? us_unit(si_unit) : std::nullopt;
}

// In US units long numbers have commas: "26,400". So are they written there; in SI a comma may be a decimal sign.
std::string grouped(OutputUnits units, std::string text) {
    constexpr std::size_t kShort = 5;  // digits that are read at a glance: up to 9999
    constexpr std::size_t kGroup = 3;
    const std::size_t first = text.find_first_of("0123456789");
    const std::size_t end = std::min(text.find('.'), text.size());
    if (units != OutputUnits::us || first == std::string::npos || end - first < kShort) {
        return text;
    }
    for (std::size_t at = end; at > first + kGroup;) {
        at -= kGroup;
        text.insert(at, ",");
    }
    return text;
}

int entry_decimals(OutputUnits units, std::string_view si_unit) {
    constexpr int kFlowDecimals = 3;    // of L/s
    constexpr int kUsFlowDecimals = 2;  // of gpm, which are small
    return si_unit != kFlow ? 0 : units == OutputUnits::us ? kUsFlowDecimals : kFlowDecimals;
}

}  // namespace

std::string with_figures(double value, int figures) {
    constexpr int kMostDecimals = 6;
    if (value == 0.0 || !std::isfinite(value)) {
        return value == 0.0 ? "0" : fmt::format("{}", value);
    }
    int decimals = figures - 1 - static_cast<int>(std::floor(std::log10(std::abs(value))));
    if (decimals > kMostDecimals) {
        decimals = kMostDecimals;
    }
    const double unit = std::pow(10.0, decimals);
    const double rounded = std::round(value * unit) / unit;
    if (rounded == 0.0) {
        return "0";
    }
    // 9.996 became 10.0: one decimal less.
    if (std::abs(rounded) >= std::pow(10.0, figures - decimals)) {
        --decimals;
    }
    return fmt::format("{:.{}f}", rounded, decimals > 0 ? decimals : 0);
}

std::string_view QuantityText::unit(std::string_view si_unit) const {
    const auto us = us_of(m_units, si_unit);
    return us ? us->shown : si_unit;
}

double QuantityText::shown(std::string_view si_unit, double value) const {
    const auto us = us_of(m_units, si_unit);
    return us ? value * us->factor : value;
}

std::string QuantityText::number(std::string_view si_unit, std::optional<double> value) const {
    constexpr int kFigures = 3;
    constexpr int kFlowFigures = 2;
    return value ? grouped(m_units, with_figures(shown(si_unit, *value), si_unit == kFlow ? kFlowFigures : kFigures))
                 : std::string(kNotKnown);
}

std::string QuantityText::text(std::string_view si_unit, std::optional<double> value) const {
    return value ? fmt::format("{} {}", number(si_unit, value), unit(si_unit)) : std::string(kNotKnown);
}

std::string QuantityText::pressure_number(std::optional<double> pressure_kpa) const {
    return pressure_kpa && !is_pressure(*pressure_kpa) ? std::string(kNoPressure) : number("kPa", pressure_kpa);
}

std::string QuantityText::pressure(std::optional<double> pressure_kpa) const {
    return pressure_kpa && !is_pressure(*pressure_kpa) ? std::string(kNoPressure) : text("kPa", pressure_kpa);
}

std::string QuantityText::pressures(double low_kpa, double full_kpa) const {
    if (!is_pressure(full_kpa)) {
        return std::string(kNoPressure);
    }
    return (is_pressure(low_kpa) ? number("kPa", low_kpa) + " to " : "up to ") + text("kPa", full_kpa);
}

std::optional<double> QuantityText::price_per(std::string_view si_unit, std::optional<double> price) const {
    return price ? std::optional(*price / shown(si_unit, 1.0)) : std::nullopt;
}

std::string QuantityText::tanks(double nominal_m3, std::int64_t count) const {
    const double each_m3 = nominal_m3 / static_cast<double>(count > 0 ? count : 1);
    const std::string each = tank(each_m3);
    return fmt::format("{}{}{} {}", count > 1 ? fmt::format("{} x ", count) : std::string(),
                       each == number("m3", each_m3) ? "" : "about ", each, unit("m3"));
}

std::string QuantityText::entry(std::string_view si_unit, std::optional<double> value) const {
    return value ? grouped(m_units, fmt::format("{:.{}f}", shown(si_unit, *value), entry_decimals(m_units, si_unit)))
                 : std::string(kNotKnown);
}

std::string QuantityText::tank(double volume_m3) const {
    constexpr double kNear = 0.01;
    constexpr int kFigures = 2;
    const double volume = shown("m3", volume_m3);
    const std::string round = with_figures(volume, kFigures);
    const bool near = volume > 0.0 && std::abs(std::stod(round) - volume) <= kNear * volume;
    return m_units == OutputUnits::us && near ? grouped(m_units, round) : number("m3", volume_m3);
}

std::string QuantityText::entry_change(std::string_view si_unit, std::optional<double> before,
                                       std::optional<double> after) const {
    if (!before || !after) {
        return std::string(kNotKnown);
    }
    const int decimals = entry_decimals(m_units, si_unit);
    const auto printed = [&](double value) {
        return std::stod(fmt::format("{:.{}f}", shown(si_unit, value), decimals));
    };
    const std::string text = fmt::format("{:+.{}f}", printed(*after) - printed(*before), decimals);
    return text.find_first_of("123456789") == std::string::npos ? "0" : grouped(m_units, text);
}

int QuantityText::decimals(std::string_view si_unit, int decimals) const {
    const auto us = us_of(m_units, si_unit);
    return us ? std::max(0, decimals - static_cast<int>(std::floor(std::log10(us->factor)))) : decimals;
}

std::string QuantityText::fixed(std::string_view si_unit, double value, int decimals) const {
    return fmt::format(
        "{} {}", grouped(m_units, fmt::format("{:.{}f}", shown(si_unit, value), this->decimals(si_unit, decimals))),
        unit(si_unit));
}

std::string QuantityText::plain(std::string_view si_unit, double value) const {
    constexpr int kFigures = 4;
    if (!us_of(m_units, si_unit)) {
        return fmt::format("{:g} {}", value, si_unit);
    }
    std::string number = with_figures(shown(si_unit, value), kFigures);
    if (number.find('.') != std::string::npos) {
        number.erase(number.find_last_not_of('0') + 1);
        number.erase(number.find_last_not_of('.') + 1);
    }
    return fmt::format("{} {}", grouped(m_units, number), unit(si_unit));
}

}  // namespace eaveshed
