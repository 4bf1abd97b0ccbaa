#include "eaveshed/cli/columns_command.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>

#include "eaveshed/record/output_rows.hpp"
#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

std::string printed(const std::string& table, bool markdown = false) {
    std::ostringstream out;
    EXPECT_EQ(print_columns(out, table, markdown), 0);
    return out.str();
}

TEST(ColumnsCommand, PrintsOneTableOrAll) {
    EXPECT_THAT(printed("pads"), StartsWith("pads  Where the storage"));
    EXPECT_THAT(printed("pads"), Not(HasSubstr("parcel_status")));
    for (const OutputTable& output : output_tables()) {
        EXPECT_THAT(printed(""), HasSubstr('\n' + std::string(output.table.name) + "  "));
    }
    EXPECT_THAT(printed("", true), StartsWith("# What the output holds\n"));
}

TEST(ColumnsCommand, NamesTheNearestTableForAnUnknownOne) {
    testing::expect_input_error([] { printed("rooofs"); }, {"\"rooofs\"", "use_points", "did you mean roofs?"});
    testing::expect_input_error([] { printed("zebra"); }, {"\"zebra\"", "leave the table out"});
}

}  // namespace
}  // namespace eaveshed
