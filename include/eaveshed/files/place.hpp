// Where a result is to stand, looked at before the work: what can be known then is told then.
#pragma once

#include <filesystem>
#include <string>

namespace eaveshed {

// Throws an input error that names `where` unless a file may be made or replaced there: its folder exists and may be
// written to, and the name is no folder's and not too long. The room is not looked at.
void require_place_for_file(const std::filesystem::path& path, const std::string& where);

// The same of a folder that is to be made, or stands there already.
void require_place_for_folder(const std::filesystem::path& path, const std::string& where);

}  // namespace eaveshed
