// Names of files, layers and fields as words. Private to the module.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace eaveshed {

// "Bldg_Footprints2020.shp" -> bldg, footprints, 2020, shp: split where letters end, where a capital follows a small
// letter, and before the last of several capitals (NHDFlowline); lower case.
[[nodiscard]] std::vector<std::string> name_words(std::string_view name);

// The first of `wanted` that is one of the name's words, or its plural from four letters on, or begins one from six
// letters on; empty when none is. A wanted word with an underscore or a digit has to stand in the name as it is.
[[nodiscard]] std::string_view word_in(std::string_view name, std::span<const std::string_view> wanted);

}  // namespace eaveshed
