// Files looked at without a project: which layers, fields, grids, dates and values they hold. Looks at a bounded part
// of each.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/survey/seen.hpp"

namespace eaveshed {

// How many features of a layer are looked at.
inline constexpr std::size_t kFeaturesLookedAt = 5000;

// Every file of folders and of the folders in them, parts that belong to another file left out (.shx, .prj, .aux.xml
// and the like), sorted within a folder; and all else as given. Throws an input error for a name that is neither.
[[nodiscard]] std::vector<std::string> files_to_survey(const std::vector<std::string>& names);

// Never throws for what is wrong with the file: that is its `trouble`. Findings of the readers are handed on.
[[nodiscard]] FileSeen survey(const std::string& path, Findings& findings);

}  // namespace eaveshed
