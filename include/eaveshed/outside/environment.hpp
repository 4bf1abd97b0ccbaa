// The environment that a process was started in, taken away before any library asks for it: what the program does
// depends on its words and files. A list of what stays, so that a variable that a library learns tomorrow is not heard
// either.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace eaveshed {

struct KeptVariable {
    std::string_view name;
    std::string_view why;
};
// The variables that stay.
[[nodiscard]] std::span<const KeptVariable> kept_variables();

// Removes every variable but those. For a program that is its process; to be called before other threads begin.
//
// PROJ_DATA, PROJ_LIB and GDAL_DATA, the folders of the libraries' own tables, are removed where the libraries find
// these by themselves: those of another installation give other coordinates, or none. Where they do not, they stay.
void clear_environment();

// Of those that clear_environment() removed, the ones that libraries of this program are known to read, sorted: for the
// log. None when it was not called.
[[nodiscard]] const std::vector<std::string>& removed_variables();

// Removes those that the libraries are known to read, but for these folders, and gives their names, sorted. For a
// library within another program; to be called before other threads read the environment.
[[nodiscard]] std::vector<std::string> remove_library_variables();

}  // namespace eaveshed
