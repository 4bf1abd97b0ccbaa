#include "eaveshed/drawing/map_frame.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/core/error.hpp"
#include "eaveshed/drawing/colours.hpp"
#include "eaveshed/drawing/marked_text.hpp"
#include "eaveshed/drawing/ticks.hpp"

namespace eaveshed {

MapFrame::MapFrame(const Box& content, const PageBox& window, UnitLengths lengths, double margin_mm)
    : m_window(window) {
    if (content.empty() || !(lengths.along_x > 0.0) || !(lengths.along_y > 0.0)) {
        internal_error("a map of nothing");
    }
    constexpr double kLeastMetres = 50.0;
    const double width_m = std::max((content.x_max - content.x_min) * lengths.along_x, kLeastMetres);
    const double height_m = std::max((content.y_max - content.y_min) * lengths.along_y, kLeastMetres);
    m_metres_per_mm =
        std::max(width_m / (window.width - 2.0 * margin_mm), height_m / (window.height - 2.0 * margin_mm));
    m_mm_per_x = lengths.along_x / m_metres_per_mm;
    m_mm_per_y = lengths.along_y / m_metres_per_mm;
    const Point middle = content.middle();
    const double half_x = window.width / 2.0 / m_mm_per_x;
    const double half_y = window.height / 2.0 / m_mm_per_y;
    m_shown = {middle.x - half_x, middle.y - half_y, middle.x + half_x, middle.y + half_y};
}

std::vector<Point> MapFrame::line(const Line& line) const {
    std::vector<Point> page(line.size());
    std::ranges::transform(line, page.begin(), [&](Point place) { return to_page(place); });
    return page;
}

std::vector<std::vector<Point>> MapFrame::rings(const MultiPolygon& outline) const {
    std::vector<std::vector<Point>> page;
    for (const Polygon& part : outline.parts) {
        page.push_back(line(part.outer));
        for (const Ring& hole : part.holes) {
            page.push_back(line(hole));
        }
    }
    return page;
}

ScaleBar scale_bar(double metres_per_mm, double most_mm, LengthSystem system) {
    constexpr double kKilometre = 1000.0;
    constexpr double kFoot = 0.3048;
    constexpr double kMile = 1609.344;
    const double most_m = metres_per_mm * most_mm;
    double length_m = 0.0;
    std::string label;
    if (system == LengthSystem::us) {
        const double unit = most_m < kMile ? kFoot : kMile;
        const double length = round_below(most_m / unit);
        length_m = length * unit;
        label = fmt::format("{:g} {}", length, most_m < kMile ? "ft" : "mi");
    } else {
        length_m = round_below(most_m);
        label = length_m < kKilometre ? fmt::format("{:g} m", length_m) : fmt::format("{:g} km", length_m / kKilometre);
    }
    return {length_m, length_m / metres_per_mm, label};
}

PageBox draw_scale_bar(Svg& svg, const ScaleBar& bar, Point corner) {
    constexpr double kHigh = 1.4;
    constexpr double kLetters = 2.9;
    constexpr double kAround = 1.2;
    const double half = bar.length_mm / 2.0;
    const double width = std::max(bar.length_mm, text_width(bar.label, kLetters));
    const PageBox room{corner.x - kAround, corner.y - kHigh - kLetters - 2.0 * kAround, width + 2.0 * kAround,
                       kHigh + kLetters + 3.0 * kAround};
    svg.box(room, {.fill = "#ffffff", .fill_opacity = 0.85});
    svg.box({corner.x, corner.y - kHigh, half, kHigh}, {.stroke = colour::kInk, .width = 0.2, .fill = colour::kInk});
    svg.box({corner.x + half, corner.y - kHigh, half, kHigh},
            {.stroke = colour::kInk, .width = 0.2, .fill = "#ffffff"});
    svg.text({corner.x, corner.y - kHigh - 1.0}, bar.label, {.size = kLetters});
    return room;
}

PageBox draw_north_arrow(Svg& svg, Point top, double height) {
    const double half = 0.22 * height;
    const double shaft = 0.68 * height;
    const PageBox room{top.x - half - 1.0, top.y - 1.0, 2.0 * half + 2.0, height + 2.0};
    svg.box(room, {.fill = "#ffffff", .fill_opacity = 0.85});
    svg.area({{{top.x, top.y}, {top.x, top.y + 0.75 * shaft}, {top.x - half, top.y + shaft}}},
             {.stroke = colour::kInk, .width = 0.2, .fill = colour::kInk});
    svg.area({{{top.x, top.y}, {top.x, top.y + 0.75 * shaft}, {top.x + half, top.y + shaft}}},
             {.stroke = colour::kInk, .width = 0.2, .fill = "#ffffff"});
    svg.text({top.x, top.y + height}, "N", {.size = 0.3 * height, .anchor = Anchor::middle, .bold = true});
    return room;
}

}  // namespace eaveshed
