#include "eaveshed/shape/row_cover.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include "eaveshed/core/lanes.hpp"

namespace eaveshed {

namespace {

constexpr double kDoubtCells = 1e-6;   // a crossing is found better than this; cells so near are asked one by one
constexpr double kDoubtMetres = 1e-6;  // likewise the reach of an edge

template <typename Visit>
void for_each_edge_of_ring(const Ring& ring, Visit&& visit) {
    for (std::size_t i = 1; i < ring.size(); ++i) {
        visit(Segment{ring[i - 1], ring[i]});
    }
}

std::int64_t clamped(double value, std::int64_t low, std::int64_t high) {
    return static_cast<std::int64_t>(std::clamp(value, static_cast<double>(low), static_cast<double>(high)));
}

// Columns whose centres lie between two positions, those in doubt included.
Span columns_between(double low, double high, const CellRange& range) {
    return {clamped(std::ceil(low - kDoubtCells), range.col_begin, range.col_end),
            clamped(std::floor(high + kDoubtCells) + 1.0, range.col_begin, range.col_end)};
}

// Cells on an edge that runs along the row are not inside. One at the end of such an edge may lie beyond it: `inside`
// tells.
template <typename Inside>
void take_out_edges(Spans& on_edge, const Inside& inside, Spans& from) {
    normalise(on_edge);
    Spans beyond;
    for (const Span& span : on_edge) {
        for (const std::int64_t col : {span.begin, span.end - 1}) {
            if (inside(col)) {
                beyond.push_back({col, col + 1});
            }
        }
    }
    normalise(from);
    subtract(from, on_edge);
    from.insert(from.end(), beyond.begin(), beyond.end());
}

}  // namespace

void normalise(Spans& spans) {
    // The plain form: clang 14 does not take the ranges' for this container.
    const auto empty = [](const Span& span) { return span.begin >= span.end; };
    spans.erase(std::remove_if(spans.begin(), spans.end(), empty), spans.end());
    if (spans.size() < 2) {
        return;
    }
    std::ranges::sort(spans, {}, &Span::begin);
    std::size_t last = 0;
    for (std::size_t i = 1; i < spans.size(); ++i) {
        if (spans[i].begin <= spans[last].end) {
            spans[last].end = std::max(spans[last].end, spans[i].end);
        } else {
            spans[++last] = spans[i];
        }
    }
    spans.resize(last + 1);
}

void intersect(Spans& from, const Spans& other) {
    Spans out;
    std::size_t j = 0;
    for (const Span& span : from) {
        while (j < other.size() && other[j].end <= span.begin) {
            ++j;
        }
        for (std::size_t k = j; k < other.size() && other[k].begin < span.end; ++k) {
            out.push_back({std::max(span.begin, other[k].begin), std::min(span.end, other[k].end)});
        }
    }
    from = std::move(out);
}

void subtract(Spans& from, const Spans& other) {
    if (other.empty() || from.empty()) {
        return;
    }
    Spans out;
    std::size_t j = 0;
    for (const Span& span : from) {
        std::int64_t begin = span.begin;
        while (j < other.size() && other[j].end <= begin) {
            ++j;
        }
        for (std::size_t k = j; k < other.size() && other[k].begin < span.end; ++k) {
            if (other[k].begin > begin) {
                out.push_back({begin, other[k].begin});
            }
            begin = std::max(begin, other[k].end);
        }
        if (begin < span.end) {
            out.push_back({begin, span.end});
        }
    }
    from = std::move(out);
}

std::int64_t cell_count(const Spans& spans) {
    std::int64_t cells = 0;
    for (const Span& span : spans) {
        cells += span.end - span.begin;
    }
    return cells;
}

InsideOfRow::InsideOfRow(const Grid& grid, const CellRange& range) : m_grid(grid), m_range(range) {
    if (!range.empty()) {
        m_centres.add(grid.centre({range.row_begin, range.col_begin}));
        m_centres.add(grid.centre({range.row_end - 1, range.col_end - 1}));
    }
}

void InsideOfRow::add(const MultiPolygon& outline) {
    for (const Polygon& polygon : outline.parts) {
        Part part{m_edges.size(), 0, std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
        // What lies to the left of all cells meets no ray towards +x.
        const auto keep = [&](const Segment& edge) {
            const auto [low, high] = std::minmax(edge.from.y, edge.to.y);
            if (high >= m_centres.y_min && low <= m_centres.y_max &&
                std::max(edge.from.x, edge.to.x) >= m_centres.x_min - m_grid.cell_width) {
                m_edges.push_back(edge);
                part.y_min = std::min(part.y_min, low);
                part.y_max = std::max(part.y_max, high);
            }
        };
        for_each_edge_of_ring(polygon.outer, keep);
        for (const Ring& hole : polygon.holes) {
            for_each_edge_of_ring(hole, keep);
        }
        part.end = m_edges.size();
        if (part.begin < part.end) {
            m_parts.push_back(part);
        }
    }
}

bool InsideOfRow::holds(const Part& part, Point point) const {
    RayCount ray(point);
    for (std::size_t i = part.begin; i < part.end; ++i) {
        ray.add(m_edges[i]);
    }
    return ray.inside();
}

void InsideOfRow::find_in_part(const Part& part, std::int64_t row, double y, Spans& out) const {
    boost::container::small_vector<double, 16> crossings;
    Spans on_edge;
    for (std::size_t i = part.begin; i < part.end; ++i) {
        const Segment& edge = m_edges[i];
        if ((edge.from.y > y) != (edge.to.y > y)) {
            const double x = edge.from.x + (y - edge.from.y) * ((edge.to.x - edge.from.x) / (edge.to.y - edge.from.y));
            crossings.push_back(m_grid.col_position(x));
        } else if (edge.from.y == y && edge.to.y == y) {
            const auto [low, high] = std::minmax({m_grid.col_position(edge.from.x), m_grid.col_position(edge.to.x)});
            on_edge.push_back(columns_between(low, high, m_range));
        }
    }
    if (crossings.size() % 2 == 1) {  // the edge that would close the pair lies to the left of all cells
        crossings.push_back(-std::numeric_limits<double>::infinity());
    }
    std::ranges::sort(crossings);
    const auto inside = [&](std::int64_t col) { return holds(part, m_grid.centre({row, col})); };
    const auto doubtful = [](std::int64_t col, double crossing) {
        return std::abs(static_cast<double>(col) - crossing) <= kDoubtCells;
    };
    for (std::size_t i = 1; i < crossings.size(); i += 2) {
        Span span = columns_between(crossings[i - 1], crossings[i], m_range);
        while (span.begin < span.end && doubtful(span.begin, crossings[i - 1]) && !inside(span.begin)) {
            ++span.begin;
        }
        while (span.begin < span.end && doubtful(span.end - 1, crossings[i]) && !inside(span.end - 1)) {
            --span.end;
        }
        out.push_back(span);
    }
    if (!on_edge.empty()) {
        take_out_edges(on_edge, inside, out);
    }
}

void InsideOfRow::find(std::int64_t row, Spans& out) const {
    const double y = m_grid.centre({row, 0}).y;
    Spans of_part;
    for (const Part& part : m_parts) {
        if (y < part.y_min || y > part.y_max) {
            continue;
        }
        of_part.clear();
        find_in_part(part, row, y, of_part);
        out.insert(out.end(), of_part.begin(), of_part.end());
    }
}

NearEdgesOfRow::NearEdgesOfRow(const LocalFrame& frame, const Grid& grid, const CellRange& range)
    : m_frame(frame), m_grid(grid), m_range(range) {
    if (!range.empty()) {
        m_centres.add(frame.to_metres(grid.centre({range.row_begin, range.col_begin})));
        m_centres.add(frame.to_metres(grid.centre({range.row_end - 1, range.col_end - 1})));
    }
}

void NearEdgesOfRow::add(const Line& metres, double reach_m) {
    const double reach = reach_m + kDoubtMetres;
    m_reach = std::max(m_reach, reach);
    const Box box = m_centres.grown(reach, reach);
    const auto keep = [&](const Segment& edge) {
        Box around;
        around.add(edge.from);
        around.add(edge.to);
        if (around.intersects(box)) {
            const double dx = edge.to.x - edge.from.x;
            const double dy = edge.to.y - edge.from.y;
            m_edges.push_back({.segment = edge,
                               .y_low = around.y_min,
                               .y_high = around.y_max,
                               .dx = dx,
                               .dy = dy,
                               .length = std::sqrt(dx * dx + dy * dy),
                               .per_dx = dx != 0.0 ? 1.0 / dx : 0.0,
                               .per_dy = dy != 0.0 ? 1.0 / dy : 0.0});
        }
    };
    if (metres.size() == 1) {
        keep({metres.front(), metres.front()});
    }
    for_each_edge_of_ring(metres, keep);
}

void NearEdgesOfRow::add(const MultiPolygon& metres, double reach_m) {
    for (const Polygon& part : metres.parts) {
        add(part.outer, reach_m);
        for (const Ring& hole : part.holes) {
            add(hole, reach_m);
        }
    }
}

struct NearEdgesOfRow::Interval {
    double low = 0.0;
    double high = -1.0;
    [[nodiscard]] bool empty() const { return !(low <= high); }
    void add(const Interval& other) {
        if (other.empty()) {
            return;
        }
        *this = empty() ? other : Interval{std::min(low, other.low), std::max(high, other.high)};
    }
    [[nodiscard]] Interval common(const Interval& other) const {
        return {std::max(low, other.low), std::min(high, other.high)};
    }
    static Interval all() {
        constexpr double kFar = 1e300;
        return {-kFar, kFar};
    }
    // x for which low <= a + b x <= high; `per_b` is 1 / b, and 0 where b is.
    static Interval between(double low, double high, double a, double per_b) {
        if (per_b == 0.0) {
            return low <= a && a <= high ? all() : Interval{};
        }
        const double first = (low - a) * per_b;
        const double second = (high - a) * per_b;
        return {std::min(first, second), std::max(first, second)};
    }
    static Interval near_point(Point point, double y, double limit) {
        const double dy = y - point.y;
        const double square = limit * limit - dy * dy;
        if (square < 0.0) {
            return {};
        }
        const double half = std::sqrt(square);
        return {point.x - half, point.x + half};
    }
};

// x for which (x, y) is at most `limit` from the edge: one interval, because that ground is convex.
NearEdgesOfRow::Interval NearEdgesOfRow::near_edge(const Edge& edge, double y, double limit) {
    Interval near = Interval::near_point(edge.segment.from, y, limit);
    near.add(Interval::near_point(edge.segment.to, y, limit));
    if (edge.length > 0.0) {
        const double py = y - edge.segment.from.y;
        const double reach = limit * edge.length;
        const Interval along = Interval::between(0.0, edge.length * edge.length, py * edge.dy, edge.per_dx);
        const Interval beside = along.common(Interval::between(-reach, reach, py * edge.dx, -edge.per_dy));
        if (!beside.empty()) {
            near.add({beside.low + edge.segment.from.x, beside.high + edge.segment.from.x});
        }
    }
    return near;
}

namespace {

// squared_distance, for places beside each other.
EAVESHED_WIDEN void lower_by_edge(const Segment& edge, double y, const double* x, std::size_t count, double* squares) {
    const double dx = edge.to.x - edge.from.x;
    const double dy = edge.to.y - edge.from.y;
    const double py = y - edge.from.y;
    const double qy = y - edge.to.y;
    const double length_squared = dx * dx + dy * dy;
    for (std::size_t i = 0; i < count; ++i) {
        const double px = x[i] - edge.from.x;
        const double qx = x[i] - edge.to.x;
        const double along = px * dx + py * dy;
        const double across = dx * py - dy * px;
        const double before = px * px + py * py;
        const double after = qx * qx + qy * qy;
        const double beside = across * across / length_squared;
        const double square = along <= 0.0 ? before : along >= length_squared ? after : beside;
        squares[i] = square < squares[i] ? square : squares[i];
    }
}

}  // namespace

void NearEdgesOfRow::lower_squares(double y, std::span<const double> x, std::span<double> squares) const {
    if (x.empty()) {
        return;
    }
    const auto count = static_cast<std::int64_t>(x.size());
    const double per_step = count > 1 ? static_cast<double>(count - 1) / (x.back() - x.front()) : 0.0;
    for (const Edge& edge : m_edges) {
        if (edge.y_low - m_reach > y || edge.y_high + m_reach < y) {
            continue;
        }
        const auto [low, high] = std::minmax(edge.segment.from.x, edge.segment.to.x);
        const std::int64_t first = clamped((low - m_reach - x.front()) * per_step, 0, count);  // one more on each side
        const std::int64_t last = clamped((high + m_reach - x.front()) * per_step + 2.0, 0, count);
        if (first < last) {
            lower_by_edge(edge.segment, y, x.data() + first, static_cast<std::size_t>(last - first),
                          squares.data() + first);
        }
    }
}

double least_square_not_nearer(double limit_m) {
    constexpr double kUpwards = std::numeric_limits<double>::infinity();
    if (!(limit_m > 0.0)) {
        return -kUpwards;
    }
    double square = limit_m * limit_m;
    while (std::sqrt(square) < limit_m) {
        square = std::nextafter(square, kUpwards);
    }
    while (std::sqrt(std::nextafter(square, 0.0)) >= limit_m) {
        square = std::nextafter(square, 0.0);
    }
    return square;
}

template <bool kWithEqual>
void NearEdgesOfRow::find(std::int64_t row, double limit_m, Spans& out) const {
    const double outer = limit_m + kDoubtMetres;
    // Squares below this one are of distances surely below the limit: most need no square root.
    const double sure = limit_m > 0.0 ? limit_m * limit_m * (1.0 - 1e-12) : 0.0;
    const Point first = m_frame.to_metres(m_grid.centre({row, m_range.col_begin}));
    const double per_step = 1.0 / (m_grid.cell_width * m_frame.metres_per_x);
    const auto near = [&](const Segment& edge, std::int64_t col) {
        const double square = squared_distance(edge, m_frame.to_metres(m_grid.centre({row, col})));
        if (square < sure) {
            return true;
        }
        const double distance = std::sqrt(square);
        return kWithEqual ? distance <= limit_m : distance < limit_m;
    };
    const auto begin = static_cast<double>(m_range.col_begin);
    for (const Edge& edge : m_edges) {
        if (edge.y_high < first.y - outer || edge.y_low > first.y + outer) {
            continue;
        }
        const Interval reach = near_edge(edge, first.y, outer);
        if (reach.empty()) {
            continue;
        }
        Span span = columns_between((reach.low - first.x) * per_step + begin, (reach.high - first.x) * per_step + begin,
                                    m_range);
        // What is near an edge is convex: between two cells that are near, all are.
        while (span.begin < span.end && !near(edge.segment, span.begin)) {
            ++span.begin;
        }
        while (span.begin < span.end && !near(edge.segment, span.end - 1)) {
            --span.end;
        }
        if (span.begin < span.end) {
            out.push_back(span);
        }
    }
}

void NearEdgesOfRow::find_nearer(std::int64_t row, double limit_m, Spans& out) const {
    find<false>(row, limit_m, out);
}

void NearEdgesOfRow::find_within(std::int64_t row, double limit_m, Spans& out) const {
    find<true>(row, limit_m, out);
}

}  // namespace eaveshed
