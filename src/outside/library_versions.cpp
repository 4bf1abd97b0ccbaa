#include "eaveshed/outside/library_versions.hpp"

#include <gdal.h>
#include <geos_c.h>
#include <proj.h>
#include <sqlite3.h>

namespace eaveshed {

// Asked once: PROJ writes its answer anew each time, wherever another thread may be reading the one before.
LibraryVersions library_versions() {
    static const LibraryVersions versions{{"gdal", GDALVersionInfo("RELEASE_NAME")},
                                          {"geos", GEOSversion()},
                                          {"proj", proj_info().version},
                                          {"sqlite", sqlite3_libversion()}};
    return versions;
}

}  // namespace eaveshed
