// Units as files write them ("kg m-2 s-1", "mm/day", "US survey foot") understood, or not: never guessed.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "eaveshed/core/choices.hpp"

namespace eaveshed {

// A unit of height. "foot" and "ft" do not say which foot: `loose` then, and 0.3048 m.
struct LengthUnit {
    double metres = 1.0;
    bool loose = false;
};
[[nodiscard]] std::optional<LengthUnit> length_unit_from_text(std::string_view text);

// What a water depth stands for when the text says so: "mm month-1" is the depth of a month.
enum class PerStep : std::uint8_t { any, day, month };

struct RainUnitText {
    RainUnit unit = RainUnit::mm;
    PerStep per = PerStep::any;
};
// 1 kg m-2 of water is 1 mm (CF conventions, appendix on precipitation; R8.4 in the tests).
[[nodiscard]] std::optional<RainUnitText> rain_unit_from_text(std::string_view text);

// What a value in the unit makes of a step of `days` days, mm: a depth counts as it is, a rate times the step's length.
// method.md 2.2.
[[nodiscard]] double mm_per_value(RainUnit unit, double days);

enum class TemperatureUnit : std::uint8_t { celsius, kelvin };
[[nodiscard]] std::optional<TemperatureUnit> temperature_unit_from_text(std::string_view text);

// As the settings write it.
[[nodiscard]] std::string_view to_text(RainUnit unit);
[[nodiscard]] std::string_view to_text(EvapotranspirationUnit unit);

}  // namespace eaveshed
