// Whether a spreadsheet on disk is the one that was meant. The library that writes it does not look whether the system
// took its temporary files: a write that fails there leaves a list with rows missing, and no error. Private to the
// module.
#pragma once

#include <string>

#include "eaveshed/sheet/sheet.hpp"

namespace eaveshed {

// What is amiss, in words; empty for a whole archive whose parts all end as they should and whose one sheet holds
// exactly the titles and values of the table. `text_of`: a text as it was written.
[[nodiscard]] std::string amiss_in_xlsx(const std::string& bytes, const Sheet& table,
                                        std::string (*text_of)(const std::string&));

}  // namespace eaveshed
