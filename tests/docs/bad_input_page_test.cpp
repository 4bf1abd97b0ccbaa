// docs/bad-input.md: what the program does with each kind of bad input. The page is made from the cases in
// tests/docs/bad_input/CHAPTER.toml. Each of them names the test that shows it, and that test has to exist.
//
// A case:
//   [[case]]
//   number = 3                      # once only; the page goes by it
//   given = "A file of zero bytes"  # what a user has
//   kind = "error"                  # one of kKinds below
//   row = ["flag repaired"]         # with kind "row": statuses, flags and reasons of closed lists
//   answer = "It is called empty."  # a sentence or two about what is said or done
//   shown_by = ["files/paths_test.cpp Paths.AFileOfZeroBytesIsCalledEmpty"]
// After a change run this test once with EAVESHED_WRITE_PAGES=1 in the environment: it writes the page.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <toml++/toml.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "support/committed_page.hpp"

namespace eaveshed {
namespace {

const std::string kRoot = EAVESHED_SOURCE_DIR;
constexpr const char* kPage = "docs/bad-input.md";
constexpr const char* kFolder = "/tests/docs/bad_input/";

struct AnswerKind {
    const char* name;
    const char* words;  // as the page says it
};
constexpr AnswerKind kKinds[] = {{"error", "refused, exit code 2"},
                                 {"fault", "stopped, exit code 1"},
                                 {"retry", "stopped, exit code 75"},
                                 {"stopped", "stopped, exit code 130 or 143"},
                                 {"warning", "warned"},
                                 {"note", "noted"},
                                 {"row", "told in the row"},
                                 {"taken", "taken as it is meant"}};

struct Chapter {
    const char* file;
    const char* title;
};
constexpr Chapter kChapters[] = {{"files", "Files and access"},
                                 {"places", "Reference systems and position"},
                                 {"elevation", "Elevations and surface"},
                                 {"rain", "Rain and other climate"},
                                 {"gauges", "Gauges"},
                                 {"footprints", "Footprints, parcels and their fields"},
                                 {"plausible", "Values that cannot be meant"},
                                 {"running", "While it runs"}};

struct BadInput {
    std::int64_t number = 0;
    std::string given;
    std::string kind;
    std::vector<std::string> row;
    std::string answer;
    std::vector<std::string> shown_by;
};

std::vector<std::string> texts(const toml::table& table, const char* key) {
    std::vector<std::string> all;
    if (const toml::array* const array = table[key].as_array()) {
        for (const toml::node& node : *array) {
            all.push_back(node.value_or<std::string>(""));
        }
    }
    return all;
}

std::vector<BadInput> cases_of(const Chapter& chapter) {
    const std::string path = kRoot + kFolder + chapter.file + ".toml";
    std::vector<BadInput> all;
    const toml::table document = toml::parse_file(path);
    if (const toml::array* const array = document["case"].as_array()) {
        for (const toml::node& node : *array) {
            const toml::table& one = *node.as_table();
            all.push_back({one["number"].value_or<std::int64_t>(0), one["given"].value_or<std::string>(""),
                           one["kind"].value_or<std::string>(""), texts(one, "row"),
                           one["answer"].value_or<std::string>(""), texts(one, "shown_by")});
        }
    }
    std::ranges::stable_sort(all, {}, &BadInput::number);
    return all;
}

std::string content_of(const std::string& path) {
    std::ifstream in(path);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

std::string kind_words(const BadInput& one) {
    for (const AnswerKind& kind : kKinds) {
        if (one.kind == kind.name) {
            std::string words = kind.words;
            for (const std::string& row : one.row) {
                const std::size_t blank = row.find(' ');
                words += fmt::format("{} {} `{}`", &row == one.row.data() ? ":" : ",", row.substr(0, blank),
                                     row.substr(blank + 1));
            }
            return words;
        }
    }
    return "";
}

std::string page() {
    std::string text =
        "# Bad input\n\nWhat the program does with input that is not as it should be. Nothing is lost: a feature that "
        "cannot be\nused stays in the result as a row with its reason. Every line here is shown by a test; the page is "
        "made from\ntests/docs/bad_input. Exit codes: `eaveshed help exit-codes`; statuses and flags: `eaveshed help "
        "statuses`,\n`eaveshed help flags`.\n";
    for (const Chapter& chapter : kChapters) {
        const std::vector<BadInput> cases = cases_of(chapter);
        if (cases.empty()) {
            continue;
        }
        text += fmt::format("\n## {}\n\n| no. | given | what happens | |\n| ---: | --- | --- | --- |\n", chapter.title);
        for (const BadInput& one : cases) {
            text += fmt::format("| {} | {} | {} | {} |\n", one.number, one.given, kind_words(one), one.answer);
        }
    }
    return text;
}

TEST(BadInputPage, IsMadeFromTheCases) {
    const std::string wanted = page();
    if (std::getenv("EAVESHED_WRITE_PAGES") != nullptr) {
        std::ofstream(kRoot + '/' + kPage) << wanted;
    }
    testing::expect_committed_page(kPage, wanted, "run this test with EAVESHED_WRITE_PAGES=1 to write the page");
}

// What is read from a file that nobody knows, or under a key that nobody knows, would be lost without a word.
TEST(BadInputPage, EveryFileIsAChapterWithCasesOfKnownKeys) {
    std::set<std::string> chapters;
    for (const Chapter& chapter : kChapters) {
        chapters.emplace(chapter.file);
    }
    std::set<std::string> files;
    for (const auto& entry : std::filesystem::directory_iterator(kRoot + kFolder)) {
        EXPECT_EQ(entry.path().extension(), ".toml");
        files.insert(entry.path().stem().string());
    }
    EXPECT_EQ(files, chapters);
    const std::set<std::string, std::less<>> known{"number", "given", "kind", "row", "answer", "shown_by"};
    for (const std::string& file : files) {
        const toml::table document = toml::parse_file(kRoot + kFolder + file + ".toml");
        EXPECT_EQ(document.size(), 1U) << file << ": [[case]] and nothing else";
        const toml::array* const cases = document["case"].as_array();
        ASSERT_TRUE(cases != nullptr && !cases->empty()) << file;
        for (const toml::node& node : *cases) {
            ASSERT_TRUE(node.is_table()) << file;
            for (const auto& [key, value] : *node.as_table()) {
                EXPECT_TRUE(known.contains(key.str())) << file << ": " << key.str();
            }
        }
    }
}

// The kinds of bad input that the program was measured by; those that came since have higher numbers. Number 39 was
// none.
TEST(BadInputPage, HasEveryCase) {
    std::set<std::int64_t> numbers;
    for (const Chapter& chapter : kChapters) {
        for (const BadInput& one : cases_of(chapter)) {
            numbers.insert(one.number);
        }
    }
    constexpr std::int64_t kLast = 118;
    constexpr std::int64_t kNone = 39;
    for (std::int64_t number = 1; number <= kLast; ++number) {
        EXPECT_EQ(numbers.contains(number), number != kNone) << number;
    }
}

// "run/x_test.cpp Suite.Name": the file holds TEST(Suite, Name) or TEST_F or TEST_P.
bool test_exists(const std::string& shown_by) {
    static const std::regex kForm(R"((\S+) (\w+)\.(\w+))");
    std::smatch parts;
    if (!std::regex_match(shown_by, parts, kForm)) {
        return false;
    }
    const std::string file = content_of(kRoot + "/tests/" + parts[1].str());
    return std::regex_search(file, std::regex("TEST(_F|_P)?\\(" + parts[2].str() + ",\\s*" + parts[3].str() + "\\)"));
}

TEST(BadInputPage, EveryCaseIsWholeAndNamesATestThatExists) {
    std::set<std::int64_t> numbers;
    for (const Chapter& chapter : kChapters) {
        for (const BadInput& one : cases_of(chapter)) {
            SCOPED_TRACE(fmt::format("{}.toml, case {}", chapter.file, one.number));
            EXPECT_GT(one.number, 0);
            EXPECT_TRUE(numbers.insert(one.number).second) << "the number stands twice";
            EXPECT_FALSE(one.given.empty());
            EXPECT_FALSE(one.answer.empty());
            EXPECT_FALSE(kind_words(one).empty()) << one.kind;
            EXPECT_FALSE(one.shown_by.empty());
            for (const std::string& test : one.shown_by) {
                EXPECT_TRUE(test_exists(test)) << test;
            }
        }
    }
}

template <typename E>
std::set<std::string, std::less<>> names_of() {
    std::set<std::string, std::less<>> names;
    for (const Term& term : terms_of<E>()) {
        names.emplace(term.name);
    }
    return names;
}

TEST(BadInputPage, WhatARowTellsIsInTheClosedLists) {
    const std::map<std::string, std::set<std::string, std::less<>>, std::less<>> lists{
        {"status", names_of<Status>()}, {"flag", names_of<Flag>()}, {"reason", names_of<PadReason>()}};
    for (const Chapter& chapter : kChapters) {
        for (const BadInput& one : cases_of(chapter)) {
            SCOPED_TRACE(fmt::format("{}.toml, case {}", chapter.file, one.number));
            EXPECT_EQ(one.kind == "row", !one.row.empty());
            for (const std::string& row : one.row) {
                const std::size_t blank = row.find(' ');
                const auto list = lists.find(row.substr(0, blank));
                ASSERT_NE(list, lists.end()) << row;
                EXPECT_TRUE(list->second.contains(row.substr(blank + 1))) << row;
            }
        }
    }
}

}  // namespace
}  // namespace eaveshed
