#include "eaveshed/gauges/gauge_rows.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <utility>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/number_spelling.hpp"
#include "eaveshed/core/raster.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/settings/input_role.hpp"
#include "eaveshed/words/wording.hpp"
#include "gauge_columns.hpp"

namespace eaveshed {

namespace {

constexpr const char* kDateSpellings = "1990-03-14, 3/14/1990, 14.03.1990, 14-Mar-1990, or 1990-03 for a month";

// Common practice: what stands in cells where nothing was measured.
bool says_missing(const std::string& cell) {
    constexpr std::array<std::string_view, 14> kWords{"",   "na",  "n/a", "nan", "null", "none",    "-",
                                                      "--", "---", "m",   "x",   ".",    "missing", "nd"};
    return std::ranges::find(kWords, lower_case(cell)) != kWords.end();
}

// Too little to measure. Common practice in tables of rain.
bool says_trace(const std::string& cell) {
    constexpr std::array<std::string_view, 3> kWords{"t", "tr", "trace"};
    return std::ranges::find(kWords, lower_case(cell)) != kWords.end();
}

// -9, -99, -9999, -99.9 and the like: numbers that stand for missing. Common practice.
bool is_marker(double value) {
    const std::string digits = fmt::format("{}", -value);
    return value < 0.0 && digits.find_first_not_of("9.") == std::string::npos;
}

// How many cells of one sort there were, and the first of them.
struct Seen {
    std::size_t count = 0;
    std::size_t line = 0;
    std::string text;

    void add(std::size_t at, const std::string& cell) {
        if (count++ == 0) {
            line = at;
            text = cell;
        }
    }
    [[nodiscard]] std::string example() const {
        return fmt::format("the first \"{}\" in line {}", printable(text), line);
    }
};

class RowReader {
public:
    RowReader(const DelimitedText& table, const GaugeWish& wish, Findings& findings)
        : m_table(table), m_wish(wish), m_findings(findings), m_columns(find_columns(table, wish)) {}

    GaugeRows read();

private:
    void find_decimal_comma();
    void number_stations();
    void read_row(const TextRow& row);
    [[nodiscard]] bool is_foot(const TextRow& row) const;
    [[nodiscard]] WrittenDate date_of_row(const TextRow& row) const;
    [[nodiscard]] WrittenDate date_of_parts(const TextRow& row) const;
    [[nodiscard]] Error no_date(const TextRow& row, const std::string& text) const;
    double value_of(const TextRow& row, std::size_t column);
    double number_of(double number, const std::string& text, std::size_t line);
    void settle_dates();
    void tell() const;
    [[nodiscard]] std::string cell(const TextRow& row, std::size_t column) const {
        return column < row.cells.size() ? row.cells[column] : std::string();
    }

    const DelimitedText& m_table;
    const GaugeWish& m_wish;
    Findings& m_findings;
    GaugeColumns m_columns;
    GaugeRows m_rows;
    std::vector<std::size_t> m_in_order;              // columns of the values, by their stations' ids
    std::map<std::string, std::uint32_t> m_stations;  // of the form with a station in each line
    bool m_decimal_comma = false;
    Seen m_traces;
    Seen m_markers;
    Seen m_negatives;
    Seen m_words;
    Seen m_short_rows;
};

// Which signs the numbers of a table have.
struct SignsSeen {
    void add(std::size_t line, const std::string& text) {
        const SpelledNumber number = spelled_number(text);
        const std::size_t last = text.find_last_of(".,");
        if (number.spelling == NumberSpelling::two_ways) {
            open.add(line, text);
        } else if (last != std::string::npos && number_in(number.text)) {
            const bool thousands = std::ranges::count(text, text[last]) > 1;  // "1,234,567"
            ((text[last] == ',') != thousands ? commas : points).add(line, text);
            parted_by_comma = parted_by_comma || (text.find(',') < last) || (thousands && text[last] == ',');
        }
    }

    Seen points;  // for a decimal point
    Seen commas;  // for a decimal comma
    Seen open;    // for either
    bool parted_by_comma = false;
};

// What can be read in two ways is read as the other numbers of the table are written.
void RowReader::find_decimal_comma() {
    SignsSeen signs;
    for (std::size_t i = m_columns.begin; i < m_table.rows.size(); ++i) {
        for (const std::size_t column : m_columns.values) {
            signs.add(m_table.rows[i].line, cell(m_table.rows[i], column));
        }
    }
    const Seen& commas = signs.commas.count > 0 ? signs.commas : signs.open;
    m_decimal_comma = signs.commas.count > 0;
    if (commas.count == 0 || (!m_decimal_comma && signs.parted_by_comma)) {
        return;
    }
    if (signs.points.count > 0 || !m_decimal_comma) {
        throw input_error(m_table.at(commas.line),
                          fmt::format("\"{}\"{}", commas.text,
                                      signs.points.count > 0
                                          ? fmt::format(", and \"{}\" in line {}", signs.points.text, signs.points.line)
                                          : std::string(", which may be a part or thousands")),
                          "numbers with a decimal point, without a mark between thousands", "write them so");
    }
    m_findings.note({m_table.where, "numbers with a decimal comma, " + commas.example(), "", "read as such"});
}

// Their numbers follow the order of their ids.
void RowReader::number_stations() {
    if (m_columns.station) {
        for (std::size_t i = m_columns.begin; i < m_table.rows.size(); ++i) {
            if (is_foot(m_table.rows[i])) {
                continue;
            }
            if (cell(m_table.rows[i], *m_columns.station).empty()) {
                throw input_error(m_table.at(m_table.rows[i].line), "a line without a station",
                                  "the id of a station in each line", "write it, or take the line out");
            }
            m_stations.emplace(cell(m_table.rows[i], *m_columns.station), 0U);
        }
        for (auto& [id, number] : m_stations) {
            number = static_cast<std::uint32_t>(m_rows.ids.size());
            m_rows.ids.push_back(id);
        }
        return;
    }
    std::map<std::string, std::size_t> columns;
    for (std::size_t i = 0; i < m_columns.ids.size(); ++i) {
        if (!columns.emplace(m_columns.ids[i], m_columns.values[i]).second) {
            throw input_error(m_table.at(m_table.rows[m_columns.header].line),
                              fmt::format("two columns '{}'", printable(m_columns.ids[i])),
                              "a name of its own for each station", "rename one of them");
        }
    }
    for (const auto& [id, column] : columns) {
        m_rows.ids.push_back(id);
        m_in_order.push_back(column);
    }
}

// Words under a table, in the first cell alone.
bool RowReader::is_foot(const TextRow& row) const {
    const bool one_cell = std::ranges::all_of(row.cells.begin() + 1, row.cells.end(),
                                              [](const std::string& text) { return text.empty(); });
    const std::string& first = row.cells.front();
    const bool dated = written_date(first) || (m_wish.mean_year && written_month(first));
    return one_cell && !dated && m_table.rows[m_columns.header].cells.size() > 1;
}

Error RowReader::no_date(const TextRow& row, const std::string& text) const {
    return input_error(
        m_table.at(row.line),
        text.empty() ? std::string("a line without a date") : fmt::format("\"{}\" for a date", printable(text)),
        kDateSpellings, "correct the line, or take it out; years need four digits");
}

WrittenDate RowReader::date_of_parts(const TextRow& row) const {
    const auto month = written_month(cell(row, *m_columns.month));
    const auto year = m_columns.year ? cell_number(cell(row, *m_columns.year), false) : std::optional(0.0);
    const std::string day_text = m_columns.day ? cell(row, *m_columns.day) : std::string();
    const auto day = cell_number(day_text, false);
    constexpr double kLastYear = 9999.0;
    constexpr double kLastDay = 31.0;
    const auto whole = [](double value, double low, double high) {
        return value >= low && value <= high && value == static_cast<double>(static_cast<int>(value));
    };
    const bool bad_year = !year || (m_columns.year && !whole(*year, 1000.0, kLastYear));
    if (!month || bad_year || (m_columns.day && (!day || !whole(*day, 1.0, kLastDay)))) {
        throw no_date(row, fmt::format("{} {} {}", m_columns.year ? cell(row, *m_columns.year) : "",
                                       cell(row, *m_columns.month), day_text));
    }
    return {.year = static_cast<int>(*year),
            .month = *month,
            .day = day ? std::optional(static_cast<int>(*day)) : std::nullopt};
}

WrittenDate RowReader::date_of_row(const TextRow& row) const {
    if (!m_columns.date) {
        return date_of_parts(row);
    }
    const std::string text = cell(row, *m_columns.date);
    if (m_wish.mean_year) {
        if (const auto month = written_month(text)) {
            return {.year = 0, .month = *month};
        }
    }
    const auto date = written_date(text);
    if (!date) {
        throw no_date(row, text);
    }
    return *date;
}

double RowReader::number_of(double number, const std::string& text, std::size_t line) {
    if (m_wish.quantity == GaugeQuantity::rain) {
        if (number >= 0.0) {
            return number;
        }
        (is_marker(number) ? m_markers : m_negatives).add(line, text);
        return kMissing;
    }
    constexpr double kLeastMarker = -99.0;  // no unit of temperature goes so low, nor to four nines
    constexpr double kGreatMarker = 999.0;
    if (number <= kLeastMarker || number >= kGreatMarker) {
        m_markers.add(line, text);
        return kMissing;
    }
    return number;
}

double RowReader::value_of(const TextRow& row, std::size_t column) {
    const std::string text = cell(row, column);
    if (const auto number = cell_number(text, m_decimal_comma)) {
        return number_of(*number, text, row.line);
    }
    if (m_wish.quantity == GaugeQuantity::rain && says_trace(text)) {
        m_traces.add(row.line, text);
        return 0.0;
    }
    if (!says_missing(text)) {
        m_words.add(row.line, text);
    }
    return kMissing;
}

void RowReader::read_row(const TextRow& row) {
    const std::size_t names = m_table.rows[m_columns.header].cells.size();
    const bool too_many =
        std::any_of(row.cells.begin() + static_cast<std::ptrdiff_t>(std::min(names, row.cells.size())), row.cells.end(),
                    [](const std::string& text) { return !text.empty(); });
    if (too_many) {
        throw input_error(m_table.at(row.line), fmt::format("{} cells under {} names", row.cells.size(), names),
                          "a cell for each name", "correct the line; a text that holds the delimiter needs quotes");
    }
    if (row.cells.size() < names) {
        m_short_rows.add(row.line, row.cells.front());
    }
    GaugeRow read{.date = date_of_row(row), .line = row.line};
    if (m_columns.station) {
        read.station = m_stations.at(cell(row, *m_columns.station));
        m_rows.values.push_back(value_of(row, m_columns.values.front()));
    } else {
        for (const std::size_t column : m_in_order) {
            m_rows.values.push_back(value_of(row, column));
        }
    }
    m_rows.rows.push_back(read);
}

void RowReader::settle_dates() {
    std::vector<DateAtLine> dates;
    for (const GaugeRow& row : m_rows.rows) {
        dates.push_back({row.date, row.line});
    }
    const std::string section = m_wish.setting.substr(0, m_wish.setting.find('.'));
    m_rows.order =
        settle_order(dates, m_wish.order, m_wish.months || m_wish.mean_year, m_table.where, section + ".date_order");
    for (std::size_t i = 0; i < dates.size(); ++i) {
        m_rows.rows[i].date = dates[i].date;
    }
}

void RowReader::tell() const {
    const std::string& where = m_table.where;
    if (m_traces.count > 0) {
        m_findings.note({where, fmt::format("{} of rain, {}", counted(m_traces.count, "trace"), m_traces.example()), "",
                         "they count as 0 mm"});
    }
    if (m_markers.count > 0) {
        m_findings.note({where,
                         fmt::format("{} that {} for missing, {}", counted(m_markers.count, "number"),
                                     m_markers.count == 1 ? "stands" : "stand", m_markers.example()),
                         "", ""});
    }
    if (m_negatives.count > 0) {
        m_findings.warn({where,
                         fmt::format("{} below 0, {}", counted(m_negatives.count, "depth"), m_negatives.example()),
                         "rain of 0 or more", "they count as missing: look what they stand for"});
    }
    if (m_words.count > 0) {
        m_findings.warn({where,
                         fmt::format("{} that {} no number, {}", counted(m_words.count, "value"),
                                     m_words.count == 1 ? "is" : "are", m_words.example()),
                         "a number, or an empty cell where nothing was measured", "they count as missing"});
    }
    if (m_short_rows.count > 0) {
        m_findings.warn({where,
                         fmt::format("{} with fewer cells than names, the first is line {}",
                                     counted(m_short_rows.count, "line"), m_short_rows.line),
                         "a cell for each name", "what is not there counts as missing"});
    }
}

GaugeRows RowReader::read() {
    m_rows.where = m_table.where;
    m_rows.file = m_table.file;
    m_rows.unit = m_columns.unit;
    m_rows.unused = m_columns.left_out;
    find_decimal_comma();
    number_stations();
    std::size_t foot = 0;
    for (std::size_t i = m_columns.begin; i < m_table.rows.size(); ++i) {
        if (is_foot(m_table.rows[i])) {
            ++foot;
        } else {
            read_row(m_table.rows[i]);
        }
    }
    if (m_rows.rows.empty()) {
        throw input_error(m_table.where, "names and no line of data below them", "a line for each day or month",
                          "name another file");
    }
    if (foot > 0) {
        m_findings.note(
            {m_table.where, fmt::format("{} of words without data passed over", counted(foot, "line")), "", ""});
    }
    settle_dates();
    tell();
    return std::move(m_rows);
}

}  // namespace

std::string GaugeRows::at(std::size_t line) const {
    return fmt::format("{}, line {}", where, line);
}

GaugeRows read_gauge_rows(const GaugeWish& wish, const DelimitedText& table, Findings& findings) {
    return RowReader(table, wish, findings).read();
}

GaugeRows read_gauge_rows(const GaugeWish& wish, const std::string& path, Findings& findings) {
    return read_gauge_rows(wish, read_delimited(wish.setting, path), findings);
}

void tell_unused(const std::vector<std::string>& columns, const std::string& setting, const std::string& where,
                 Findings& findings) {
    if (!columns.empty()) {
        findings.note(
            {where, "columns that are not used: " + listed(columns), "", fmt::format("{} would name others", setting)});
    }
}

bool is_gauge_table(const std::string& path) {
    if (!names_gauge_table(path) || !lower_case(path).ends_with(".txt")) {
        return names_gauge_table(path);
    }
    constexpr std::string_view kGrid = "ncols";
    std::array<unsigned char, 64> head{};
    try {
        const std::size_t got = File(path, File::Mode::read).read_some(0, head);
        const std::string text = lower_case({reinterpret_cast<const char*>(head.data()), got});
        const std::size_t first = text.find_first_not_of(" \t\r\n");
        return first == std::string::npos || text.substr(first, kGrid.size()) != kGrid;
    } catch (const Error&) {
        return true;  // told when it is read
    }
}

}  // namespace eaveshed
