#include "eaveshed/manual/print.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>
#include <string>

#include "eaveshed/settings/table.hpp"
#include "support/committed_page.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;

std::string printed(void (*print)(std::ostream&)) {
    std::ostringstream out;
    print(out);
    return out.str();
}

TEST(PrintSettings, WritesTheCommittedPage) {
    testing::expect_committed_page("docs/settings.md", printed(print_settings_markdown),
                                   "eaveshed settings --markdown > docs/settings.md");
}

TEST(PrintSettings, NamesEverySettingInBothForms) {
    const std::string text = printed(print_settings_text);
    const std::string markdown = printed(print_settings_markdown);
    for (const Setting& setting : settings_table()) {
        EXPECT_THAT(text, HasSubstr("\n  " + std::string(setting.key) + " ")) << setting.section;
        EXPECT_THAT(markdown, HasSubstr("\n| `" + std::string(setting.key) + "` |")) << setting.section;
    }
}

TEST(PrintSettings, ShowsUnitDefaultRangeMeaningAndSource) {
    const std::string text = printed(print_settings_text);
    EXPECT_THAT(text, HasSubstr("  max_slope_pct          %    15  (above 0, up to 1000)\n"
                                "      Steepest ground a pad may be cut into. Source: common practice.\n"));
    EXPECT_THAT(text, HasSubstr("  canopy_height_m  m     2  (0 to 100)\n"
                                "      Vegetation taller than this counts as canopy over a pad."));
    EXPECT_THAT(text, HasSubstr("  source           -   required  (file)\n"));
    EXPECT_THAT(text, HasSubstr("      10 x 18.9 m3, diameter 3.02 m, height 2.95 m\n"));
}

TEST(PrintSettings, BreaksExplanationsIntoLines) {
    std::istringstream text(printed(print_settings_text));
    for (std::string line; std::getline(text, line);) {
        EXPECT_TRUE(!line.starts_with("      ") || line.size() <= 110U) << line;
        EXPECT_FALSE(line.ends_with(' ')) << line;
    }
}

TEST(PrintSettings, KeepsEveryRowOfAMarkdownTableToItsColumns) {
    std::istringstream markdown(printed(print_settings_markdown));
    std::ptrdiff_t columns = 0;
    for (std::string line; std::getline(markdown, line);) {
        const std::ptrdiff_t bars = std::ranges::count(line, '|');
        if (bars == 0) {
            columns = 0;
            continue;
        }
        EXPECT_TRUE(columns == 0 || bars == columns) << line;
        columns = bars;
    }
}

TEST(PrintSettings, IsPlainText) {
    for (const auto print : {print_settings_text, print_settings_markdown}) {
        EXPECT_TRUE(std::ranges::all_of(printed(print), [](char c) { return c == '\n' || (c >= ' ' && c <= '~'); }));
    }
}

TEST(InputRoles, TheirPageIsUpToDate) {
    testing::expect_committed_page("docs/inputs.md", printed(print_inputs), "eaveshed help inputs > docs/inputs.md");
}

}  // namespace
}  // namespace eaveshed
