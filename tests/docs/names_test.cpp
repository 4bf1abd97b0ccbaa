// The pages under docs name settings, columns and words of closed lists: each of them exists, and a default that stands
// beside a setting is the setting's.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/rank/questions.hpp"
#include "eaveshed/record/assumptions.hpp"
#include "eaveshed/record/headline.hpp"
#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/record/us_units.hpp"
#include "eaveshed/settings/table.hpp"

namespace eaveshed {
namespace {

using ::testing::IsEmpty;

constexpr const char* kGlossary = "docs/glossary.md";
constexpr const char* kMethod = "docs/method.md";
constexpr const char* kArchitecture = "docs/architecture.md";

// The pages directly under docs, and README.md. Left out everywhere: the change log, which may name what is gone.
std::vector<std::string> pages() {
    std::vector<std::string> names{"README.md"};
    for (const auto& entry : std::filesystem::directory_iterator(EAVESHED_SOURCE_DIR + std::string("/docs"))) {
        const std::string name = entry.path().filename().string();
        if (entry.path().extension() == ".md" && name != "changelog.md") {
            names.push_back("docs/" + name);
        }
    }
    std::ranges::sort(names);
    return names;
}

// Names that look like columns and are none: tables of the output, keys of the run record and of the pages written as
// JSON, columns of lists.
const std::set<std::string, std::less<>> kTables{
    "use_points",        "storage_curve",      "run_record",      "parcel_options",   "felt_m3",
    "felt_lps",          "roofs_in_no_parcel", "added_local_lps", "added_total_lps",  "with_plan_lps",
    "with_plan_share",   "end_reach_id",       "end_gain_lps",    "end_low_flow_lps", "outlet_reach_id",
    "entering_no_reach", "in_no_subbasin",     "reaches_new",     "reaches_gone"};

std::string page_text(const std::string& name) {
    std::ifstream in(std::string(EAVESHED_SOURCE_DIR) + "/" + name);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

// The page without its blocks of code, every line break a blank.
std::string prose_of(const std::string& name) {
    std::istringstream lines(page_text(name));
    std::string prose;
    bool code = false;
    for (std::string line; std::getline(lines, line);) {
        const std::size_t first = line.find_first_not_of(' ');
        if (first != std::string::npos && line.compare(first, 3, "```") == 0) {
            code = !code;
        } else if (!code) {
            prose += line + ' ';
        }
    }
    return prose;
}

// Whatever the expression's first group finds.
std::vector<std::string> found(const std::string& text, const char* expression) {
    const std::regex regex(expression);
    std::vector<std::string> words;
    for (auto it = std::sregex_iterator(text.begin(), text.end(), regex); it != std::sregex_iterator(); ++it) {
        words.push_back((*it)[1].str());
    }
    return words;
}

template <typename Terms>
void add_terms(const Terms& terms, std::set<std::string, std::less<>>& names) {
    for (const Term& term : terms) {
        names.emplace(term.name);
    }
}

std::set<std::string, std::less<>> column_names() {
    std::set<std::string, std::less<>> names;
    for (const OutputTable& output : output_tables()) {
        for (const Column& column : output.columns) {
            names.emplace(column.field.name);
            if (const auto twin = us_twin(column.field)) {
                names.insert(twin->name);
            }
        }
    }
    return names;
}

// Every word with a meaning: columns, keys of settings, closed lists, questions, water sources.
std::set<std::string, std::less<>> known_names() {
    std::set<std::string, std::less<>> names = column_names();
    for (const Setting& setting : settings_table()) {
        names.emplace(setting.key);
        if (const auto* const choice = std::get_if<ChoiceReach>(&setting.access)) {
            add_terms(choice->terms, names);
        }
        add_terms(setting.words, names);
    }
    for (const auto& [material, coefficient] : HarvestSettings{}.runoff_coefficient) {
        names.insert(material);
    }
    add_terms(terms_of<Flag>(), names);
    add_terms(terms_of<HeadlinePart>(), names);
    for (const ClosedList& list : kOutputLists) {
        add_terms(list.terms, names);
    }
    for (const QuestionWords& question : question_words()) {
        names.emplace(question.name);
    }
    return names;
}

// Names in code formatting that no list of the program holds.
std::vector<std::string> strangers(const std::string& page, const char* names) {
    static const std::set<std::string, std::less<>> kKnown = known_names();
    std::vector<std::string> unknown;
    for (const std::string& word : found(prose_of(page), names)) {
        if (!kKnown.contains(word) && !kTables.contains(word)) {
            unknown.push_back(word);
        }
    }
    return unknown;
}

// Every header and source, one after another, with blanks where no name goes on.
std::string code_words() {
    std::string words = " ";
    for (const char* const folder : {"/include", "/src"}) {
        for (const auto& entry :
             std::filesystem::recursive_directory_iterator(EAVESHED_SOURCE_DIR + std::string(folder))) {
            if (entry.is_regular_file()) {
                std::ifstream in(entry.path());
                words.append(std::istreambuf_iterator<char>(in), {});
                words += ' ';
            }
        }
    }
    std::ranges::replace_if(
        words, [](unsigned char c) { return std::isalnum(c) == 0 && c != '_'; }, ' ');
    return words;
}

// A column of the layer parcels may be called parcels.NAME; everything else of a known section is a setting.
std::vector<std::string> settings_that_are_none(const std::string& page) {
    const std::set<std::string, std::less<>> columns = column_names();
    std::vector<std::string> unknown;
    for (const std::string& word : found(prose_of(page), R"(`([a-z_]+\.[a-z][a-z0-9_]*)`)")) {
        const std::string section = word.substr(0, word.find('.'));
        const std::string key = word.substr(section.size() + 1);
        if (find_section(section) != nullptr && find_setting(section, key) == nullptr && !columns.contains(key)) {
            unknown.push_back(word);
        }
    }
    return unknown;
}

struct StatedDefault {
    std::string setting;
    std::string stated;
};
// "`siting.max_fill_m` (60)": the setting and what stands in the brackets behind it.
std::vector<StatedDefault> stated_defaults(const std::string& text) {
    static const std::regex kStated(R"(`([a-z_]+\.[a-z][a-z0-9_]*)`\s+\(([^)]*)\))");
    std::vector<StatedDefault> stated;
    for (auto it = std::sregex_iterator(text.begin(), text.end(), kStated); it != std::sregex_iterator(); ++it) {
        stated.push_back({(*it)[1].str(), (*it)[2].str()});
    }
    return stated;
}

TEST(NamesInDocs, EveryColumnSettingAndWordOfAListExists) {
    constexpr const char* kWithUnderscore = "`([a-z][a-z0-9]*(?:_[a-z0-9]+)+)`";
    for (const std::string& page : pages()) {
        EXPECT_FALSE(page_text(page).empty()) << page;
        if (page != kGlossary && page != kArchitecture) {  // these name words of the code too
            EXPECT_THAT(strangers(page, kWithUnderscore), IsEmpty()) << page;
        }
    }
}

TEST(NamesInDocs, EverySectionAndKeyOfASettingExists) {
    for (const std::string& page : pages()) {
        EXPECT_THAT(settings_that_are_none(page), IsEmpty()) << page;
    }
}

TEST(NamesInDocs, TheGlossarysOtherWordsStandInTheCode) {
    const std::string code = code_words();
    const std::vector<std::string> words = strangers(kGlossary, "`([A-Za-z][A-Za-z0-9_]*)`");
    EXPECT_FALSE(words.empty());
    for (const std::string& word : words) {
        EXPECT_NE(code.find(' ' + word + ' '), std::string::npos) << word;
    }
}

TEST(NamesInDocs, TheMethodNamesDefaultsAsTheyAre) {
    const std::vector<StatedDefault> stated = stated_defaults(prose_of(kMethod));
    EXPECT_GT(stated.size(), 60U);
    for (const auto& [name, text] : stated) {
        const std::size_t dot = name.find('.');
        const Setting* const setting = find_setting(name.substr(0, dot), name.substr(dot + 1));
        ASSERT_NE(setting, nullptr) << name;
        EXPECT_EQ(text, default_text(*setting)) << name;
    }
}

TEST(NamesInDocs, TheMethodNamesEveryNumberThatASettingGivesTheComputation) {
    const std::string method = prose_of(kMethod);
    for (const Setting& setting : settings_table()) {
        const bool computes = setting.section == "harvest" || setting.section == "demand" ||
                              setting.section == "storage" || setting.section == "siting" ||
                              setting.section == "season" || setting.section == "rank";
        if (computes) {
            const std::string name = std::string(setting.section) + "." + std::string(setting.key);
            EXPECT_NE(method.find("`" + name + "`"), std::string::npos) << name;
        }
    }
}

TEST(NamesInDocs, EveryAssumptionHasItsSectionWithItsFlagAndItsData) {
    const std::string page = page_text("docs/answers_rest_on.md");
    for (const Assumption& assumption : kAssumptions) {
        std::string heading(assumption.key);
        std::ranges::replace(heading, '_', ' ');
        const std::size_t begin = page.find("\n### " + heading + "\n");
        ASSERT_NE(begin, std::string::npos) << heading;
        const std::string section = page.substr(begin, page.find("\n#", begin + 1) - begin);
        EXPECT_NE(section.find("`" + std::string(to_text(assumption.flag)) + "`"), std::string::npos) << heading;
    }
}

TEST(NamesInDocs, TheGlossaryExplainsEachTermOnce) {
    std::set<std::string> terms;
    const std::string glossary = page_text(kGlossary);
    for (const std::string& term : found(glossary, R"(\n- \*\*([^*]+)\*\*)")) {
        EXPECT_TRUE(terms.insert(term).second) << term << " stands twice";
    }
    EXPECT_GT(terms.size(), 80U);
}

}  // namespace
}  // namespace eaveshed
