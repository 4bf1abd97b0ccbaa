// From the coordinates of a map to the page: one scale in both directions, north up, with a scale bar and an arrow.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/drawing/svg.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// How long the units of the coordinates are, m: of a projected CRS both the length of its unit, of one in degrees those
// of the map's middle (shape/ellipsoid.hpp). Both > 0.
struct UnitLengths {
    double along_x = 1.0;
    double along_y = 1.0;
};

class MapFrame {
public:
    // The largest scale at which `content` (coordinates; a box of no width or height is given 50 m) lies in the window
    // with `margin_mm` around it, centred. A map in degrees is drawn in the equirectangular projection whose true
    // parallel runs through the middle of the content.
    MapFrame(const Box& content, const PageBox& window, UnitLengths lengths, double margin_mm = 2.0);

    [[nodiscard]] const PageBox& window() const { return m_window; }
    [[nodiscard]] Point to_page(Point place) const {
        return {m_window.x + (place.x - m_shown.x_min) * m_mm_per_x,
                m_window.y + (m_shown.y_max - place.y) * m_mm_per_y};
    }
    [[nodiscard]] Point from_page(Point page) const {
        return {m_shown.x_min + (page.x - m_window.x) / m_mm_per_x, m_shown.y_max - (page.y - m_window.y) / m_mm_per_y};
    }
    // What the whole window shows.
    [[nodiscard]] const Box& shown() const { return m_shown; }
    [[nodiscard]] double metres_per_mm() const { return m_metres_per_mm; }
    // 1 : this, on a page printed at its own size.
    [[nodiscard]] double scale() const { return 1000.0 * m_metres_per_mm; }
    // Rings for Svg::area.
    [[nodiscard]] std::vector<std::vector<Point>> rings(const MultiPolygon& outline) const;
    [[nodiscard]] std::vector<Point> line(const Line& line) const;

private:
    PageBox m_window;
    Box m_shown;
    double m_mm_per_x = 1.0;
    double m_mm_per_y = 1.0;
    double m_metres_per_mm = 1.0;
};

enum class LengthSystem : std::uint8_t { metric, us };

// The longest round length (1, 2 or 5 times a power of ten, of m and km, or of feet and miles) that is at most `most`
// long.
struct ScaleBar {
    double length_m = 0.0;
    double length_mm = 0.0;
    std::string label;  // "200 m", "1 mi"
};
[[nodiscard]] ScaleBar scale_bar(double metres_per_mm, double most_mm, LengthSystem system);

// Draws the bar with its label above, its left lower corner at `corner`; gives the room it takes.
PageBox draw_scale_bar(Svg& svg, const ScaleBar& bar, Point corner);
// An arrow to the north of the map's grid, `height` mm high with its letter; gives the room it takes.
PageBox draw_north_arrow(Svg& svg, Point top, double height);

}  // namespace eaveshed
