// method.md 1.7, 1.8: runoff coefficient and connected share.
#include "eaveshed/roof/runoff.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

const std::map<std::string, double> kTable{{"metal", 0.92}, {"tile", 0.84}};

TEST(Runoff, AMaterialOfTheTableHasItsCoefficient) {
    const Assumed metal = runoff_coefficient("metal", kTable, 0.85);
    EXPECT_EQ(metal.value, 0.92);
    EXPECT_FALSE(metal.is_default);
}

TEST(Runoff, WordsAreComparedExactly) {
    for (const char* const word : {"Metal", "metal ", "", "thatch"}) {
        const Assumed found = runoff_coefficient(word, kTable, 0.85);
        EXPECT_EQ(found.value, 0.85) << word;
        EXPECT_TRUE(found.is_default) << word;
    }
    EXPECT_TRUE(runoff_coefficient(std::nullopt, kTable, 0.85).is_default);
}

TEST(Runoff, AConnectedShareCountsFromNoneToAll) {
    for (const double share : {0.0, 0.4, 1.0}) {
        EXPECT_EQ(connected_share(share, 0.75).value, share);
        EXPECT_FALSE(connected_share(share, 0.75).is_default);
    }
    for (const double share : {-0.01, 1.01, 75.0}) {
        EXPECT_EQ(connected_share(share, 0.75).value, 0.75);
        EXPECT_TRUE(connected_share(share, 0.75).is_default);
    }
    EXPECT_TRUE(connected_share(std::nullopt, 0.75).is_default);
}

}  // namespace
}  // namespace eaveshed
