#include "eaveshed/record/ask_first.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

TEST(AskFirst, IsTakenApartIntoItsQuestions) {
    EXPECT_THAT(questions_in("Ask one: 2.5 m3 if few. Ask two. Ask three."),
                ElementsAre("Ask one: 2.5 m3 if few.", "Ask two.", "Ask three."));
    EXPECT_THAT(questions_in("Call them. Not before noon."), ElementsAre("Call them. Not before noon."));
    EXPECT_THAT(questions_in(""), IsEmpty());
    EXPECT_EQ(first_question("Ask one. Ask two."), "Ask one.");
    EXPECT_EQ(first_question(""), "");
}

TEST(AskFirst, ASubjectIsWhatIsAskedWithoutWhatHangsOnIt) {
    EXPECT_EQ(subject_of("Ask what the roof is covered with: it takes no pump if gravel."),
              "what the roof is covered with");
    EXPECT_EQ(subject_of("Ask one."), "one");
    EXPECT_EQ(subject_of("Ask ..."), "");
    EXPECT_EQ(subject_of("Something else."), "");
    EXPECT_EQ(subject_of(""), "");
}

}  // namespace
}  // namespace eaveshed
