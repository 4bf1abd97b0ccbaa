#include "eaveshed/shape/row_cover.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "eaveshed/shape/measure.hpp"
#include "shape/random_shapes.hpp"

namespace eaveshed {
namespace {

using testing::Random;

const Grid kGrid{.x_min = 4.8e5, .y_max = 4.3e6 + 60.0, .cell_width = 1.0, .cell_height = 1.5, .rows = 80, .cols = 130};
const CellRange kRange{3, 78, 5, 121};

std::vector<bool> cells_of(const Spans& spans) {
    std::vector<bool> cells(static_cast<std::size_t>(kGrid.cols), false);
    std::int64_t last = -1;
    for (const Span& span : spans) {
        EXPECT_LT(span.begin, span.end);
        EXPECT_GT(span.begin, last);
        last = span.end;
        for (std::int64_t col = span.begin; col < span.end; ++col) {
            cells.at(static_cast<std::size_t>(col)) = true;
        }
    }
    return cells;
}

// `wanted` of every cell of the range, and nothing outside it.
template <typename Find, typename Wanted>
std::size_t expect_rows(const Find& find, const Wanted& wanted) {
    std::size_t found = 0;
    for (std::int64_t row = kRange.row_begin; row < kRange.row_end; ++row) {
        Spans spans;
        find(row, spans);
        normalise(spans);
        const std::vector<bool> cells = cells_of(spans);
        for (std::int64_t col = 0; col < kGrid.cols; ++col) {
            const bool in_range = col >= kRange.col_begin && col < kRange.col_end;
            const bool expected = in_range && wanted(kGrid.centre({row, col}));
            EXPECT_EQ(cells[static_cast<std::size_t>(col)], expected) << row << ' ' << col;
            found += expected ? 1U : 0U;
        }
    }
    return found;
}

// Within the reach of 12 m to the last digit of the plain distance; beyond it no nearer than that.
void expect_squares(const NearEdgesOfRow& near, const MultiPolygon& metres, const LocalFrame& frame) {
    std::vector<double> x;
    for (std::int64_t col = kRange.col_begin; col < kRange.col_end; ++col) {
        x.push_back(frame.to_metres(kGrid.centre({0, col})).x);
    }
    std::vector<double> squares(x.size());
    for (std::int64_t row = kRange.row_begin; row < kRange.row_end; ++row) {
        std::fill(squares.begin(), squares.end(), std::numeric_limits<double>::infinity());
        const double y = frame.to_metres(kGrid.centre({row, 0})).y;
        near.lower_squares(y, x, squares);
        for (std::size_t i = 0; i < x.size(); ++i) {
            const double distance = distance_to_edge(metres, {x[i], y});
            if (distance <= 12.0) {
                EXPECT_EQ(std::sqrt(squares[i]), distance) << row << ' ' << i;
            } else {
                EXPECT_GT(std::sqrt(squares[i]), 12.0);
            }
        }
    }
}

void expect_all_rows(const MultiPolygon& outline, const LocalFrame& frame) {
    InsideOfRow inside(kGrid, kRange);
    inside.add(outline);
    const MultiPolygon metres = frame.to_metres(outline);
    expect_rows([&](std::int64_t row, Spans& out) { inside.find(row, out); },
                [&](Point point) { return contains(outline, point); });
    NearEdgesOfRow near(frame, kGrid, kRange);
    near.add(metres, 12.0);
    expect_squares(near, metres, frame);
    for (const double limit : {0.5, 3.0, 12.0}) {
        expect_rows([&](std::int64_t row, Spans& out) { near.find_nearer(row, limit, out); },
                    [&](Point point) { return distance_to_edge(metres, frame.to_metres(point)) < limit; });
        expect_rows([&](std::int64_t row, Spans& out) { near.find_within(row, limit, out); },
                    [&](Point point) { return distance_to_edge(metres, frame.to_metres(point)) <= limit; });
    }
}

TEST(RowCover, IsTheAnswerOfEveryCellForRandomStars) {
    Random random = testing::seeded(7);
    const Box box = kGrid.extent();
    for (int i = 0; i < 40; ++i) {
        SCOPED_TRACE(i);
        const Point centre = testing::point_in(random, box);
        const LocalFrame frame{centre, i % 2 == 0 ? 1.0 : 0.7, i % 3 == 0 ? 1.0 : 1.3};
        expect_all_rows(testing::star_outline(random, centre, testing::uniform(random, 3.0, 50.0), 8 + i), frame);
    }
}

// Vertices and edges that run exactly through centres, and edges exactly a limit away from them.
TEST(RowCover, IsExactWhereEdgesMeetCentres) {
    const auto at = [](double col, double row) {
        return Point{kGrid.x_min + (col + 0.5) * kGrid.cell_width, kGrid.y_max - (row + 0.5) * kGrid.cell_height};
    };
    const Ring outer{at(10, 10), at(40, 10), at(40, 30), at(50, 30), at(50, 20), at(70, 40), at(10, 40), at(10, 10)};
    const Ring hole{at(20, 20), at(30, 20), at(25, 30), at(20, 20)};
    const Ring second{at(80, 10), at(90, 20), at(100, 10), at(100, 30), at(80, 30), at(80, 10)};
    const MultiPolygon outline{{{outer, {hole}}, {second, {}}}};
    expect_all_rows(outline, {at(0, 0), 1.0, 1.0});
    expect_all_rows(outline, {at(0, 0), 2.0, 0.5});
}

TEST(RowCover, FindsPointsAndLines) {
    const LocalFrame frame{{4.8e5, 4.3e6}, 1.0, 1.0};
    const Line line{{10.2, 10.0}, {40.0, -20.3}, {90.0, 12.0}};
    NearEdgesOfRow near(frame, kGrid, kRange);
    near.add(line, 6.0);
    near.add(Line{{70.0, -30.0}}, 6.0);
    const std::size_t found =
        expect_rows([&](std::int64_t row, Spans& out) { near.find_nearer(row, 6.0, out); },
                    [&](Point point) {
                        const Point metres = frame.to_metres(point);
                        return distance_to_line(line, metres) < 6.0 || distance_to_line({{70.0, -30.0}}, metres) < 6.0;
                    });
    EXPECT_GT(found, 500U);
}

TEST(Spans, AreJoinedCutAndCounted) {
    Spans spans{{5, 9}, {1, 2}, {8, 12}, {4, 4}, {12, 13}};
    normalise(spans);
    EXPECT_EQ(spans, (Spans{{1, 2}, {5, 13}}));
    EXPECT_EQ(cell_count(spans), 9);
    Spans common = spans;
    intersect(common, {{0, 6}, {7, 8}, {12, 20}});
    EXPECT_EQ(common, (Spans{{1, 2}, {5, 6}, {7, 8}, {12, 13}}));
    Spans rest = spans;
    subtract(rest, {{0, 6}, {7, 8}, {12, 20}});
    EXPECT_EQ(rest, (Spans{{6, 7}, {8, 12}}));
    subtract(rest, {});
    EXPECT_EQ(cell_count(rest), 5);
}

TEST(LeastSquareNotNearer, PartsSquaresAsTheirRootsPartDistances) {
    EXPECT_LT(least_square_not_nearer(0.0), -1.0);
    EXPECT_LT(least_square_not_nearer(-2.0), -1.0);
    for (int i = 0; i < 2000; ++i) {
        const double limit = 0.01 + 0.0137 * i;
        const double least = least_square_not_nearer(limit);
        EXPECT_GE(std::sqrt(least), limit);
        EXPECT_LT(std::sqrt(std::nextafter(least, 0.0)), limit);
    }
}

}  // namespace
}  // namespace eaveshed
