#include "eaveshed/outside/library_versions.hpp"

#include <gdal.h>
#include <geos_c.h>
#include <proj.h>
#include <sqlite3.h>

namespace eaveshed {

LibraryVersions library_versions() {
    return {{"gdal", GDALVersionInfo("RELEASE_NAME")},
            {"geos", GEOSversion()},
            {"proj", proj_info().version},
            {"sqlite", sqlite3_libversion()}};
}

}  // namespace eaveshed
