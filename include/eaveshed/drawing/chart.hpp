// Charts: numbers along two axes with titles, units and round ticks; lines, steps, bars and histograms.
//
//     Chart chart({.id = "months", .title = "...", .description = "..."}, {170.0, 70.0},
//                 Axis::named(month_names), Axis::numbers("m3", 0.0, most));
//     chart.bars(rain, colour::kBlue, 0, 2);          // first of two bars side by side
//     chart.line(stock, {.stroke = colour::kInk});     // points in the axes' own values
//     page += chart.element();
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/drawing/svg.hpp"
#include "eaveshed/drawing/ticks.hpp"

namespace eaveshed {

struct Axis {
    std::string title = {};  // with its unit
    double from = 0.0;
    double to = 1.0;
    bool whole = false;                   // only whole numbers at its ticks
    std::vector<std::string> names = {};  // instead of numbers: place i of them at i + 0.5

    // Numbers from `from` to the next tick at or above `most`; an axis of no length ends at 1 above its beginning.
    [[nodiscard]] static Axis numbers(std::string title, double from, double most, bool whole = false);
    [[nodiscard]] static Axis named(std::vector<std::string> names, std::string title = {});
};

struct ChartSize {
    double width = 82.0;  // mm
    double height = 58.0;
    bool keys = false;  // room above the axes for key()
};

class Chart {
public:
    Chart(DrawingWords words, ChartSize size, Axis x, Axis y);

    // Points in the axes' values, in order; what lies outside the axes is cut off. `stepped`: flat until the next
    // point.
    void line(std::span<const Point> points, const Pen& pen, bool stepped = false);
    // Bars from 0 to each height, one for each place of a named axis; `which` of `beside` bars that stand side by side.
    // A place without a height has none.
    void bars(std::span<const std::optional<double>> heights, const std::string& fill, std::size_t which = 0,
              std::size_t beside = 1);
    // Bars without gaps between edges in order: one edge more than heights.
    void histogram(std::span<const double> edges, std::span<const double> heights, const std::string& fill);
    // A mark with a word beside it.
    void mark(Point place, Symbol symbol, const std::string& fill, std::string_view word = {});
    // A level line through the whole chart, with a word at its end.
    void level(double y, std::string_view word);
    // The meaning of a colour, in the row above the axes; called in order.
    void key(std::string_view word, const std::string& fill);

    [[nodiscard]] Point place(Point values) const { return {x_of(values.x), y_of(values.y)}; }
    [[nodiscard]] Svg& svg() { return m_svg; }
    [[nodiscard]] std::string element() const { return m_svg.element(); }

private:
    void draw_axes();
    [[nodiscard]] double x_of(double value) const {
        return m_area.x + (value - m_x.from) / (m_x.to - m_x.from) * m_area.width;
    }
    [[nodiscard]] double y_of(double value) const {
        return m_area.bottom() - (value - m_y.from) / (m_y.to - m_y.from) * m_area.height;
    }

    Svg m_svg;
    Axis m_x;
    Axis m_y;
    Ticks m_y_ticks;
    PageBox m_area;
    double m_key_x = 0.0;
};

// Bars that lie, one a row, each with its name at the left and its own words at the end: for what has long names.
struct LyingBar {
    std::string name;
    double length = 0.0;  // >= 0
    std::string words;    // "12.5 L/s, 31 parcels"
    std::string fill;
};
[[nodiscard]] std::string lying_bars(const DrawingWords& words, double width_mm, std::span<const LyingBar> bars);

// How many values lie in each of the bins between edges in order; the last bin holds its upper edge too. Values outside
// count in none.
[[nodiscard]] std::vector<double> counts_between(std::span<const double> edges, std::span<const double> values);

}  // namespace eaveshed
