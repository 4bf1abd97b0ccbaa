#include "eaveshed/lanes/wide.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "eaveshed/lanes/vectors.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

// What each operation of lanes makes of two values a lane.
struct Reckoned {
    Lanes sum;
    Lanes added;
    Lanes difference;
    Lanes product;
    Lanes quotient;
    Lanes least;
    Lanes most;
    Lanes reached;
};

Reckoned reckoned(const Lanes& x, const Lanes& y, Vectors vectors) {
    Reckoned out{};
    with_vectors(
        vectors, [&]<typename Wide>() __attribute__((always_inline)) {
            const Wide a = Wide::of(x);
            const Wide b = Wide::of(y);
            Wide added = a;
            added += b;
            (a + b).to(out.sum);
            added.to(out.added);
            (a - b).to(out.difference);
            (a * b).to(out.product);
            (a / b).to(out.quotient);
            least(a, b).to(out.least);
            most(a, b).to(out.most);
            where_reached(a, b, Wide::all(1.0), Wide::all(-1.0)).to(out.reached);
        });
    return out;
}

TEST(Vectors, OfEveryMachineArePairsFirst) {
    EXPECT_EQ(vectors_here().front(), Vectors::pairs);
    EXPECT_TRUE(std::ranges::is_sorted(vectors_here()));
    EXPECT_EQ(widest_vectors(), vectors_here().back());
}

TEST(Wide, OfEveryWidthReckonsEachLaneAsADouble) {
    testing::RandomNumbers random(3);
    for (int round = 0; round < 200; ++round) {
        Lanes x;
        Lanes y;
        for (std::size_t k = 0; k < kLanes; ++k) {
            x[k] = random.between(-5.0, 5.0);
            y[k] = random.chance(0.3) ? x[k] : random.between(-5.0, 5.0);
        }
        for (const Vectors vectors : vectors_here()) {
            const Reckoned out = reckoned(x, y, vectors);
            for (std::size_t k = 0; k < kLanes; ++k) {
                EXPECT_EQ(out.sum[k], x[k] + y[k]);
                EXPECT_EQ(out.added[k], x[k] + y[k]);
                EXPECT_EQ(out.difference[k], x[k] - y[k]);
                EXPECT_EQ(out.product[k], x[k] * y[k]);
                EXPECT_EQ(out.quotient[k], x[k] / y[k]);
                EXPECT_EQ(out.least[k], std::min(x[k], y[k]));
                EXPECT_EQ(out.most[k], std::max(x[k], y[k]));
                EXPECT_EQ(out.reached[k], x[k] >= y[k] ? 1.0 : -1.0);
            }
        }
    }
}

// Of equal ones the first, as std::min and std::max take it: the sign of a zero tells.
TEST(Wide, OfEqualOnesTakesTheFirst) {
    Lanes plus;
    plus.fill(0.0);
    Lanes minus;
    minus.fill(-0.0);
    for (const Vectors vectors : vectors_here()) {
        for (std::size_t k = 0; k < kLanes; ++k) {
            EXPECT_TRUE(std::signbit(reckoned(minus, plus, vectors).least[k]));
            EXPECT_FALSE(std::signbit(reckoned(plus, minus, vectors).least[k]));
            EXPECT_TRUE(std::signbit(reckoned(minus, plus, vectors).most[k]));
            EXPECT_FALSE(std::signbit(reckoned(plus, minus, vectors).most[k]));
        }
    }
}

}  // namespace
}  // namespace eaveshed
