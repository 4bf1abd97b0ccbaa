#include "eaveshed/record/print_columns.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>
#include <string>

#include "support/committed_page.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;

std::string markdown() {
    std::ostringstream out;
    print_output_markdown(out);
    return out.str();
}

TEST(PrintColumns, WritesTheCommittedPage) {
    testing::expect_committed_page("docs/output.md", markdown(), "eaveshed columns --markdown > docs/output.md");
}

TEST(PrintColumns, SaysOfEveryColumnWhatItsListSays) {
    const std::string page = markdown();
    EXPECT_THAT(page, HasSubstr("| `storage_m3` | m3 | `storage_gal` | tile |  | Nominal volume of the storage: tank "
                                "volume times count. |\n"));
    EXPECT_THAT(page, HasSubstr("| `delivery` |  |  | tile | [delivery](#delivery) | How the water gets in and out"));
    EXPECT_THAT(page, HasSubstr("| `rank` | 1 |  | ranking |  | Position by score"));
    for (const OutputTable& output : output_tables()) {
        EXPECT_THAT(page, HasSubstr("\n## " + std::string(output.table.name) + "\n"));
        std::ostringstream text;
        print_table_text(text, output);
        for (const Column& column : output.columns) {
            EXPECT_THAT(page, HasSubstr("| " + std::string(column.field.meaning) + " |\n"));
            EXPECT_THAT(text.str(), HasSubstr("\n  " + std::string(column.field.name) + " "));
        }
    }
}

TEST(PrintColumns, ExplainsEveryWord) {
    const std::string page = markdown();
    for (const ClosedList& list : kOutputLists) {
        EXPECT_THAT(page, HasSubstr("\n### " + std::string(list.name) + "\n"));
        for (const Term& term : list.terms) {
            EXPECT_THAT(page,
                        HasSubstr("\n| `" + std::string(term.name) + "` | " + std::string(term.meaning) + " |\n"));
        }
    }
}

TEST(PrintColumns, KeepsEveryRowOfATableToItsColumns) {
    std::istringstream page(markdown());
    std::ptrdiff_t columns = 0;
    for (std::string line; std::getline(page, line);) {
        const std::ptrdiff_t bars = std::ranges::count(line, '|');
        EXPECT_TRUE(bars == 0 || columns == 0 || bars == columns) << line;
        columns = bars;
    }
}

}  // namespace
}  // namespace eaveshed
