#include "eaveshed/vicinity/surroundings.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "eaveshed/shape/measure.hpp"
#include "siting/random_site.hpp"

namespace eaveshed {
namespace {

using testing::rectangle;

// Whole cells of 1 m, 50 x 50, north-west corner at (0, 50).
constexpr Grid kPlot{.x_min = 0.0, .y_max = 50.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 50, .cols = 50};
constexpr CellRange kAll{0, 50, 0, 50};
constexpr Reaches kReaches{.roof_m = 20.0, .setback_m = 10.0};

bool in(const Spans& spans, std::int64_t col) {
    for (const Span& span : spans) {
        if (col >= span.begin && col < span.end) {
            return true;
        }
    }
    return false;
}

// Holds every cell's answer of a question by rows against the same question asked of the cell's centre.
template <typename ByRow, typename OfPoint>
void expect_same(const ByRow& by_row, const OfPoint& of_point) {
    std::size_t yes = 0;
    Spans spans;
    for (std::int64_t row = 0; row < kPlot.rows; ++row) {
        by_row(row, spans);
        for (std::int64_t col = 0; col < kPlot.cols; ++col) {
            const bool expected = of_point(kPlot.centre({row, col}));
            yes += expected ? 1 : 0;
            ASSERT_EQ(in(spans, col), expected) << row << ' ' << col;
        }
    }
    EXPECT_GT(yes, 0U);
    EXPECT_LT(yes, 2500U);
}

double to_rectangle(Point p, double x_min, double y_min, double x_max, double y_max) {
    return std::hypot(std::max({x_min - p.x, 0.0, p.x - x_max}), std::max({y_min - p.y, 0.0, p.y - y_max}));
}

bool inside(Point p, double x_min, double y_min, double x_max, double y_max) {
    return p.x > x_min && p.x < x_max && p.y > y_min && p.y < y_max;
}

class SurroundingsOfAHouse : public ::testing::Test {
protected:
    MultiPolygon m_roof = rectangle(20.0, 20.0, 30.0, 28.0);
    MultiPolygon m_parcel = rectangle(10.0, 8.0, 42.0, 40.0);
    Building m_neighbour{7, rectangle(36.0, 30.0, 48.0, 46.0)};

    [[nodiscard]] Surroundings with_parcel() const {
        return {{}, kPlot, kAll, {&m_roof, &m_parcel, {&m_neighbour}}, kReaches};
    }
    [[nodiscard]] Surroundings without_parcel() const {
        return {{}, kPlot, kAll, {&m_roof, nullptr, {&m_neighbour}}, kReaches};
    }
};

TEST_F(SurroundingsOfAHouse, SayOfEachCellHowNearItIs) {
    const Surroundings around = with_parcel();
    expect_same([&](std::int64_t row, Spans& out) { around.near_roof(row, 12.0, out); },
                [](Point p) { return to_rectangle(p, 20.0, 20.0, 30.0, 28.0) <= 12.0; });
    EXPECT_NEAR(around.distance_to_roof_m({{35.0, 24.0}, {35.0, 24.0}}), 5.0, 1e-12);
}

TEST_F(SurroundingsOfAHouse, KeepToTheParcelAndAwayFromItsEdge) {
    const Surroundings around = with_parcel();
    expect_same([&](std::int64_t row, Spans& out) { around.in_parcel(row, out); },
                [](Point p) { return inside(p, 10.0, 8.0, 42.0, 40.0); });
    Spans spans;
    for (std::int64_t row = around.own().row_begin; row < around.own().row_end; ++row) {
        around.near_boundary(row, 3.0, spans);
        for (std::int64_t col = around.own().col_begin; col < around.own().col_end; ++col) {
            const Point p = kPlot.centre({row, col});
            const double edge = std::min({p.x - 10.0, 42.0 - p.x, p.y - 8.0, 40.0 - p.y});
            EXPECT_EQ(in(spans, col), edge < 3.0) << row << ' ' << col;
        }
    }
}

TEST_F(SurroundingsOfAHouse, CountTheRoofItselfAmongTheBuildings) {
    const Surroundings around = with_parcel();
    const CellRange& own = around.own();
    Spans near;
    Spans built;
    for (std::int64_t row = own.row_begin; row < own.row_end; ++row) {
        around.near_buildings(row, 2.5, near);
        around.built_on(row, built);
        for (std::int64_t col = own.col_begin; col < own.col_end; ++col) {
            const Point p = kPlot.centre({row, col});
            const double roof = to_rectangle(p, 20.0, 20.0, 30.0, 28.0);
            const double other = to_rectangle(p, 36.0, 30.0, 48.0, 46.0);
            EXPECT_EQ(in(near, col), std::min(roof, other) < 2.5) << row << ' ' << col;
            EXPECT_EQ(in(built, col), std::min(roof, other) == 0.0) << row << ' ' << col;
        }
    }
}

TEST_F(SurroundingsOfAHouse, GiveEachCellToTheNearestRoofWhereThereIsNoParcel) {
    const Surroundings around = without_parcel();
    Spans all;
    around.in_parcel(10, all);
    EXPECT_EQ(cell_count(all), around.own().cols());
    around.near_boundary(10, 5.0, all);
    EXPECT_TRUE(all.empty());
    const auto belongs = [&](Point p) { return around.belongs({p, p}); };
    EXPECT_TRUE(belongs({31.0, 24.0}));   // 1 m from its own roof
    EXPECT_FALSE(belongs({35.5, 35.0}));  // half a metre from the neighbour
    EXPECT_TRUE(with_parcel().belongs({{35.5, 35.0}, {35.5, 35.0}})) << "with a parcel its edge decides";
}

TEST_F(SurroundingsOfAHouse, KnowWhetherEverythingIsNearTheRoof) {
    const Surroundings around = with_parcel();
    EXPECT_TRUE(around.all_near_roof(60.0));
    EXPECT_FALSE(around.all_near_roof(5.0));
}

}  // namespace
}  // namespace eaveshed
