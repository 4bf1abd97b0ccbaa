// The look of a finished file's layers for readers that take OGC descriptors from files.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"

namespace eaveshed {

// Writes FOLDER/LAYER.sld for every layer of the GeoPackage that has a style; the folder is made when it is missing.
// Gives the files in the layers' order. Input errors, before anything is written: a file that is not ours or lacks
// columns that its styles ask for, a descriptor that exists and is not to be overwritten, a file in place of the
// folder. Each file stands whole or not at all.
std::vector<std::filesystem::path> write_style_files(const std::string& geopackage, const std::string& folder,
                                                     bool overwrite, Findings& findings);

}  // namespace eaveshed
