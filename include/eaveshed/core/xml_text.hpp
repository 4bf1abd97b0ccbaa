// The one place where a text from outside becomes characters of markup: of drawings, styles, and whatever else is
// written as XML or HTML by our own code.
#pragma once

#include <string>
#include <string_view>

namespace eaveshed {

// The text as it may stand between tags and in attributes, in quotes of either kind, of XML 1.0 and HTML: & < > " ' as
// references, control characters that XML has no place for (2.2) as U+FFFD. Other bytes stay: the text is UTF-8.
[[nodiscard]] std::string xml_text(std::string_view text);

}  // namespace eaveshed
