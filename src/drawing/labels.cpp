#include "eaveshed/drawing/labels.hpp"

#include <algorithm>
#include <array>

#include "eaveshed/drawing/marked_text.hpp"

namespace eaveshed {

std::optional<Point> LabelRoom::beside(Point place, std::string_view text, double size, double gap) {
    // How far the label's centre lies from the place, in half widths and heights beyond the gap.
    constexpr std::array<Point, 8> kWays{{{1, 0}, {-1, 0}, {0, -1}, {0, 1}, {1, -1}, {-1, -1}, {1, 1}, {-1, 1}}};
    constexpr double kBaseline = 0.28;  // of the size: from a line's middle down to where its letters stand
    const double width = text_width(text, size);
    for (const Point& way : kWays) {
        const double shift_x = gap > 0.0 ? way.x * (gap + width / 2.0) : 0.0;
        const double shift_y = gap > 0.0 ? way.y * (gap + size / 2.0) : 0.0;
        const PageBox box{place.x + shift_x - width / 2.0, place.y + shift_y - size / 2.0, width, size};
        const bool free = m_area.holds(box) &&
                          std::ranges::none_of(m_taken, [&](const PageBox& taken) { return taken.touches(box); });
        if (free) {
            m_taken.push_back(box);
            return Point{box.x, box.y + size / 2.0 + kBaseline * size};
        }
        if (!(gap > 0.0)) {
            break;
        }
    }
    return std::nullopt;
}

}  // namespace eaveshed
