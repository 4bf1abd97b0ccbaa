// Pieces of work side by side: the order of items, exceptions of every step, tools that no two threads share.
#include "eaveshed/progress/two_steps.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <numeric>
#include <stdexcept>
#include <thread>

namespace eaveshed {
namespace {

constexpr int kItems = 200;

// 0, 1, 2, ... and then none.
auto counting(int& next, int fails_at = -1) {
    return [&next, fails_at]() -> std::optional<int> {
        if (next == fails_at) {
            throw std::runtime_error("make");
        }
        return next < kItems ? std::optional(next++) : std::nullopt;
    };
}

std::vector<int> all_items() {
    std::vector<int> items(kItems);
    std::iota(items.begin(), items.end(), 0);
    return items;
}

// Later items are often done first.
int slowly(int item) {
    std::this_thread::sleep_for(std::chrono::microseconds(item * 7919 % 13 * 20));
    return item;
}

TEST(TwoSteps, UseItemsInTheOrderInWhichTheyAreMade) {
    int next = 0;
    std::vector<int> used;
    in_two_steps(counting(next), [&](int item) { used.push_back(slowly(item)); });
    EXPECT_EQ(used, all_items());
}

TEST(ThreeSteps, KeepTheOrderWhoeverIsDoneFirst) {
    int next = 0;
    std::vector<int> used;
    in_three_steps(counting(next), slowly, [&](int item) { used.push_back(item); });
    EXPECT_EQ(used, all_items());
}

TEST(ThreeSteps, ThrowWhatAnyStepThrows) {
    const auto thrown = [](int make_at, int refine_at, int use_at) -> std::string {
        int next = 0;
        const auto fail = [](int item, int at, const char* step) {
            if (item == at) {
                throw std::runtime_error(step);
            }
            return item;
        };
        try {
            in_three_steps(
                counting(next, make_at), [&](int item) { return fail(item, refine_at, "refine"); },
                [&](int item) { static_cast<void>(fail(item, use_at, "use")); });
        } catch (const std::runtime_error& error) {
            return error.what();
        }
        return "nothing";
    };
    EXPECT_EQ(thrown(-1, -1, -1), "nothing");
    EXPECT_EQ(thrown(50, -1, -1), "make");
    EXPECT_EQ(thrown(-1, 50, -1), "refine");
    EXPECT_EQ(thrown(-1, -1, 50), "use");
}

TEST(LentTools, AreUsedByOneThreadAtATimeAndAgain) {
    struct Tool {
        std::atomic<int> users{0};
    };
    std::atomic<int> made{0};
    LentTools<Tool> tools([&] {
        ++made;
        return std::make_unique<Tool>();
    });
    std::atomic<bool> shared{false};
    int next = 0;
    std::size_t used = 0;
    in_three_steps(
        counting(next),
        [&](int item) {
            return tools.with_one([&](Tool& tool) {
                shared = shared || ++tool.users != 1;
                slowly(item);
                --tool.users;
                return item;
            });
        },
        [&](int) { ++used; });
    EXPECT_EQ(used, std::size_t{kItems});
    EXPECT_FALSE(shared);
    EXPECT_GE(made, 1);
    EXPECT_LE(made, 8);
}

TEST(SeenOfEach, IsInOrderHoweverManyItemsAndThrowsWhatALookThrows) {
    struct Tool {
        std::atomic<int> users{0};
    };
    LentTools<Tool> tools([] { return std::make_unique<Tool>(); });
    std::atomic<bool> shared{false};
    for (const int items : {0, 1, 7, 8, 9, kItems}) {
        const auto look = [&](Tool& tool, std::size_t i) {
            shared = shared || ++tool.users != 1;
            slowly(static_cast<int>(i));
            --tool.users;
            return static_cast<int>(i);
        };
        std::vector<int> expected(static_cast<std::size_t>(items));
        std::iota(expected.begin(), expected.end(), 0);
        EXPECT_EQ(seen_of_each<int>(expected.size(), tools, look), expected);
    }
    EXPECT_FALSE(shared);
    const auto fails = [](Tool&, std::size_t i) { return i == 50 ? throw std::runtime_error("look") : i; };
    EXPECT_THROW(static_cast<void>(seen_of_each<std::size_t>(100, tools, fails)), std::runtime_error);
}

TEST(SideBySide, DoesBothAndThrowsWhatEitherThrows) {
    std::atomic<int> done{0};
    side_by_side([&] { done += 1; }, [&] { done += 2; });
    EXPECT_EQ(done, 3);
    const auto fails = [] { throw std::runtime_error("half"); };
    EXPECT_THROW(side_by_side(fails, [] {}), std::runtime_error);
    EXPECT_THROW(side_by_side([] {}, fails), std::runtime_error);
}

}  // namespace
}  // namespace eaveshed
