// What became of the rows of the overrides table, told. Private to the module.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/fieldbook/override_table.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

void report_overrides(const std::string& where, const std::vector<OverrideEntry>& entries, const Settings& settings,
                      Findings& findings);

}  // namespace eaveshed
