#include "eaveshed/drawing/chart.hpp"

#include <algorithm>
#include <cmath>

#include "eaveshed/core/error.hpp"
#include "eaveshed/drawing/colours.hpp"
#include "eaveshed/drawing/marked_text.hpp"

namespace eaveshed {

namespace {

constexpr double kLetters = 2.9;    // mm: of ticks and words
constexpr double kTick = 1.0;       // mm
constexpr double kKeys = 6.0;       // mm: the row of keys
constexpr double kNoKeys = 2.2;     // half a tick's letters
constexpr double kTickRoom = 18.0;  // mm of an axis a tick gets, about
constexpr double kYTickRoom = 9.0;

Ticks ticks_of(const Axis& axis, int wanted) {
    Ticks ticks = round_ticks(axis.from, axis.to, std::max(1, wanted));
    if (axis.whole && ticks.step < 1.0) {
        ticks = {.step = 1.0, .decimals = 0, .values = {}};
        const double first = std::ceil(axis.from);
        for (int i = 0; first + i <= axis.to; ++i) {
            ticks.values.push_back(first + i);
        }
    }
    return ticks;
}

double widest(const Ticks& ticks) {
    double width = 0.0;
    for (const double value : ticks.values) {
        width = std::max(width, text_width(ticks.text(value), kLetters));
    }
    return width;
}

// How far the words of an axis' last tick reach beyond its end.
double last_tick_beyond(const Axis& x, double width) {
    if (!x.names.empty()) {
        return 0.0;
    }
    const Ticks ticks = ticks_of(x, static_cast<int>(width / kTickRoom));
    const double from_end = ticks.values.empty() ? 0.0 : (x.to - ticks.values.back()) / (x.to - x.from) * width;
    return ticks.values.empty() ? 0.0 : 0.5 * text_width(ticks.text(ticks.values.back()), kLetters) - from_end;
}

// Names that would touch are written smaller. Few letters are wider than text_width says, many are narrower.
double letters_of(const Axis& axis, double width) {
    constexpr std::size_t kMany = 6;
    const double filled = axis.names.size() > kMany ? 0.8 : 1.0;
    double widest_name = 0.0;
    for (const std::string& name : axis.names) {
        widest_name = std::max(widest_name, text_width(name, 1.0));
    }
    const double room = filled * width / static_cast<double>(std::max<std::size_t>(1, axis.names.size()));
    return widest_name * kLetters > room ? room / widest_name : kLetters;
}

}  // namespace

Axis Axis::numbers(std::string title, double from, double most, bool whole) {
    constexpr int kTicks = 5;
    Axis axis{.title = std::move(title), .from = from, .to = from + 1.0, .whole = whole, .names = {}};
    if (most > from) {
        double step = round_ticks(from, most, kTicks).step;
        step = whole ? std::max(1.0, step) : step;
        axis.to = std::ceil(most / step - 1e-9) * step;
    }
    return axis;
}

Axis Axis::named(std::vector<std::string> names, std::string title) {
    const auto places = static_cast<double>(std::max<std::size_t>(1, names.size()));
    return {.title = std::move(title), .from = 0.0, .to = places, .whole = false, .names = std::move(names)};
}

Chart::Chart(DrawingWords words, ChartSize size, Axis x, Axis y)
    : m_svg(std::move(words), size.width, size.height), m_x(std::move(x)), m_y(std::move(y)) {
    if (!(m_x.to > m_x.from) || !(m_y.to > m_y.from)) {
        internal_error("a chart with an axis of no length");
    }
    const double below = kLetters + 2.0 * kTick + (m_x.title.empty() ? 0.5 : kLetters + 1.8);
    const double above = size.keys ? kKeys : kNoKeys;
    const double height = size.height - above - below;
    m_y_ticks = ticks_of(m_y, static_cast<int>(height / kYTickRoom));
    const double left = widest(m_y_ticks) + 2.0 * kTick + (m_y.title.empty() ? 0.0 : kLetters + 1.5);
    m_area = {left, above, size.width - left - std::max(3.0, last_tick_beyond(m_x, size.width - left)), height};
    m_key_x = left;
    draw_axes();
}

void Chart::draw_axes() {
    const Lettering lettering{.size = kLetters, .fill = colour::kFaintInk, .anchor = Anchor::middle};
    for (const double value : m_y_ticks.values) {
        const double y = y_of(value);
        m_svg.line({{m_area.x, y}, {m_area.right(), y}}, {.stroke = colour::kRule, .width = 0.15});
        m_svg.text({m_area.x - kTick, y + 0.35 * kLetters}, m_y_ticks.text(value),
                   {.size = kLetters, .fill = colour::kFaintInk, .anchor = Anchor::end});
    }
    const double words_y = m_area.bottom() + kTick + kLetters;
    if (m_x.names.empty()) {
        const Ticks ticks = ticks_of(m_x, static_cast<int>(m_area.width / kTickRoom));
        for (const double value : ticks.values) {
            const double x = x_of(value);
            m_svg.line({{x, m_area.bottom()}, {x, m_area.bottom() + kTick}}, {.stroke = colour::kInk, .width = 0.2});
            m_svg.text({x, words_y}, ticks.text(value), lettering);
        }
    }
    Lettering name_lettering = lettering;
    name_lettering.size = letters_of(m_x, m_area.width);
    for (std::size_t i = 0; i < m_x.names.size(); ++i) {
        m_svg.text({x_of(static_cast<double>(i) + 0.5), words_y}, m_x.names[i], name_lettering);
    }
    m_svg.line({{m_area.x, m_area.y}, {m_area.x, m_area.bottom()}, {m_area.right(), m_area.bottom()}},
               {.stroke = colour::kInk, .width = 0.25});
    const Lettering title{.size = kLetters, .anchor = Anchor::middle};
    if (!m_x.title.empty()) {
        m_svg.text({m_area.x + m_area.width / 2.0, m_svg.height() - 0.8}, m_x.title, title);
    }
    if (!m_y.title.empty()) {
        Lettering upright_title = title;
        upright_title.turned = -90.0;
        m_svg.text({kLetters, m_area.y + m_area.height / 2.0}, m_y.title, upright_title);
    }
}

void Chart::line(std::span<const Point> points, const Pen& pen, bool stepped) {
    std::vector<Point> page;
    for (const Point& point : points) {
        const Point here = place(point);
        if (stepped && !page.empty()) {
            page.push_back({here.x, page.back().y});
        }
        page.push_back(here);
    }
    m_svg.open_clip(m_area);
    m_svg.line(page, pen);
    m_svg.close();
}

void Chart::bars(std::span<const std::optional<double>> heights, const std::string& fill, std::size_t which,
                 std::size_t beside) {
    constexpr double kFilled = 0.72;  // of a place
    const double width = kFilled / static_cast<double>(beside);
    for (std::size_t i = 0; i < heights.size(); ++i) {
        if (heights[i]) {
            const double from = static_cast<double>(i) + (1.0 - kFilled) / 2.0 + width * static_cast<double>(which);
            const Point top = place({from, std::max(0.0, *heights[i])});
            const Point base = place({from + width, std::min(0.0, *heights[i])});
            m_svg.box({top.x, top.y, base.x - top.x, base.y - top.y}, {.fill = fill});
        }
    }
}

void Chart::histogram(std::span<const double> edges, std::span<const double> heights, const std::string& fill) {
    for (std::size_t i = 0; i < heights.size(); ++i) {
        const Point top = place({edges[i], heights[i]});
        const Point base = place({edges[i + 1], 0.0});
        if (heights[i] > 0.0) {
            m_svg.box({top.x, top.y, base.x - top.x, base.y - top.y},
                      {.stroke = "#ffffff", .width = 0.2, .fill = fill});
        }
    }
}

void Chart::mark(Point place_of, Symbol symbol, const std::string& fill, std::string_view word) {
    const Point here = place(place_of);
    m_svg.symbol(here, symbol, 2.2, {.stroke = "#ffffff", .width = 0.2, .fill = fill});
    if (!word.empty()) {
        const bool left = here.x + 2.0 + text_width(word, kLetters) > m_area.right();
        m_svg.text({here.x + (left ? -1.8 : 1.8), here.y - 1.2}, word,
                   {.size = kLetters, .anchor = left ? Anchor::end : Anchor::start, .halo = true});
    }
}

void Chart::level(double y, std::string_view word) {
    m_svg.line({place({m_x.from, y}), place({m_x.to, y})},
               {.stroke = colour::kFaintInk, .width = 0.25, .dash = "1.2 0.8"});
    m_svg.text({m_area.right(), y_of(y) - 0.8}, word,
               {.size = kLetters, .fill = colour::kFaintInk, .anchor = Anchor::end, .halo = true});
}

void Chart::key(std::string_view word, const std::string& fill) {
    constexpr double kSide = 2.6;
    m_svg.box({m_key_x, 1.2, kSide, kSide}, {.fill = fill});
    m_svg.text({m_key_x + kSide + 1.0, 1.2 + 0.9 * kSide}, word, {.size = kLetters});
    m_key_x += kSide + 4.0 + text_width(word, kLetters);
}

std::string lying_bars(const DrawingWords& words, double width_mm, std::span<const LyingBar> bars) {
    constexpr double kRow = 6.8;
    constexpr double kBar = 3.8;
    constexpr double kWords = 3.4;  // larger than a chart's: such drawings are wide
    double names = 0.0;
    double ends = 0.0;
    double most = 0.0;
    for (const LyingBar& bar : bars) {
        names = std::max(names, text_width(bar.name, kWords));
        ends = std::max(ends, text_width(bar.words, kWords));
        most = std::max(most, bar.length);
    }
    names = std::min(names, 0.45 * width_mm);
    const double room = std::max(5.0, width_mm - names - ends - 4.0);
    Svg svg(words, width_mm, kRow * static_cast<double>(std::max<std::size_t>(1, bars.size())) + 1.0);
    double y = 0.5;
    for (const LyingBar& bar : bars) {
        const double length = most > 0.0 ? room * bar.length / most : 0.0;
        const double base = y + kRow / 2.0 + 0.35 * kWords;
        svg.text({0.0, base}, bar.name, {.size = kWords});
        svg.box({names + 1.5, y + (kRow - kBar) / 2.0, std::max(0.15, length), kBar}, {.fill = bar.fill});
        svg.text({names + 3.0 + length, base}, bar.words, {.size = kWords});
        y += kRow;
    }
    return svg.element();
}

std::vector<double> counts_between(std::span<const double> edges, std::span<const double> values) {
    std::vector<double> counts(edges.size() < 2 ? 0 : edges.size() - 1, 0.0);
    for (const double value : values) {
        if (counts.empty() || !(value >= edges.front()) || value > edges.back()) {
            continue;
        }
        const auto above = std::ranges::upper_bound(edges, value) - edges.begin();
        counts[std::min(static_cast<std::size_t>(above - 1), counts.size() - 1)] += 1.0;
    }
    return counts;
}

}  // namespace eaveshed
