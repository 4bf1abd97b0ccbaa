#include "eaveshed/core/error.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

TEST(Error, SaysWhereWhatWasFoundWhatWasWantedAndWhatToDo) {
    EXPECT_EQ(to_text(Trouble{"rain.tif, band 3", "unit furlong", "mm or in", "set rain.unit"}),
              "rain.tif, band 3: found unit furlong; wanted mm or in; set rain.unit");
}

TEST(Error, PartsThatAreEmptyLeaveNoTrace) {
    EXPECT_EQ(to_text(Trouble{"a.tif", "", "12 bands", ""}), "a.tif: wanted 12 bands");
    EXPECT_EQ(to_text(Trouble{"a.tif", "", "", "make room"}), "a.tif: make room");
    EXPECT_EQ(to_text(Trouble{"", "nothing", "something", ""}), "found nothing; wanted something");
    EXPECT_EQ(to_text(Trouble{"a.tif", "", "", ""}), "a.tif");
    EXPECT_EQ(to_text(Trouble{}), "");
}

// Exit codes as the contract has them.
TEST(Error, CarriesTheExitCodeOfItsFault) {
    const Error input = input_error("x", "y", "z", "w");
    EXPECT_EQ(input.exit_code(), 2);
    EXPECT_EQ(input.trouble().wanted, "z");
    EXPECT_STREQ(input.what(), "x: found y; wanted z; w");
    EXPECT_EQ(working_error("x", "y", "z", "w").exit_code(), 1);
    EXPECT_EQ(Error(Fault::passing, {}).exit_code(), 75);
    try {
        internal_error("a broken thing");
        FAIL() << "internal_error returned";
    } catch (const Error& error) {
        EXPECT_EQ(error.exit_code(), 3);
        EXPECT_EQ(error.fault(), Fault::internal);
        EXPECT_EQ(error.trouble().found, "a broken thing");
    }
}

}  // namespace
}  // namespace eaveshed
