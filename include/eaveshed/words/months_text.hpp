// Months as people read them.
#pragma once

#include <string>
#include <vector>

namespace eaveshed {

// "November to May", or months by commas where they are not one run round the year.
[[nodiscard]] std::string months_text(const std::vector<int>& months);

}  // namespace eaveshed
