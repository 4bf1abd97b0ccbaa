#include "eaveshed/drawing/ticks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

struct RoundNumber {
    double value = 1.0;
    int exponent = 0;
};

RoundNumber round_number_below(double most) {
    if (!(most > 0.0) || !std::isfinite(most)) {
        internal_error("a round number below something that is none");
    }
    // A hair of room, so that what came out of a division as 4.9999999 is 5.
    constexpr double kRoom = 1.0 + 1e-9;
    int exponent = static_cast<int>(std::floor(std::log10(most * kRoom)));
    const double power = std::pow(10.0, exponent);
    double value = power;
    for (const double factor : {2.0, 5.0}) {
        value = factor * power <= most * kRoom ? factor * power : value;
    }
    return {value, exponent};
}

}  // namespace

double round_below(double most) {
    return round_number_below(most).value;
}

std::string Ticks::text(double value) const {
    const std::string words = fmt::format("{:.{}f}", value, decimals);
    return words.find_first_not_of("-0.") == std::string::npos ? fmt::format("{:.{}f}", 0.0, decimals) : words;
}

Ticks round_ticks(double from, double to, int wanted) {
    Ticks ticks;
    if (!std::isfinite(from) || !std::isfinite(to) || !(to > from)) {
        ticks.values = {from};
        return ticks;
    }
    const RoundNumber step = round_number_below((to - from) / wanted);
    ticks.step = step.value;
    ticks.decimals = std::max(0, -step.exponent);
    constexpr double kRoom = 1e-9;
    const double first = std::ceil(from / ticks.step - kRoom);
    const double last = std::floor(to / ticks.step + kRoom);
    for (int i = 0; first + i <= last; ++i) {
        ticks.values.push_back((first + i) * ticks.step);
    }
    return ticks;
}

}  // namespace eaveshed
