#include "eaveshed/drawing/legend.hpp"

#include "eaveshed/drawing/marked_text.hpp"

namespace eaveshed {

Point Legend::next(std::string_view word) {
    constexpr double kLetters = 2.9;
    constexpr double kSign = 6.5;
    constexpr double kGap = 4.0;
    const double width = kSign + text_width(word, kLetters) + kGap;
    if (m_x > 0.0 && m_x + width - kGap > m_svg.width()) {
        m_x = 0.0;
        m_y += kRow;
    }
    m_svg.text({m_x + kSign, m_y + 0.5 * kRow + 1.0}, word, {.size = kLetters});
    const Point sign{m_x + 0.5, m_y + 0.5 * kRow};
    m_x += width;
    return sign;
}

void Legend::swatch(std::string_view word, const Pen& pen) {
    const Point at = next(word);
    m_svg.box({at.x, at.y - 1.5, 5.0, 3.0}, pen);
}

void Legend::symbol(std::string_view word, Symbol symbol, const Pen& pen) {
    const Point at = next(word);
    m_svg.symbol({at.x + 3.2, at.y}, symbol, 2.4, pen);
}

void Legend::stroke(std::string_view word, const Pen& pen) {
    const Point at = next(word);
    m_svg.line({{at.x, at.y + 0.6}, {at.x + 1.7, at.y - 0.6}, {at.x + 3.4, at.y + 0.6}, {at.x + 5.0, at.y - 0.4}}, pen);
}

}  // namespace eaveshed
