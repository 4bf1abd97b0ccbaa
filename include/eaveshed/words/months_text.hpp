// Months as people read them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace eaveshed {

// "January" for 1; 1 to 12.
[[nodiscard]] std::string_view month_name(int month);

// "November to May", or months by commas where they are not one run round the year.
[[nodiscard]] std::string months_text(const std::vector<int>& months);

}  // namespace eaveshed
