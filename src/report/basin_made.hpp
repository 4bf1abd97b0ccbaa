// How a report was made: version, settings that are not the defaults, inputs. Private to the module.
#pragma once

#include <vector>

#include "eaveshed/page/page_values.hpp"
#include "eaveshed/report/basin_page.hpp"

namespace eaveshed {

void fill_made(PageValues& page, const SummaryFacts& facts, const std::vector<RecordedInput>& inputs);

}  // namespace eaveshed
