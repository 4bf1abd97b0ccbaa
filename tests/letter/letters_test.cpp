// A letter says what its template says; a slip in it is told by line and name.
#include "eaveshed/letter/letters.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using testing::expect_input_error;
using ::testing::HasSubstr;

const std::vector<std::string> kKnown{"parcel_id", "owner", "added_m3"};

TEST(LetterTemplate, FillsItsFieldsAndKeepsTheRest) {
    const LetterTemplate letter("Dear {{owner}},\r\n{{ parcel_id }}: {{added_m3}} m3 {of} }} $HOME\n", "t", kKnown);
    EXPECT_EQ(letter.filled({{"owner", "{{parcel_id}} <b>"}, {"parcel_id", "12"}, {"added_m3", "35.2"}}),
              "Dear {{parcel_id}} <b>,\r\n12: 35.2 m3 {of} }} $HOME\n");
    EXPECT_EQ(LetterTemplate("", "t", kKnown).filled({}), "");
}

TEST(LetterTemplate, AnUnknownFieldIsNamedWithItsLineAndTheNearest) {
    expect_input_error([] { LetterTemplate("one\ntwo {{ownr}}", "letter.txt", kKnown); },
                       {"letter.txt, line 2", "{{ownr}}", "'owner'"});
    expect_input_error([] { LetterTemplate("{{zzzzzzzz}}", "t", kKnown); }, {"help letters"});
    expect_input_error([] { LetterTemplate("{{}}", "t", kKnown); }, {"unknown field"});
}

TEST(LetterTemplate, BracesThatAreNotClosedAreTold) {
    expect_input_error([] { LetterTemplate("a {{owner", "t", kKnown); }, {"line 1", "}}"});
    expect_input_error([] { LetterTemplate("a {{owner {{parcel_id}}", "t", kKnown); }, {"line 1", "}}"});
    expect_input_error([] { LetterTemplate("Z\xEB", "t", kKnown); }, {"UTF-8"});
}

class LetterOfAParcel : public ::testing::Test {
protected:
    LetterOfAParcel() {
        m_row.parcel_id = "12";
        m_row.storage_m3 = 56.7;
        m_row.tank_count = 3;
        m_row.added_forbearance_m3 = 40.0;
        m_row.added_gain_lps = 0.005;
        m_row.delivery = Delivery::pumped_feed;
        m_row.ask_first = "Ask one. Ask two.";
        m_facts.settings.basin.name = "Quillwater";
        m_facts.settings.season.forbear_months = {8, 9};
    }
    [[nodiscard]] std::string value(const std::string& name) const {
        const auto values = letter_values(m_facts, m_row, {"owner", "parcel_id"}, {"Zoë", "not this"});
        const auto found = std::ranges::find(values, name, &std::pair<std::string, std::string>::first);
        return found == values.end() ? "none" : found->second;
    }
    SummaryFacts m_facts{RecordFacts("f", {}), {}, {}, {}};
    ParcelRow m_row;
};

TEST_F(LetterOfAParcel, HasFieldsForPeopleAndEveryColumn) {
    EXPECT_EQ(value("basin"), "Quillwater");
    EXPECT_EQ(value("months"), "Aug, Sep");
    EXPECT_EQ(value("tanks"), "3 x 18.9 m3");
    EXPECT_EQ(value("added"), "40.0 m3");
    EXPECT_EQ(value("added_m3"), "40.0");
    EXPECT_EQ(value("questions"), "Ask one.\nAsk two.");
    EXPECT_EQ(value("how"), "fills from the gutter; a pump feeds");
    EXPECT_EQ(value("storage_m3"), "56.7");
    EXPECT_EQ(value("delivery"), "pumped_feed");
    EXPECT_EQ(value("owner"), "Zoë");
    EXPECT_EQ(value("parcel_id"), "12");
}

TEST_F(LetterOfAParcel, SpeaksUsUnitsWhereTheProjectDoes) {
    m_facts.settings.output.units = OutputUnits::us;
    EXPECT_EQ(value("added"), "10,600 gal");          // 40 m3 = 10 567 gal of 231 in3
    EXPECT_EQ(value("tanks"), "3 x about 5000 gal");  // 18.9 m3 = 4993 gal
    EXPECT_EQ(value("added_m3"), "40.0");
}

TEST_F(LetterOfAParcel, ItsClauseOfTheCreekIsTrueWhateverTheSource) {
    EXPECT_EQ(value("creek"), "the creek would keep 0.0050 L/s more on average");
    m_row.added_gain_lps = 0.0;  // mains, a deep well
    EXPECT_EQ(value("creek"), "the creek would not feel it in these months");
    m_row.added_gain_lps.reset();
    EXPECT_EQ(value("creek"), "what the creek would keep of it is not known");
    m_row.flags.add(Flag::unknown_source);
    EXPECT_EQ(value("creek"), "what the creek would keep of it depends on where your water comes from");
    EXPECT_THAT(letter_help(), HasSubstr("{{creek}}"));
    EXPECT_THAT(letter_help(), ::testing::Not(HasSubstr("spare the creek")));
}

TEST_F(LetterOfAParcel, AsksTheOwnerAndNotTheCaller) {
    m_row.ask_first =
        "Ask how many people live there in summer and how big the watered garden is: the tank replaces 20.0 m3 if few "
        "and small, 40.0 m3 if many and big. Ask where most of the water is used: it takes no pump if downhill, a "
        "pump if uphill.";
    EXPECT_EQ(value("questions"),
              "How many people live here in summer, and how big is the garden that is watered?\n"
              "Where is most of the water used: uphill or downhill of the house?");
}

TEST_F(LetterOfAParcel, PressureBelowNothingIsNone) {
    m_row.pressure_kpa = -42.3;
    EXPECT_EQ(value("pressure"), "none without a pump");
    m_row.pressure_kpa = 12.0;
    EXPECT_EQ(value("pressure"), "12.0 kPa");
    m_row.pressure_kpa.reset();
    EXPECT_EQ(value("pressure"), "not known");
}

TEST_F(LetterOfAParcel, SaysWhatIsNotKnown) {
    EXPECT_EQ(value("price"), "not known");
    EXPECT_EQ(value("harvest"), "not known");
    EXPECT_EQ(value("cost"), "not known");
    EXPECT_EQ(value("gain"), "0.0050 L/s");
    m_row.flags.add(Flag::unknown_source);
    EXPECT_EQ(value("gain"), "not known");
}

TEST_F(LetterOfAParcel, EveryFieldThatIsListedHasAValue) {
    for (const LetterField& field : letter_fields()) {
        EXPECT_NE(value(field.name), "none") << field.name;
        EXPECT_FALSE(field.meaning.empty()) << field.name;
    }
    EXPECT_THAT(letter_help(), HasSubstr("added_m3"));
}

}  // namespace
}  // namespace eaveshed
