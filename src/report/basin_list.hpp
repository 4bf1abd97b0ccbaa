// The list on the basin's page: whom to call, or which roofs have a place for a tank. Private to the module.
#pragma once

#include <vector>

#include "eaveshed/page/page_values.hpp"
#include "eaveshed/report/basin_page.hpp"
#include "eaveshed/report/basin_rows.hpp"

namespace eaveshed {

void fill_list(PageValues& page, const BasinRows& rows, const std::vector<SheetLink>& sheets);

}  // namespace eaveshed
