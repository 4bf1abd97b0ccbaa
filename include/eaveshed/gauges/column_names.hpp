// What the name of a column says.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace eaveshed {

// Words that agencies and spreadsheets use, in lower case: common practice.
enum class ColumnRole : std::uint8_t { date, year, month, day, station, rain, minimum, maximum, other, unknown };

struct ColumnName {
    std::string name;  // as it stands
    std::string base;  // without its unit
    std::string unit;  // "mm" of precip_mm, "Rain (mm)", "rain [mm]"; empty where it says none
    ColumnRole role = ColumnRole::unknown;
};

[[nodiscard]] ColumnName column_name(const std::string& name);

// By letters and digits alone, in lower case: "Station ID" and "station_id" are one.
[[nodiscard]] std::string plain_name(std::string_view name);

}  // namespace eaveshed
