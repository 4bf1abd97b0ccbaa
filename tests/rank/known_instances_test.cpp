// method.md 8.12: the plan against knapsacks that others have published with their optimum.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "eaveshed/rank/selection.hpp"

namespace eaveshed {
namespace {

struct Thing {
    std::string name;
    double weight = 0.0;
    double value = 0.0;
    int pieces = 1;
};

// One parcel a thing, one size for each number of its pieces.
std::vector<EnrolmentOffer> by_pieces(const std::vector<Thing>& things) {
    std::vector<EnrolmentOffer> offers;
    for (const Thing& thing : things) {
        for (int pieces = 1; pieces <= thing.pieces; ++pieces) {
            offers.push_back({thing.name, pieces * thing.weight, pieces * thing.value});
        }
    }
    return offers;
}

// "Knapsack problem/Bounded" of Rosetta Code (from memory): 400 dag hold at most 1010, and 396 dag do for it. How many
// pieces of a thing to take along is one choice among several, just as which size a parcel has.
TEST(PublishedKnapsack, OfThingsInSeveralPieces) {
    const std::vector<Thing> things{{"map", 9, 150},
                                    {"compass", 13, 35},
                                    {"water", 153, 200, 2},
                                    {"sandwich", 50, 60, 2},
                                    {"glucose", 15, 60, 2},
                                    {"tin", 68, 45, 3},
                                    {"banana", 27, 60, 3},
                                    {"apple", 39, 40, 3},
                                    {"cheese", 23, 30},
                                    {"beer", 52, 10, 3},
                                    {"suntan cream", 11, 70},
                                    {"camera", 32, 30},
                                    {"T-shirt", 24, 15, 2},
                                    {"trousers", 48, 10, 2},
                                    {"umbrella", 73, 40},
                                    {"waterproof trousers", 42, 70},
                                    {"waterproof overclothes", 43, 75},
                                    {"note-case", 22, 80},
                                    {"sunglasses", 7, 20},
                                    {"towel", 18, 12, 2},
                                    {"socks", 4, 50},
                                    {"book", 30, 10, 2}};
    const std::vector<EnrolmentOffer> offers = by_pieces(things);
    const EnrolmentPlan most = most_gain(offers, 400.0);
    EXPECT_EQ(most.gain, 1010.0);
    EXPECT_EQ(most.cost, 396.0);
    EXPECT_TRUE(most.proven);
    // Asked the other way round: the least weight for that value.
    const EnrolmentPlan least = least_cost(offers, 1010.0);
    EXPECT_EQ(least.cost, 396.0);
    EXPECT_EQ(least.gain, 1010.0);
    EXPECT_TRUE(least.proven);
}

// The 50 items of the knapsack page of Google OR-Tools, as read there; its optimum for 850, 7534 with a weight of 850,
// from memory. Four items weigh nothing.
TEST(PublishedKnapsack, OfFiftyItems) {
    const std::vector<double> values{360, 83, 59, 130, 431, 67,  230, 52,  93,  125, 670, 892, 600, 38,  48,  147, 78,
                                     256, 63, 17, 120, 164, 432, 35,  92,  110, 22,  42,  50,  323, 514, 28,  87,  73,
                                     78,  15, 26, 78,  210, 36,  85,  189, 274, 43,  33,  10,  19,  389, 276, 312};
    const std::vector<double> weights{7,  0,  30, 22, 80, 94, 11, 81, 70, 64, 59, 18, 0,  36, 3,  8,  15,
                                      42, 9,  0,  42, 47, 52, 32, 26, 48, 55, 6,  29, 84, 2,  4,  18, 56,
                                      7,  29, 93, 44, 71, 3,  86, 66, 31, 65, 0,  79, 20, 65, 52, 13};
    std::vector<std::string> ids;
    for (std::size_t i = 0; i < values.size(); ++i) {
        ids.push_back("item " + std::to_string(i));
    }
    std::vector<EnrolmentOffer> offers;
    for (std::size_t i = 0; i < values.size(); ++i) {
        offers.push_back({ids[i], weights[i], values[i]});
    }
    const EnrolmentPlan plan = most_gain(offers, 850.0);
    EXPECT_EQ(plan.gain, 7534.0);
    EXPECT_EQ(plan.cost, 850.0);
    EXPECT_TRUE(plan.proven);
    EXPECT_EQ(least_cost(offers, 7534.0).cost, 850.0);
}

}  // namespace
}  // namespace eaveshed
