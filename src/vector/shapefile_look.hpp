// A shapefile is several files: whether all are there and whole. Private to the module.
#pragma once

#include <string>

namespace eaveshed {

// Whether the path names one of the parts of a shapefile.
[[nodiscard]] bool is_shapefile_part(const std::string& path);

// Throws input errors: a part named in place of the .shp, a .shx or .dbf that is missing, a part shorter than it says
// (ESRI Shapefile Technical Description, July 1998, tables 1 and 2; the header of dBASE III), parts of unlike numbers
// of features. `where`: for messages.
void require_whole_shapefile(const std::string& where, const std::string& path);

}  // namespace eaveshed
