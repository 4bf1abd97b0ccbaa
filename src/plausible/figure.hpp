// Numbers as findings show them. Private to the module.
#pragma once

#include <cmath>
#include <string>

#include <fmt/format.h>

namespace eaveshed {

// Three digits, and no powers of ten.
[[nodiscard]] inline std::string figure(double value) {
    constexpr double kWhole = 100.0;
    return std::abs(value) < kWhole ? fmt::format("{:.3g}", value) : fmt::format("{:.0f}", value);
}

}  // namespace eaveshed
