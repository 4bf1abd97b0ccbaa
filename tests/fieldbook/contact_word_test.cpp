#include "eaveshed/fieldbook/contact_word.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

TEST(ContactWord, IsReadWhateverItsCaseBlanksAndHyphens) {
    EXPECT_EQ(contact_status_of(" Do-not contact\t"), ContactStatus::do_not_contact);
    EXPECT_EQ(contact_status_of("VISIT_BOOKED"), ContactStatus::visit_booked);
    EXPECT_FALSE(contact_status_of("never again"));
    EXPECT_FALSE(contact_status_of(" "));
    EXPECT_FALSE(contact_status_of("visit__booked"));
}

}  // namespace
}  // namespace eaveshed
