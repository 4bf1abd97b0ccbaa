#include "eaveshed/shape/box_index.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <utility>

#include "shape/random_shapes.hpp"
#include "support/counting_memory.hpp"

namespace eaveshed {
namespace {

std::vector<std::uint32_t> by_brute_force(const std::vector<Box>& boxes, const Box& query) {
    std::vector<std::uint32_t> ids;
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        if (!boxes[i].empty() && boxes[i].intersects(query)) {
            ids.push_back(static_cast<std::uint32_t>(i));
        }
    }
    return ids;
}

TEST(BoxIndex, FindsWhatBruteForceFinds) {
    testing::Random random = testing::seeded(51);
    for (const std::size_t count : {1U, 2U, 17U, 400U, 3000U}) {
        std::vector<Box> boxes;
        for (std::size_t i = 0; i < count; ++i) {
            // Whole coordinates: many boxes touch exactly, some are points, some are empty, some are alike.
            const Point corner{std::floor(testing::uniform(random, 0.0, 60.0)),
                               std::floor(testing::uniform(random, 0.0, 60.0))};
            boxes.push_back({corner.x, corner.y, corner.x + std::floor(testing::uniform(random, -0.5, 4.0)),
                             corner.y + std::floor(testing::uniform(random, 0.0, 4.0))});
        }
        const BoxIndex index(boxes);
        for (int i = 0; i < 300; ++i) {
            const Point corner{std::floor(testing::uniform(random, -5.0, 65.0)),
                               std::floor(testing::uniform(random, -5.0, 65.0))};
            const Box query{corner.x, corner.y, corner.x + testing::uniform(random, 0.0, 10.0), corner.y + 3.0};
            EXPECT_EQ(index.query(query), by_brute_force(boxes, query));
        }
    }
}

TEST(BoxIndex, LiesInTheMemoryThatItIsGiven) {
    testing::Random random = testing::seeded(52);
    std::vector<Box> boxes;
    for (int i = 0; i < 3000; ++i) {
        const Point corner{testing::uniform(random, 0.0, 60.0), testing::uniform(random, 0.0, 60.0)};
        boxes.push_back({corner.x, corner.y, corner.x + 2.0, corner.y + 3.0});
    }
    testing::CountingMemory memory;
    {
        const BoxIndex index(boxes, &memory);
        const Box query{20.0, 20.0, 30.0, 25.0};
        EXPECT_EQ(index.query(query), by_brute_force(boxes, query));
        EXPECT_GE(memory.bytes(), boxes.size() * sizeof(Box));
        EXPECT_LE(memory.bytes(), boxes.size() * 64);
        BoxIndex other;
        other = BoxIndex(boxes, &memory);
        EXPECT_EQ(other.query(query), by_brute_force(boxes, query));
    }
    EXPECT_EQ(memory.bytes(), 0U);
}

TEST(BoxIndex, CountsATouchAsAMeeting) {
    const BoxIndex index(std::vector<Box>{{0.0, 0.0, 1.0, 1.0}, {2.0, 0.0, 3.0, 1.0}});
    EXPECT_EQ(index.query({1.0, 1.0, 2.0, 5.0}), (std::vector<std::uint32_t>{0, 1}));
    EXPECT_EQ(index.query({1.1, 0.0, 1.9, 1.0}), std::vector<std::uint32_t>{});
}

TEST(BoxIndex, NeverFindsAnEmptyBoxAndNothingByAnEmptyQuery) {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const BoxIndex index(std::vector<Box>{Box{}, {0.0, 0.0, 1.0, 1.0}, {nan, 0.0, 1.0, 1.0}});
    EXPECT_EQ(index.query({-100.0, -100.0, 100.0, 100.0}), std::vector<std::uint32_t>{1});
    EXPECT_EQ(index.query(Box{}), std::vector<std::uint32_t>{});
    EXPECT_EQ(index.query({-100.0, nan, 100.0, 100.0}), std::vector<std::uint32_t>{});
}

TEST(BoxIndex, OfNothingFindsNothingAlsoWhenMovedFrom) {
    EXPECT_TRUE(BoxIndex().query({0.0, 0.0, 1.0, 1.0}).empty());
    EXPECT_TRUE(BoxIndex(std::vector<Box>{}).query({0.0, 0.0, 1.0, 1.0}).empty());
    BoxIndex first(std::vector<Box>{{0.0, 0.0, 1.0, 1.0}});
    const BoxIndex second = std::move(first);
    EXPECT_EQ(second.query({0.0, 0.0, 1.0, 1.0}).size(), 1U);
}

}  // namespace
}  // namespace eaveshed
