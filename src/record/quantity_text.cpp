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
    return value ? with_figures(shown(si_unit, *value), si_unit == kFlow ? kFlowFigures : kFigures)
                 : std::string(kNotKnown);
}

std::string QuantityText::text(std::string_view si_unit, std::optional<double> value) const {
    return value ? fmt::format("{} {}", number(si_unit, value), unit(si_unit)) : std::string(kNotKnown);
}

std::string QuantityText::entry(std::string_view si_unit, std::optional<double> value) const {
    return value ? fmt::format("{:.{}f}", shown(si_unit, *value), entry_decimals(m_units, si_unit))
                 : std::string(kNotKnown);
}

std::string QuantityText::entry_change(std::string_view si_unit, std::optional<double> before,
                                       std::optional<double> after) const {
    if (!before || !after) {
        return std::string(kNotKnown);
    }
    const int decimals = entry_decimals(m_units, si_unit);
    const double change = std::stod(entry(si_unit, after)) - std::stod(entry(si_unit, before));
    const std::string text = fmt::format("{:+.{}f}", change, decimals);
    return text.find_first_of("123456789") == std::string::npos ? "0" : text;
}

int QuantityText::decimals(std::string_view si_unit, int decimals) const {
    const auto us = us_of(m_units, si_unit);
    return us ? std::max(0, decimals - static_cast<int>(std::floor(std::log10(us->factor)))) : decimals;
}

std::string QuantityText::fixed(std::string_view si_unit, double value, int decimals) const {
    return fmt::format("{:.{}f} {}", shown(si_unit, value), this->decimals(si_unit, decimals), unit(si_unit));
}

std::string QuantityText::plain(std::string_view si_unit, double value) const {
    constexpr int kFigures = 4;
    return us_of(m_units, si_unit) ? fmt::format("{} {}", with_figures(shown(si_unit, value), kFigures), unit(si_unit))
                                   : fmt::format("{:g} {}", value, si_unit);
}

}  // namespace eaveshed
