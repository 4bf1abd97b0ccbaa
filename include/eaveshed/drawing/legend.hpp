// Legends: what the signs of a drawing mean.
#pragma once

#include <string_view>

#include "eaveshed/drawing/svg.hpp"

namespace eaveshed {

// Entries one after another in rows as wide as the drawing.
class Legend {
public:
    // `top`: of its first row, mm.
    Legend(Svg& svg, double top) : m_svg(svg), m_y(top) {}
    void swatch(std::string_view word, const Pen& pen);
    void symbol(std::string_view word, Symbol symbol, const Pen& pen);
    void stroke(std::string_view word, const Pen& pen);
    // The lower edge of its last row.
    [[nodiscard]] double bottom() const { return m_y + kRow; }
    static constexpr double kRow = 5.2;  // mm

private:
    [[nodiscard]] Point next(std::string_view word);
    Svg& m_svg;
    double m_x = 0.0;
    double m_y;
};

}  // namespace eaveshed
