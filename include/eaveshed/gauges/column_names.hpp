// What the name of a column says.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// Words that agencies and spreadsheets use, in lower case: common practice.
enum class ColumnRole : std::uint8_t { date, year, month, day, station, rain, minimum, maximum, other, unknown };

struct ColumnName {
    std::string name;  // as it stands
    std::string base;  // without its unit
    std::string unit;  // "mm" of precip_mm, "Rain (mm)", "rain [mm]"; empty where it says none
    ColumnRole role = ColumnRole::unknown;
};

// Degrees of any kind as people write them; none for anything else.
[[nodiscard]] std::optional<GaugeTemperatureUnit> gauge_temperature_unit(const std::string& text);

[[nodiscard]] ColumnName column_name(const std::string& name);

// By letters and digits alone, in lower case: "Station ID" and "station_id" are one.
[[nodiscard]] std::string plain_name(std::string_view name);

}  // namespace eaveshed
