#include "eaveshed/words/months_text.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

TEST(MonthsText, ARunRoundTheYearIsARange) {
    EXPECT_EQ(months_text({11, 12, 1, 2, 3, 4, 5}), "November to May");
    EXPECT_EQ(months_text({8, 9, 10}), "August to October");
    EXPECT_EQ(months_text({7}), "July");
    EXPECT_EQ(months_text({1, 3}), "January, March");
}

}  // namespace
}  // namespace eaveshed
