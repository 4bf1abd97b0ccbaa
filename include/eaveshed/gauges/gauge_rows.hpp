// A table of gauges as it was understood: dates, stations and numbers, before they are brought into steps.
//
// Three forms: a date and one column of values; a date and a column for each station; a date, a station and a value in
// each line.
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/files/delimited_text.hpp"
#include "eaveshed/gauges/written_dates.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

enum class GaugeQuantity : std::uint8_t { rain, minimum_temperature, maximum_temperature };

// What is looked for in a table.
struct GaugeWish {
    std::string setting{};          // that names the table: "rain.source"
    std::string columns_setting{};  // that names its columns: "rain.columns"
    GaugeQuantity quantity = GaugeQuantity::rain;
    std::vector<std::string> columns{};  // as the settings name them; empty: found by their names
    DateOrder order = DateOrder::from_data;
    bool mean_year = false;                       // twelve months without a year
    bool months = false;                          // a month a line, else what the dates say
    std::span<const std::string> known_ids = {};  // of stations with a place: they tell which columns are stations
};

inline constexpr std::uint32_t kEveryStation = std::numeric_limits<std::uint32_t>::max();

struct GaugeRow {
    WrittenDate date;  // its order is settled; of a mean year only the month counts
    std::size_t line = 0;
    std::uint32_t station = kEveryStation;  // in a form with a column for each station: all of them
};

struct GaugeRows {
    std::string where;
    std::string file;
    std::vector<std::string> ids;     // of the stations, ascending, each once
    std::vector<GaugeRow> rows;       // in the table's order
    std::vector<double> values;       // a row's one after another: one, or one for each station; NaN missing
    std::string unit;                 // as the names of the columns or a line of units below them say; else empty
    std::vector<std::string> unused;  // columns that hold something else, as far as that is known
    std::string order;                // of day and month, in words; empty where every date tells by itself

    [[nodiscard]] std::size_t width() const {
        return rows.empty() || rows.front().station != kEveryStation ? 1 : ids.size();
    }
    [[nodiscard]] std::string at(std::size_t line) const;
};

// Empty cells, words in place of numbers, and values below 0 (of rain) are missing; "T", a trace, is 0 mm. Throws input
// errors that name line and column: no date or no values found, a date that is none, more cells than names, a comma in
// numbers that may mean two things. What was taken for missing or for 0 is told.
// method.md 2.10.
[[nodiscard]] GaugeRows read_gauge_rows(const GaugeWish& wish, const DelimitedText& table, Findings& findings);
[[nodiscard]] GaugeRows read_gauge_rows(const GaugeWish& wish, const std::string& path, Findings& findings);

// A note of columns that nothing was read from. `setting`: that would name others.
void tell_unused(const std::vector<std::string>& columns, const std::string& setting, const std::string& where,
                 Findings& findings);

// Whether a path names such a table, by the end of its name and, for .txt, which grids have too, by its first word.
[[nodiscard]] bool is_gauge_table(const std::string& path);

}  // namespace eaveshed
