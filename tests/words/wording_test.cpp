#include "eaveshed/words/wording.hpp"

#include <array>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

std::pair<std::string, bool> mended(std::string text) {
    const bool replaced = replace_invalid_utf8(text);
    return {text, replaced};
}

#define FFFD "\xEF\xBF\xBD"

TEST(Wording, WellFormedUtf8IsLeftAlone) {
    for (const std::string text : {"", "plain", "\xC3\xA4", "\xE0\xA0\x80", "\xED\x9F\xBF", "\xEF\xBF\xBF",
                                   "\xF0\x90\x80\x80", "\xF4\x8F\xBF\xBF", "a\xE2\x82\xACz"}) {
        EXPECT_EQ(mended(text), std::make_pair(text, false)) << text;
    }
}

// The Unicode Standard, version 6 and later, table 3-8 (from memory): one U+FFFD for each maximal subpart.
TEST(Wording, EachIllFormedPartBecomesOneReplacementAsInTheUnicodeStandard) {
    EXPECT_EQ(mended("a\xF1\x80\x80\xE1\x80\xC2"
                     "b\x80"
                     "c\x80\xBF"
                     "d")
                  .first,
              "a" FFFD FFFD FFFD "b" FFFD "c" FFFD FFFD "d");
    EXPECT_EQ(mended("\xC0\xAF").first, FFFD FFFD);                    // an overlong slash
    EXPECT_EQ(mended("\xED\xA0\x80").first, FFFD FFFD FFFD);           // a surrogate
    EXPECT_EQ(mended("\xF4\x90\x80\x80").first, FFFD FFFD FFFD FFFD);  // beyond U+10FFFF
    EXPECT_EQ(mended("caf\xE9").first, "caf" FFFD);                    // Latin-1
    EXPECT_EQ(mended("\xE2\x82").first, FFFD);                         // cut off
}

TEST(Wording, PrintableTextHasNoControlsAndIsCutAtAWholeCharacter) {
    EXPECT_EQ(printable("a\x1b[2J\x7f"
                        "b\nc\xC2\x9B"),
              "a?[2J?b c?");
    EXPECT_EQ(printable("a\xE2\x80\xAE"
                        "b\xE2\x81\xA6"),
              "a?b?");  // marks that turn the direction of writing
    EXPECT_EQ(printable("aaa\xE2\x82\xAC", 5), "aaa...");
    EXPECT_EQ(printable("aaa\xE2\x82\xAC", 6), "aaa\xE2\x82\xAC");
    EXPECT_EQ(printable("caf\xE9"), "caf" FFFD);
}

TEST(Wording, ASuggestionIsMadeOnlyWhenANameIsNear) {
    const std::vector<std::string> names{"buildings", "roads", "parcels"};
    EXPECT_EQ(did_you_mean("bulidings", names, "none"), "did you mean 'buildings'?");
    EXPECT_EQ(did_you_mean("Parcels", names, "none"), "did you mean 'parcels'?");
    EXPECT_EQ(did_you_mean("xyz", names, "none"), "none");
    EXPECT_EQ(did_you_mean("xyz", {}, "none"), "none");
}

TEST(Wording, ListsAreCutAndSaySo) {
    EXPECT_EQ(listed({}), "none");
    EXPECT_EQ(listed({"a"}), "a");
    EXPECT_EQ(listed({"a", "b\n", "c", "d"}, 2), "a, b  and 2 more");
}

constexpr std::array kColours{Term{"red", ""}, Term{"green", ""}, Term{"blue", ""}};

TEST(Wording, TheWordsOfAClosedListEndWithAnOr) {
    EXPECT_EQ(listed_words({"colour", "", kColours}), "red, green or blue");
    EXPECT_EQ(listed_words({"colour", "", std::span(kColours).first(1)}), "red");
}

// What is not plain is quoted, and a quote in it ends the quotes, stands by itself and begins them again (POSIX, Shell
// Command Language, 2.2.2).
TEST(Wording, AShellTakesAWordAsItIs) {
    EXPECT_EQ(shell_word("in/my-roofs_2.gpkg"), "in/my-roofs_2.gpkg");
    EXPECT_EQ(shell_word("my roofs.gpkg"), "'my roofs.gpkg'");
    EXPECT_EQ(shell_word("O'Hara $(rm).kml"), "'O'\\''Hara $(rm).kml'");
    EXPECT_EQ(shell_word(""), "''");
    EXPECT_EQ(shell_word(std::string(400, 'a')), std::string(400, 'a'));
}

TEST(ShellWord, OfANameThatBeginsWithADashIsNoOption) {
    EXPECT_EQ(shell_word("-oo.kml"), "./-oo.kml");
    EXPECT_EQ(shell_word("-a b.kml"), "'./-a b.kml'");
    EXPECT_EQ(shell_word("a-b.kml"), "a-b.kml");
}

}  // namespace
}  // namespace eaveshed
