#include "eaveshed/core/xml_text.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

TEST(XmlText, TheFiveCharactersWithAMeaningAreReferences) {
    EXPECT_EQ(xml_text("a < b & \"c\" > 'd'"), "a &lt; b &amp; &quot;c&quot; &gt; &apos;d&apos;");
    EXPECT_EQ(xml_text("&lt;"), "&amp;lt;");  // what is escaped already is text like any other
}

TEST(XmlText, WhatXmlHasNoPlaceForIsReplacedAndOtherBytesStay) {
    EXPECT_EQ(xml_text(std::string("a\x01") + "b"),
              "a\xEF\xBF\xBD"
              "b");
    EXPECT_EQ(xml_text("\t\n"), "\t\n");
    EXPECT_EQ(xml_text("\xC3\xA9 \xE2\x89\xA5"), "\xC3\xA9 \xE2\x89\xA5");
    EXPECT_EQ(xml_text(""), "");
}

}  // namespace
}  // namespace eaveshed
