// Rows from plain values by column name: the inverse of values.hpp, for files that were written before.
#pragma once

#include <map>
#include <string>

#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/scenario_row.hpp"
#include "eaveshed/record/values.hpp"

namespace eaveshed {

// A column that is missing, null, or of a kind or with a word that it cannot have leaves its member as it is by
// default: the file may come from anywhere.
[[nodiscard]] ParcelRow parcel_from(const std::map<std::string, Value>& values);
[[nodiscard]] ScenarioRow scenario_from(const std::map<std::string, Value>& values);

}  // namespace eaveshed
