#include "eaveshed/offer/list_numbers.hpp"
#include "eaveshed/core/constants.hpp"

#include <fmt/format.h>

#include <cmath>

namespace eaveshed {

namespace {

// To a multiple of so many steps a unit (10: tenths), or of `step` units where that is 1 or more.
double to_parts(double value, double parts) {
    return std::round(value * parts) / parts;
}

double to_step(double value, double step) {
    return std::round(value / step) * step;
}

double to_figures(double value, int figures) {
    if (value == 0.0 || !std::isfinite(value)) {
        return value;
    }
    const int decimals = figures - 1 - static_cast<int>(std::floor(std::log10(std::abs(value))));
    return decimals >= 0 ? to_parts(value, std::pow(10.0, decimals)) : to_step(value, std::pow(10.0, -decimals));
}

}  // namespace

Value ListNumbers::volume(std::optional<double> volume_m3) const {
    constexpr double kSmallM3 = 10.0;
    constexpr double kSmallGal = 1000.0;
    if (!volume_m3) {
        return {};
    }
    const double shown = m_quantities.shown("m3", *volume_m3);
    if (m_units == OutputUnits::us) {
        return to_step(shown, std::abs(shown) < kSmallGal ? 10.0 : 100.0);
    }
    return to_parts(shown, std::abs(shown) < kSmallM3 ? 10.0 : 1.0);
}

Value ListNumbers::flow(std::optional<double> flow_lps) const {
    constexpr int kFigures = 3;
    return flow_lps ? Value(to_figures(m_quantities.shown("L/s", *flow_lps), kFigures)) : Value();
}

Value ListNumbers::pressure(std::optional<double> pressure_kpa) const {
    if (!pressure_kpa) {
        return {};
    }
    return to_parts(m_quantities.shown("kPa", *pressure_kpa), m_units == OutputUnits::us ? 10.0 : 1.0);
}

Value ListNumbers::length(std::optional<double> length_m) const {
    return length_m ? Value(to_parts(m_quantities.shown("m", *length_m), 1.0)) : Value();
}

Value ListNumbers::money(std::optional<double> amount) {
    return amount ? Value(to_parts(*amount, 1.0)) : Value();
}

Value ListNumbers::money_per_volume(std::optional<double> per_m3) const {
    constexpr double kHundredth = 100.0;
    if (m_units != OutputUnits::us || !per_m3) {
        return money(per_m3);
    }
    return to_parts(m_quantities.price_per("m3", per_m3).value(), kHundredth);
}

Value ListNumbers::percent(std::optional<double> share) {
    return share ? Value(to_parts(*share * kPercent, 1.0)) : Value();
}

Value ListNumbers::small_percent(std::optional<double> share) {
    constexpr int kFigures = 3;
    return share ? Value(to_figures(*share * kPercent, kFigures)) : Value();
}

std::string list_text(const Value& value) {
    if (const auto* const real = std::get_if<double>(&value)) {
        return fmt::format("{}", *real);
    }
    if (const auto* const whole = std::get_if<std::int64_t>(&value)) {
        return fmt::format("{}", *whole);
    }
    const auto* const text = std::get_if<std::string>(&value);
    return text != nullptr && !text->empty() ? *text : "-";
}

}  // namespace eaveshed
