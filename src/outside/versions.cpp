#include "eaveshed/outside/versions.hpp"

#include <gdal.h>
#include <geos_c.h>
#include <proj.h>
#include <sqlite3.h>

namespace eaveshed {

std::string program_version() {
    return EAVESHED_VERSION;
}

std::vector<std::pair<std::string, std::string>> library_versions() {
    return {{"gdal", GDALVersionInfo("RELEASE_NAME")},
            {"geos", GEOSversion()},
            {"proj", proj_info().version},
            {"sqlite", sqlite3_libversion()}};
}

}  // namespace eaveshed
