#include "eaveshed/outside/gdal_setup.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <string_view>

#include <cpl_conv.h>
#include <cpl_error.h>
#include <gdal_priv.h>
#include <ogr_srs_api.h>
#include <sqlite3.h>
#include <unistd.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/words/say.hpp"

namespace eaveshed {

namespace {

constexpr GIntBig kCacheBytes = 64LL * 1024 * 1024;  // bounded, and small: blocks are copied into our own
constexpr std::size_t kTextsKept = 5;

// Options that load code, reach the network, or change what the same file reads as.
constexpr std::array<const char*, 28> kClearedKeys{
    // code
    "GDAL_DRIVER_PATH",
    "OGR_DRIVER_PATH",
    "GDAL_PYTHON_DRIVER_PATH",
    "GDAL_VRT_ENABLE_PYTHON",
    "GDAL_VRT_PYTHON_TRUSTED_MODULES",
    "OGR_SQLITE_LOAD_EXTENSIONS",
    "OGR_SQLITE_PRAGMA",
    // network
    "PROJ_NETWORK",
    "PROJ_NETWORK_ENDPOINT",
    "GDAL_HTTP_HEADER_FILE",
    // meaning
    "AAIGRID_DATATYPE",
    "GDAL_GEOREF_SOURCES",
    "GDAL_NETCDF_BOTTOMUP",
    "GDAL_NETCDF_IGNORE_XY_AXIS_NAME_CHECKS",
    "GDAL_NETCDF_VERIFY_DIMS",
    "GTIFF_HONOUR_NEGATIVE_SCALEY",
    "GTIFF_IGNORE_READ_ERRORS",
    "GTIFF_POINT_GEO_IGNORE",
    "GTIFF_READ_ANGULAR_PARAMS_IN_DEGREE",
    "OGR_CT_FORCE_TRADITIONAL_GIS_ORDER",
    "OGR_CT_OP_SELECTION",
    "OGR_ENABLE_PARTIAL_REPROJECTION",
    "OSR_ADD_TOWGS84_ON_EXPORT_TO_WKT1",
    "OSR_DEFAULT_AXIS_MAPPING_STRATEGY",
    "OSR_STRIP_TOWGS84",
    "OGR_XLSX_HEADERS",
    "OGR_XLSX_FIELD_TYPES",
    "GDAL_NUM_THREADS",
};
// What stays registered. A VRT opens its sources with any registered driver, whatever list its opener was given: what
// is not here can be reached by no file.
constexpr std::array<std::string_view, 15> kDriversKept{
    "GTiff", "COG",        "VRT",     "AAIGrid",        "HFA", "netCDF", "Zarr", "MEM", "Memory",
    "GPKG",  "FlatGeobuf", "GeoJSON", "ESRI Shapefile", "CSV", "XLSX",
};
constexpr std::string_view kNetworkPrefix = "CPL_VSIL_CURL_";

std::vector<std::string> environment_names_with(std::string_view prefix) {
    std::vector<std::string> names;
    for (char** entry = environ; entry != nullptr && *entry != nullptr; ++entry) {
        const std::string_view text = *entry;
        if (text.substr(0, prefix.size()) == prefix) {
            names.emplace_back(text.substr(0, text.find('=')));
        }
    }
    return names;
}

// GDAL calls abort() behind a fatal error, which is want of memory: the process ends as one that was killed does, but
// with words and the code of a passing trouble.
void end_if_fatal(CPLErr severity, const char* message) {
    if (severity == CE_Fatal) {
        say(std::string("error: GDAL found no memory: ") + message +
            "; use fewer threads, or run again when the machine has more memory free\n");
        ::_exit(static_cast<int>(Fault::passing));
    }
}

void CPL_STDCALL take_unasked(CPLErr severity, CPLErrorNum number, const char* message) {
    end_if_fatal(severity, message);
    CPLDefaultErrorHandler(severity, number, message);
}

void CPL_STDCALL take_message(CPLErr severity, CPLErrorNum /*number*/, const char* message) {
    end_if_fatal(severity, message);
    static_cast<GdalErrors*>(CPLGetErrorHandlerUserData())->take(static_cast<int>(severity), message);
}

void keep(std::vector<std::string>& texts, const char* message) {
    if (texts.size() < kTextsKept && std::find(texts.begin(), texts.end(), message) == texts.end()) {
        texts.emplace_back(message);
    }
}

}  // namespace

const GdalSession& GdalSession::start() {
    static const GdalSession* const session = new GdalSession;  // never destroyed: the drivers outlive every user
    return *session;
}

GdalSession::GdalSession() {
    sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);  // nobody asks SQLite how much it holds; before its first use
    CPLSetErrorHandler(take_unasked);
    GetGDALDriverManager();  // loads the configuration files that GDAL looks for, so that they are cleared below too
    std::vector<std::string> keys(kClearedKeys.begin(), kClearedKeys.end());
    for (std::string& name : environment_names_with(kNetworkPrefix)) {
        keys.push_back(std::move(name));
    }
    for (const std::string& key : keys) {
        if (CPLGetConfigOption(key.c_str(), nullptr) != nullptr) {
            m_cleared.push_back(key);
        }
        CPLSetConfigOption(key.c_str(), nullptr);
        unsetenv(key.c_str());  // NOLINT(concurrency-mt-unsafe): see start()
    }
    std::sort(m_cleared.begin(), m_cleared.end());
    CPLSetConfigOption("GDAL_DRIVER_PATH", "disable");
    // No request leaves even where a driver that makes some were opened: only this name would be fetched.
    CPLSetConfigOption("CPL_VSIL_CURL_ALLOWED_FILENAME", "network-is-off");
    GDALAllRegister();
    GDALDriverManager* const registry = GetGDALDriverManager();
    for (int i = 0; i < registry->GetDriverCount(); ++i) {
        m_drivers.push_back(registry->GetDriver(i));
    }
    for (GDALDriver* driver : m_drivers) {
        if (std::find(kDriversKept.begin(), kDriversKept.end(), driver->GetDescription()) == kDriversKept.end()) {
            registry->DeregisterDriver(driver);
        }
    }
    CPLSetConfigOption("GTIFF_REPORT_COMPD_CS", "YES");  // the vertical part of a CRS, of old GeoTIFF files too
    CPLSetConfigOption("OGR_XLSX_HEADERS", "FORCE");  // the first row of a list is its headings, whatever stands there
    GDALSetCacheMax64(kCacheBytes);
    OSRSetPROJEnableNetwork(FALSE);
}

std::string GdalSession::driver_that_matches(const std::string& path) const {
    const GdalErrors quiet;
    GDALOpenInfo file(path.c_str(), GDAL_OF_RASTER | GDAL_OF_VECTOR | GDAL_OF_READONLY);
    for (const GDALDriver* driver : m_drivers) {
        if (driver->pfnIdentify != nullptr && driver->pfnIdentify(&file) == TRUE) {
            return driver->GetDescription();
        }
    }
    return {};
}

GdalErrors::GdalErrors() {
    CPLPushErrorHandlerEx(take_message, this);
    CPLErrorReset();
}

GdalErrors::~GdalErrors() {
    CPLPopErrorHandler();
}

void GdalErrors::take(int severity, const char* message) {
    if (severity >= CE_Failure) {
        ++m_failures;
        keep(m_failure_texts, message);
    } else if (severity == CE_Warning) {
        ++m_warnings;
        keep(m_warning_texts, message);
    }
}

std::string GdalErrors::text() const {
    std::string joined;
    for (const auto* texts : {&m_failure_texts, &m_warning_texts}) {
        for (const std::string& text : *texts) {
            joined += joined.empty() ? text : "; " + text;
        }
    }
    return joined;
}

void GdalErrors::clear() {
    m_failures = 0;
    m_warnings = 0;
    m_failure_texts.clear();
    m_warning_texts.clear();
    CPLErrorReset();
}

void DatasetCloser::operator()(GDALDataset* dataset) const noexcept {
    GDALClose(dataset);
}

std::string close_dataset(DatasetHandle& dataset) {
    const GdalErrors errors;
    dataset.reset();
    return errors.failures() > 0 ? errors.text() : std::string();
}

}  // namespace eaveshed
