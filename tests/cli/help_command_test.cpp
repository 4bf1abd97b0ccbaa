#include "eaveshed/cli/help_command.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>
#include <string>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/core/units.hpp"
#include "eaveshed/facts/table.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;

std::string page(std::string_view topic) {
    std::ostringstream out;
    EXPECT_EQ(print_help(out, topic), 0);
    return out.str();
}

template <typename Terms>
void expect_terms(const std::string& text, const Terms& terms) {
    for (const Term& term : terms) {
        EXPECT_THAT(text, HasSubstr("\n  " + std::string(term.name) + "  "));
        EXPECT_THAT(text, HasSubstr("  " + std::string(term.meaning) + "\n"));
    }
}

TEST(HelpCommand, ExplainsEveryClosedList) {
    expect_terms(page("statuses"), terms_of<Status>());
    expect_terms(page("flags"), terms_of<Flag>());
    expect_terms(page("reasons"), terms_of<PadReason>());
    expect_terms(page("overrides"), terms_of<OverrideOutcome>());
    std::string all;
    for (const std::string_view topic : help_topics()) {
        all += page(topic);
    }
    for (const ClosedList& list : kOutputLists) {
        expect_terms(all, list.terms);
    }
}

TEST(HelpCommand, ExplainsEveryExitCode) {
    for (const char* code : {"0", "1", "2", "3", "75", "130", "143"}) {
        EXPECT_THAT(page("exit-codes"), HasSubstr("\n  " + std::string(code) + " "));
    }
}

TEST(HelpCommand, ListsEveryColumnOfMeasuredValues) {
    const std::string text = page("overrides");
    const auto expect_line = [&text](const auto& fact, const std::string& noun) {
        const auto found = text.find("\n  " + std::string(fact.column()) + " ");
        ASSERT_EQ(found != std::string::npos, fact.measurable) << fact.name;
        if (fact.measurable) {
            const std::string line = text.substr(found + 1, text.find('\n', found + 1) - found - 1);
            EXPECT_THAT(line, AllOf(HasSubstr(" " + noun + " "), HasSubstr(std::string(fact.meaning))));
        }
    };
    for (const auto& fact : kRoofFacts) {
        expect_line(fact, "roof");
    }
    for (const auto& fact : kParcelFacts) {
        expect_line(fact, "parcel");
    }
}

TEST(HelpCommand, ListsEveryUnit) {
    const std::string text = page("units");
    for (const Unit& unit : units()) {
        EXPECT_THAT(text, HasSubstr("\n  " + std::string(unit.name()) + " "));
    }
}

TEST(HelpCommand, ListsCommandsAndTopicsWithoutATopic) {
    const std::string text = page("");
    for (const char* command : {"check", "screen", "settings", "columns", "help"}) {
        EXPECT_THAT(text, HasSubstr("\n  " + std::string(command) + " "));
    }
    EXPECT_EQ(help_topics().size(), 11U);
    for (const std::string_view topic : help_topics()) {
        EXPECT_THAT(text, HasSubstr("\n  " + std::string(topic) + " "));
        EXPECT_GT(page(topic).size(), 200U) << topic;
    }
}

TEST(HelpCommand, NamesTheNearestTopicForAnUnknownOne) {
    try {
        page("flag");
        FAIL() << "an unknown topic was taken";
    } catch (const Error& error) {
        EXPECT_EQ(error.exit_code(), 2);
        EXPECT_THAT(std::string(error.what()),
                    AllOf(HasSubstr("\"flag\""), HasSubstr("exit-codes"), HasSubstr("did you mean flags?")));
    }
    EXPECT_THROW(page("zebra"), Error);
}

}  // namespace
}  // namespace eaveshed
