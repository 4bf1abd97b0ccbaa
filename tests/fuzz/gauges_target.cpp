// Tables of stations. What is read has a date and as many values as there are stations in every row, and, written anew
// with plain dates and numbers, reads as the same rows.
#include <algorithm>
#include <cmath>
#include <functional>

#include <fmt/format.h>

#include "eaveshed/gauges/gauge_places.hpp"
#include "eaveshed/gauges/gauge_series.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {

namespace {

GaugeWish wish_of(unsigned char way) {
    GaugeWish wish{.setting = "rain.source", .columns_setting = "rain.columns"};
    wish.quantity = way % 4 == 3 ? GaugeQuantity::minimum_temperature : GaugeQuantity::rain;
    wish.order = way / 4 % 2 == 1 ? DateOrder::day_month : DateOrder::from_data;
    wish.mean_year = way / 8 % 4 == 1;
    wish.months = way / 8 % 4 == 2;
    return wish;
}

std::string number(double value) {
    return std::isnan(value) ? std::string() : fmt::format("{}", value);
}

// With made-up names for the stations, whose own may be anything.
std::string written(const GaugeRows& rows, const std::vector<std::string>& names, GaugeQuantity quantity) {
    const char* const values = quantity == GaugeQuantity::rain ? "rain" : "tmin";
    std::string text = rows.width() == 1 ? fmt::format("date,station,{}\n", values) : "date";
    for (std::size_t i = 0; rows.width() > 1 && i < names.size(); ++i) {
        text += ',' + names[i];
    }
    text += rows.width() == 1 ? "" : "\n";
    for (std::size_t i = 0; i < rows.rows.size(); ++i) {
        const GaugeRow& row = rows.rows[i];
        text += fmt::format("{:04}-{:02}", row.date.year, row.date.month);
        text += row.date.day ? fmt::format("-{:02}", *row.date.day) : std::string();
        text += rows.width() == 1 ? ',' + names.at(row.station == kEveryStation ? 0 : row.station) : "";
        for (std::size_t k = 0; k < rows.width(); ++k) {
            text += ',' + number(rows.values[i * rows.width() + k]);
        }
        text += '\n';
    }
    return text;
}

bool same(double a, double b) {
    return a == b || (std::isnan(a) && std::isnan(b));
}

void read_again(const GaugeRows& rows, GaugeWish wish) {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < rows.ids.size(); ++i) {
        names.push_back(fmt::format("s{:07}", i));
    }
    wish.known_ids = names;
    const std::string text = written(rows, names, wish.quantity);
    Findings findings;
    const GaugeRows again = read_gauge_rows(wish, parse_delimited(text, "again.csv"), findings);
    require(again.values.size() == rows.values.size() && std::ranges::equal(again.values, rows.values, same),
            "values that read back as others");
    for (std::size_t i = 0; i < rows.rows.size(); ++i) {
        const WrittenDate& a = again.rows[i].date;
        const WrittenDate& b = rows.rows[i].date;
        require(a.year == b.year && a.month == b.month && a.day == b.day, "a date that reads back as another");
    }
}

void make_series(const GaugeRows& rows, RainKind kind) {
    Findings findings;
    accepts([&] {
        const GaugeSeries series = series_in_steps(rows, kind, "", Season{}, findings);
        require(series.values.size() == rows.ids.size(), "a series for somebody else");
        for (const std::vector<double>& values : series.values) {
            require(values.size() == series.timeline.steps.size(), "a series of another length");
        }
    });
}

}  // namespace

void fuzz_gauges(Bytes bytes) {
    const GaugeWish wish = wish_of(take_byte(bytes));
    Findings findings;
    GaugeRows rows;
    const bool read = accepts([&] {
        const DelimitedText table = parse_delimited(text_of(bytes), "rain.source \"gauges.csv\"");
        (void)find_place_columns(table.rows.front().cells);
        rows = read_gauge_rows(wish, table, findings);
    });
    if (!read) {
        return;
    }
    require(!rows.rows.empty() && rows.values.size() == rows.rows.size() * rows.width(), "rows and values do not fit");
    require(std::ranges::adjacent_find(rows.ids, std::ranges::greater_equal()) == rows.ids.end(),
            "stations that are not in order, or twice");
    for (const GaugeRow& row : rows.rows) {
        require(!row.date.open() && row.date.month >= 1 && row.date.month <= 12, "a row without a date");
        require(row.station == kEveryStation || row.station < rows.ids.size(), "a row of no station");
    }
    if (!wish.mean_year) {
        read_again(rows, wish);
    }
    make_series(rows, wish.mean_year ? RainKind::monthly_normals : wish.months ? RainKind::monthly : RainKind::daily);
    accepts([&] { require(month_means(rows).size() == rows.ids.size(), "means of somebody else"); });
}

}  // namespace eaveshed::fuzz
