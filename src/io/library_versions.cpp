#include "eaveshed/io/library_versions.hpp"

#include <gdal.h>
#include <geos_c.h>
#include <proj.h>
#include <sqlite3.h>

namespace eaveshed::io {

std::vector<std::pair<std::string, std::string>> library_versions() {
    return {{"gdal", GDALVersionInfo("RELEASE_NAME")},
            {"geos", GEOSversion()},
            {"proj", proj_info().version},
            {"sqlite", sqlite3_libversion()}};
}

}  // namespace eaveshed::io
