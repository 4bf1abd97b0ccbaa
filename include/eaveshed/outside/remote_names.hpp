// Files behind an address (network/remote_file.hpp) as GDAL opens them: through a file system of our own, which asks
// for nothing but what was opened before. So GDAL sees no host that was not allowed, no user and no signature, follows
// no redirect and looks for no file beside it.
#pragma once

#include <string>

namespace eaveshed {

// Makes that file system known to GDAL. Once, by GdalSession.
void install_remote_files();

// What GDAL is to open for a path: the path itself for a file of this machine.
[[nodiscard]] std::string gdal_name(const std::string& path);

}  // namespace eaveshed
