#include "eaveshed/measured/call_match.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/words/safe_output.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

using Statuses = std::vector<std::optional<ContactStatus>>;

struct MatchedCalls {
    Statuses statuses;
    std::string told;
};

MatchedCalls match(std::vector<CallEntry> entries, const std::vector<std::string>& parcels) {
    CallTable calls;
    calls.info.where = "contacts.source \"calls.csv\"";
    calls.entries = std::move(entries);
    for (std::size_t i = 0; i < calls.entries.size(); ++i) {
        calls.entries[i].row_number = static_cast<std::int64_t>(i) + 1;
    }
    Findings findings;
    MatchedCalls found;
    found.statuses = match_calls(calls, parcels, findings);
    for (const Finding& finding : findings.list()) {
        found.told += to_text(finding.trouble) + '\n';
    }
    return found;
}

TEST(CallMatch, FindsParcelsByIdAndLeavesTheOthersAsTheyAre) {
    const MatchedCalls found = match({{.parcel_id = "B", .status = "Visit booked"}}, {"A", "B", "B"});
    EXPECT_THAT(found.statuses, ElementsAre(std::nullopt, ContactStatus::visit_booked, ContactStatus::visit_booked));
    EXPECT_THAT(found.told, IsEmpty());
}

TEST(CallMatch, TakesAnIdThatASpreadsheetMadeANumberForTheOneParcelOfThatNumber) {
    const MatchedCalls found = match({{.parcel_id = "123", .status = "declined"},
                                      {.parcel_id = "1.0", .status = "enrolled"},
                                      {.parcel_id = "7", .status = "visited"}},
                                     {"00123", "1", "007", "0007"});
    EXPECT_THAT(found.statuses,
                ElementsAre(ContactStatus::declined, ContactStatus::enrolled, std::nullopt, std::nullopt));
    EXPECT_THAT(found.told, HasSubstr("2 rows whose id is that of a parcel as a number only: '123' (row 1)"));
    EXPECT_THAT(found.told, HasSubstr("1 row for no parcel: '7' (row 3)"));  // two parcels have that number
}

// A list that the program wrote is read back by it.
TEST(CallMatch, FindsAnIdThatAListWritesWithoutItsControlCharacters) {
    const std::vector<std::string> parcels{"A\x1b[2J",
                                           "B\xE2\x80\xAE"
                                           "1",
                                           "C\x07", "C\\u0007"};
    const MatchedCalls found = match({{.parcel_id = without_controls(parcels[0]), .status = "declined"},
                                      {.parcel_id = without_controls(parcels[1]), .status = "enrolled"},
                                      {.parcel_id = without_controls(parcels[2]), .status = "visited"}},
                                     parcels);
    EXPECT_THAT(found.statuses, ElementsAre(ContactStatus::declined, ContactStatus::enrolled, std::nullopt,
                                            ContactStatus::visited));  // the id that is written so
    EXPECT_THAT(found.told, IsEmpty());
}

TEST(CallMatch, TheExactIdComesBeforeTheNumber) {
    const MatchedCalls found = match({{.parcel_id = "123", .status = "declined"}}, {"00123", "123"});
    EXPECT_THAT(found.statuses, ElementsAre(std::nullopt, ContactStatus::declined));
    EXPECT_THAT(found.told, IsEmpty());
}

// More digits than a floating-point number holds are told apart all the same.
TEST(CallMatch, LongNumbersAreNotRounded) {
    const MatchedCalls found =
        match({{.parcel_id = "90071992547409931", .status = "declined"}}, {"090071992547409930", "090071992547409931"});
    EXPECT_THAT(found.statuses, ElementsAre(std::nullopt, ContactStatus::declined));
}

TEST(CallMatch, OfRowsThatDisagreeTheLaterDateHoldsElseANoElseTheLowerRow) {
    const MatchedCalls found = match({{.parcel_id = "A", .status = "declined", .date = "2026-05-02"},
                                      {.parcel_id = "A", .status = "interested", .date = "2026-05-01"},
                                      {.parcel_id = "B", .status = "declined", .date = "2026-05-02"},
                                      {.parcel_id = "B", .status = "interested", .date = ""},
                                      {.parcel_id = "C", .status = "visited", .date = ""},
                                      {.parcel_id = "C", .status = "VISITED", .date = ""},
                                      {.parcel_id = "D", .status = "visited", .date = ""},
                                      {.parcel_id = "D", .status = "interested", .date = ""},
                                      {.parcel_id = "E", .status = "declined", .date = "2026-05-01"},
                                      {.parcel_id = "E", .status = "interested", .date = "2026-06-01"}},
                                     {"A", "B", "C", "D", "E"});
    EXPECT_THAT(found.statuses, ElementsAre(ContactStatus::declined, ContactStatus::declined, ContactStatus::visited,
                                            ContactStatus::interested, ContactStatus::interested));
    EXPECT_THAT(found.told, HasSubstr("4 parcels with several rows that disagree: 'A', 'B', 'D', 'E'"));
}

TEST(CallMatch, AWordThatIsNotKnownLeavesTheOwnerOutAndANoteAboutAPersonIsNotRepeated) {
    const MatchedCalls found = match({{.parcel_id = "A", .status = "never again"},
                                      {.parcel_id = "B", .status = "never again"},
                                      {.parcel_id = "C", .status = "call Ada on 555 0100 after six"}},
                                     {"A", "B", "C"});
    EXPECT_THAT(found.statuses, ElementsAre(ContactStatus::do_not_contact, ContactStatus::do_not_contact,
                                            ContactStatus::do_not_contact));
    EXPECT_THAT(found.told,
                HasSubstr("\"never again\" (2 times), 1 longer text; first at parcel 'A', parcel 'B', parcel 'C'"));
    EXPECT_THAT(found.told, HasSubstr("visit_booked"));
    EXPECT_THAT(found.told, Not(HasSubstr("Ada")));
}

}  // namespace
}  // namespace eaveshed
