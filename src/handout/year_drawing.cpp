#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/drawing/chart.hpp"
#include "eaveshed/drawing/colours.hpp"
#include "eaveshed/words/months_text.hpp"
#include "property_drawings.hpp"

namespace eaveshed {

namespace {

std::vector<std::optional<double>> column(const PropertyYear& year, const QuantityText& text,
                                          double StoreMonth::*member) {
    std::vector<std::optional<double>> values;
    values.reserve(year.months.size());
    for (const PropertyMonth& month : year.months) {
        values.emplace_back(text.shown("m3", month.store.*member));
    }
    return values;
}

double most_of(const std::vector<std::optional<double>>& values, double most) {
    for (const auto& value : values) {
        most = std::max(most, value.value_or(0.0));
    }
    return most;
}

}  // namespace

std::string year_words(const PropertyYear& year) {
    switch (year.kind) {
        case YearKind::middling: return fmt::format("a middling winter (that which ended in {})", year.name);
        case YearKind::dry: return fmt::format("a dry winter (that which ended in {})", year.name);
        case YearKind::mean_year: return "the mean of many winters";
        case YearKind::assumed_dry: return "an assumed dry winter";
    }
    return "";
}

std::string year_short(const PropertyYear& year) {
    switch (year.kind) {
        case YearKind::middling: return fmt::format("middling, {}", year.name);
        case YearKind::dry: return fmt::format("dry, {}", year.name);
        case YearKind::mean_year: return "mean";
        case YearKind::assumed_dry: return "assumed dry";
    }
    return "";
}

std::string year_drawing(const PropertyYear& year, double usable_m3, std::size_t number, OutputUnits units) {
    const QuantityText text(units);
    const auto in = column(year, text, &StoreMonth::inflow_m3);
    const auto taken = column(year, text, &StoreMonth::taken_m3);
    const auto stock = column(year, text, &StoreMonth::stock_end_m3);
    std::vector<std::string> names;
    std::vector<Point> line;
    for (std::size_t i = 0; i < year.months.size(); ++i) {
        names.emplace_back(month_name(year.months[i].store.month).substr(0, 3));
        line.push_back({static_cast<double>(i) + 1.0, stock[i].value_or(0.0)});
    }
    const double full = text.shown("m3", usable_m3);
    const double most = most_of(taken, most_of(in, full));
    Chart chart(
        {.id = fmt::format("year-{}", number),
         .title = "Water month by month in " + year_words(year),
         .description = "What the roof brings, what is taken and what stands in the tanks at the end of each month."},
        {.width = 86.0, .height = 47.0, .keys = true}, Axis::named(std::move(names)),
        Axis::numbers(std::string(text.unit("m3")), 0.0, most));
    chart.key("comes in", colour::kSkyBlue);
    chart.key("taken", colour::kOrange);
    chart.key("in the tanks", colour::kInk);
    chart.bars(in, colour::kSkyBlue, 0, 2);
    chart.bars(taken, colour::kOrange, 1, 2);
    chart.line(line, {.stroke = colour::kInk, .width = 0.5});
    chart.level(full, "full");
    return chart.element();
}

}  // namespace eaveshed
