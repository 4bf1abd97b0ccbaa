// What every page of a report has around its body: head, policy, one style sheet and one script, both inside the page.
//
// The policy lets the browser load nothing: no network, no frame, no form; pictures only as data, the one style sheet
// and the one script only by their SHA-256. A page opens from disk, and prints on A4 and Letter: 14 mm of margin leave
// at least 178 mm of width on both.
#pragma once

#include <string>
#include <string_view>

#include "eaveshed/page/page_values.hpp"

namespace eaveshed {

// `body_template`: what stands inside <body>, as page_values.hpp has it. Classes of the style sheet: `part` (a part of
// the page, under one <h2>), `leaf` (begins on a new sheet of paper), `figures` (two drawings side by side where there
// is room), `tiles`, `small` (second texts), `scroll` (around a wide table), `blank` (a line to write on within a
// sentence), `answer` (one below it). The values TITLE and the names with FRAME in them are the frame's own.
[[nodiscard]] std::string framed_page(std::string_view body_template, const std::string& title, PageValues& values);

// The directive of the policy, for tests.
[[nodiscard]] std::string content_policy();

}  // namespace eaveshed
