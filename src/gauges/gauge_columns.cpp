#include "gauge_columns.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/units.hpp"
#include "eaveshed/gauges/column_names.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kRowsLookedAt = 2000;  // for whether a column holds numbers

std::string quantity_name(GaugeQuantity quantity) {
    switch (quantity) {
        case GaugeQuantity::rain: return "rain";
        case GaugeQuantity::minimum_temperature: return "daily minimum temperatures";
        case GaugeQuantity::maximum_temperature: return "daily maximum temperatures";
    }
    return "";
}

ColumnRole role_of_quantity(GaugeQuantity quantity) {
    switch (quantity) {
        case GaugeQuantity::rain: return ColumnRole::rain;
        case GaugeQuantity::minimum_temperature: return ColumnRole::minimum;
        case GaugeQuantity::maximum_temperature: return ColumnRole::maximum;
    }
    return ColumnRole::unknown;
}

bool is_date_cell(const std::string& cell) {
    return written_date(cell).has_value();
}

bool is_number_or_date(const std::string& cell) {
    return cell_number(cell, false) || cell_number(cell, true) || is_date_cell(cell);
}

// The row of names: the first with a name for dates; else the one before the first date.
std::optional<std::size_t> find_header(const DelimitedText& table) {
    constexpr std::size_t kPreamble = 100;
    const std::size_t most = std::min(table.rows.size(), kPreamble);
    const auto names_dates = [](const std::string& cell) {
        const ColumnRole role = column_name(cell).role;
        return role == ColumnRole::date || role == ColumnRole::year || role == ColumnRole::month;
    };
    for (std::size_t i = 0; i < most; ++i) {
        const auto& cells = table.rows[i].cells;
        if (cells.size() > 1 && std::ranges::any_of(cells, names_dates)) {
            return i;
        }
    }
    for (std::size_t i = 1; i < most; ++i) {
        const auto& before = table.rows[i - 1].cells;
        if (std::ranges::any_of(table.rows[i].cells, is_date_cell) && before.size() > 1 &&
            std::ranges::none_of(before, is_date_cell)) {
            return i - 1;
        }
    }
    return std::nullopt;
}

// Finds the columns of one table.
class ColumnFinder {
public:
    ColumnFinder(const DelimitedText& table, const GaugeWish& wish) : m_table(table), m_wish(wish) {}

    GaugeColumns find();

private:
    void read_names();
    void find_dates();
    void find_station();
    void find_values();
    void take_named_values();
    void take_likely_values();
    void name_stations();
    void find_unit();
    [[nodiscard]] std::optional<std::size_t> with_role(ColumnRole role) const;
    [[nodiscard]] bool is_taken(std::size_t column) const;
    [[nodiscard]] bool has_numbers(std::size_t column) const;
    [[nodiscard]] std::optional<std::string> known_id(std::size_t column) const;
    [[nodiscard]] std::vector<std::size_t> free_columns() const;
    [[nodiscard]] std::vector<std::string> names() const;
    [[nodiscard]] Error no_values() const;

    const DelimitedText& m_table;
    const GaugeWish& m_wish;
    std::vector<ColumnName> m_names;
    GaugeColumns m_columns;
};

std::vector<std::string> ColumnFinder::names() const {
    std::vector<std::string> names;
    for (const ColumnName& column : m_names) {
        names.push_back(column.name);
    }
    return names;
}

void ColumnFinder::read_names() {
    const auto header = find_header(m_table);
    if (!header) {
        throw input_error(m_table.where, "no line with the names of the columns above the first date",
                          "a first line with names, such as date,precip_mm", "add one, or correct the dates");
    }
    m_columns.header = *header;
    m_columns.begin = *header + 1;
    for (const std::string& name : m_table.rows[*header].cells) {
        m_names.push_back(column_name(name));
    }
}

std::optional<std::size_t> ColumnFinder::with_role(ColumnRole role) const {
    const auto found = std::ranges::find(m_names, role, &ColumnName::role);
    return found == m_names.end() ? std::nullopt : std::optional(static_cast<std::size_t>(found - m_names.begin()));
}

void ColumnFinder::find_dates() {
    m_columns.date = with_role(ColumnRole::date);
    const auto month = with_role(ColumnRole::month);
    const auto year = with_role(ColumnRole::year);
    if (m_columns.date) {
        return;
    }
    if (month && (year || m_wish.mean_year)) {
        m_columns.year = year;
        m_columns.month = month;
        m_columns.day = year ? with_role(ColumnRole::day) : std::nullopt;
        return;
    }
    if (month || with_role(ColumnRole::day)) {
        m_columns.date = month ? month : with_role(ColumnRole::day);  // "month" above 1990-03
        return;
    }
    for (std::size_t i = m_columns.begin; i < std::min(m_table.rows.size(), m_columns.begin + 2); ++i) {
        const auto& cells = m_table.rows[i].cells;
        const auto found = std::ranges::find_if(cells, is_date_cell);
        if (found != cells.end()) {
            m_columns.date = static_cast<std::size_t>(found - cells.begin());
            return;
        }
    }
    throw input_error(m_table.at(m_table.rows[m_columns.header].line), "no column of dates: " + listed(names()),
                      "a column named date, or year, month and day", "name it so in the first line");
}

bool ColumnFinder::is_taken(std::size_t column) const {
    return m_columns.date == column || m_columns.year == column || m_columns.month == column ||
           m_columns.day == column || m_columns.station == column;
}

bool ColumnFinder::has_numbers(std::size_t column) const {
    const std::size_t end = std::min(m_table.rows.size(), m_columns.begin + kRowsLookedAt);
    for (std::size_t i = m_columns.begin; i < end; ++i) {
        const auto& cells = m_table.rows[i].cells;
        if (column < cells.size() && (cell_number(cells[column], false) || cell_number(cells[column], true))) {
            return true;
        }
    }
    return false;
}

// A station in each line: its values change, or there is nothing else that could be one.
void ColumnFinder::find_station() {
    const auto found = with_role(ColumnRole::station);
    if (found && !is_taken(*found)) {
        m_columns.station = found;
    }
}

std::optional<std::string> ColumnFinder::known_id(std::size_t column) const {
    for (const std::string* const name : {&m_names[column].name, &m_names[column].base}) {
        for (const std::string& id : m_wish.known_ids) {
            if (lower_case(id) == lower_case(*name)) {
                return id;
            }
        }
    }
    return std::nullopt;
}

std::vector<std::size_t> ColumnFinder::free_columns() const {
    std::vector<std::size_t> columns;
    for (std::size_t i = 0; i < m_names.size(); ++i) {
        if (!is_taken(i)) {
            columns.push_back(i);
        }
    }
    return columns;
}

Error ColumnFinder::no_values() const {
    return input_error(m_table.at(m_table.rows[m_columns.header].line),
                       fmt::format("no column of {}: {}", quantity_name(m_wish.quantity), listed(names())),
                       "one column of values, or one for each station",
                       fmt::format("set {} to what it is called", m_wish.columns_setting));
}

void ColumnFinder::take_named_values() {
    for (const std::string& wanted : m_wish.columns) {
        const auto found = std::ranges::find(m_names, wanted, &ColumnName::name);
        if (found == m_names.end()) {
            throw input_error(m_wish.columns_setting,
                              fmt::format("no column '{}' in {}", printable(wanted), m_table.where),
                              "one of " + listed(names()), did_you_mean(wanted, names(), "name a column of the table"));
        }
        m_columns.values.push_back(static_cast<std::size_t>(found - m_names.begin()));
    }
}

// Columns that stations with a place are named by; else those named after the quantity; else all that hold numbers and
// are not named after something else.
void ColumnFinder::take_likely_values() {
    const std::vector<std::size_t> free = free_columns();
    const auto take = [&](auto fits) {
        if (m_columns.values.empty()) {
            std::ranges::copy_if(free, std::back_inserter(m_columns.values), fits);
        }
    };
    if (!m_columns.station) {
        take([&](std::size_t column) { return known_id(column).has_value(); });
    }
    take([&](std::size_t column) { return m_names[column].role == role_of_quantity(m_wish.quantity); });
    take([&](std::size_t column) { return m_names[column].role == ColumnRole::unknown && has_numbers(column); });
    for (const std::size_t column : free) {
        if (std::ranges::find(m_columns.values, column) == m_columns.values.end()) {
            m_columns.left_out.push_back(m_names[column].name);
        }
    }
}

void ColumnFinder::find_values() {
    if (m_wish.columns.empty()) {
        take_likely_values();
    } else {
        take_named_values();
    }
    if (m_columns.values.empty()) {
        throw no_values();
    }
    if (m_columns.station && m_columns.values.size() > 1) {
        std::vector<std::string> several;
        for (const std::size_t column : m_columns.values) {
            several.push_back(m_names[column].name);
        }
        throw input_error(m_table.at(m_table.rows[m_columns.header].line),
                          fmt::format("a station in each line, and several columns that may be {}: {}",
                                      quantity_name(m_wish.quantity), listed(several)),
                          "one column of values", fmt::format("set {} to one of them", m_wish.columns_setting));
    }
}

void ColumnFinder::name_stations() {
    for (const std::size_t column : m_columns.values) {
        m_columns.ids.push_back(known_id(column).value_or(m_names[column].base));
    }
    // Two columns of one base, such as rain_mm and rain_in, are told apart by their whole names.
    for (std::size_t i = 0; i < m_columns.ids.size(); ++i) {
        if (std::ranges::count(m_columns.ids, m_columns.ids[i]) > 1) {
            m_columns.ids[i] = m_names[m_columns.values[i]].name;
        }
    }
}

// In the names, or in a line of units below them: that has words where the data have dates and numbers.
void ColumnFinder::find_unit() {
    if (m_columns.begin < m_table.rows.size()) {
        const auto& below = m_table.rows[m_columns.begin].cells;
        const std::size_t time = m_columns.date.value_or(m_columns.month.value_or(0));
        const bool no_data =
            std::ranges::none_of(below, is_number_or_date) && (time >= below.size() || !written_month(below[time]));
        if (no_data && below.size() == m_names.size()) {
            for (std::size_t i = 0; i < m_names.size(); ++i) {
                m_names[i].unit = m_names[i].unit.empty() ? below[i] : m_names[i].unit;
            }
            ++m_columns.begin;
        }
    }
    for (const std::size_t column : m_columns.values) {
        const std::string& unit = m_names[column].unit;
        if (!m_columns.unit.empty() && !unit.empty() && unit != m_columns.unit) {
            throw input_error(
                m_table.at(m_table.rows[m_columns.header].line),
                fmt::format("columns in \"{}\" and in \"{}\"", printable(m_columns.unit), printable(unit)),
                "one unit in the whole table",
                fmt::format("convert the others, or name those to use by {}", m_wish.columns_setting));
        }
        m_columns.unit = unit.empty() ? m_columns.unit : unit;
    }
}

GaugeColumns ColumnFinder::find() {
    read_names();
    find_dates();
    find_station();
    find_values();
    name_stations();
    find_unit();
    return std::move(m_columns);
}

}  // namespace

std::optional<double> cell_number(const std::string& cell, bool decimal_comma) {
    const std::size_t comma = decimal_comma ? cell.find(',') : std::string::npos;
    if (comma == std::string::npos) {
        return number_in(cell);
    }
    std::string with_point = cell;
    with_point[comma] = '.';
    return number_in(with_point);
}

GaugeColumns find_columns(const DelimitedText& table, const GaugeWish& wish) {
    return ColumnFinder(table, wish).find();
}

}  // namespace eaveshed
