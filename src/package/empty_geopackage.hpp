// The layers of a GeoPackage before any row: the one place where GDAL makes a part of a result. Private to the module.
#pragma once

#include <filesystem>
#include <vector>

#include "eaveshed/package/geopackage_writer.hpp"

namespace eaveshed {

// The bytes of the file. GDAL makes them in memory and not on the disk: it has been seen to overlook a write, an open
// or an unlink that failed there, and to leave a file without a table or an index
// (docs/decisions/0005-nothing-lost.md). `output`: for messages.
[[nodiscard]] std::vector<unsigned char> empty_geopackage(const std::filesystem::path& output,
                                                          const GeoPackageSpec& spec);

}  // namespace eaveshed
