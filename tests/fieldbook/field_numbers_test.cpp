// What is told of fields whose texts are no plain numbers.
#include "eaveshed/fieldbook/field_numbers.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

// What is told of these texts in the field of low flows.
std::vector<std::string> told(const std::vector<std::string>& texts, Severity severity) {
    Settings settings;
    settings.streams.low_flow_lps = {"q_low", ""};
    const LayerFields<ReachFacts> fields(settings);
    NumberTexts seen;
    for (const std::string& text : texts) {
        std::vector<std::optional<std::string>> values(fields.names().size());
        values.at(fields.place("low_flow_lps")) = text;
        static_cast<void>(fields.read(values, seen));
    }
    Findings findings;
    report_numbers(fields, seen, "streams.source \"s.gpkg\"", "stream line", findings);
    std::vector<std::string> lines;
    for (const Finding& finding : findings.list()) {
        if (finding.severity == severity) {
            lines.push_back(to_text(finding.trouble));
        }
    }
    return lines;
}

TEST(FieldNumbers, ThatArePlainOrBlankAreNotTold) {
    EXPECT_THAT(told({"1.5", "0", "2 L/s", "", "  "}, Severity::warning), IsEmpty());
    EXPECT_THAT(told({"1.5", "0", "2 L/s", "", "  "}, Severity::note), IsEmpty());
}

TEST(FieldNumbers, OfOtherKindsAreCountedWithTheFirstAndTheField) {
    EXPECT_THAT(told({"low", "1.5", "dry"}, Severity::warning),
                ElementsAre(AllOf(HasSubstr("s.gpkg"), HasSubstr("2 stream lines with no number in"),
                                  HasSubstr("\"q_low\" (streams.low_flow_lps)"), HasSubstr("the first \"low\""))));
    EXPECT_THAT(told({"1,234"}, Severity::warning), ElementsAre(HasSubstr("can be read in two ways")));
    EXPECT_THAT(told({"-3"}, Severity::warning), ElementsAre(HasSubstr("cannot be meant")));
    EXPECT_THAT(told({"3,25"}, Severity::note), ElementsAre(HasSubstr("1 stream line with a decimal comma")));
}

}  // namespace
}  // namespace eaveshed
