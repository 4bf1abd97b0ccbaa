#include "eaveshed/outside/gdal_setup.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include <cpl_conv.h>
#include <cpl_error.h>
#include <gdal_priv.h>
#include <ogr_srs_api.h>
#include <sqlite3.h>
#include <unistd.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/outside/environment.hpp"
#include "eaveshed/outside/remote_names.hpp"
#include "eaveshed/words/safe_output.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr GIntBig kCacheBytes = 64LL * 1024 * 1024;  // bounded, and small: blocks are copied into our own
constexpr std::size_t kTextsKept = 5;

// What stays registered. A VRT opens its sources with any registered driver, whatever list its opener was given: what
// is not here can be reached by no file.
constexpr std::array<std::string_view, 15> kDriversKept{
    "GTiff", "COG",        "VRT",     "AAIGrid",        "HFA", "netCDF", "Zarr", "MEM", "Memory",
    "GPKG",  "FlatGeobuf", "GeoJSON", "ESRI Shapefile", "CSV", "XLSX",
};

// GDAL calls abort() behind a fatal error, which is want of memory: the process ends as one that was killed does, but
// with words and the code of a passing trouble.
void end_if_fatal(CPLErr severity, const char* message) {
    if (severity == CE_Fatal) {
        tell("error: GDAL found no memory: {}; use fewer threads, or run again when the machine has more memory free\n",
             printable(message));
        ::_exit(static_cast<int>(Fault::passing));
    }
}

// Where no GdalErrors gathers, which should not be: texts of files may stand in what a library says.
void CPL_STDCALL tell_failure(CPLErr severity, CPLErrorNum /*number*/, const char* message) {
    end_if_fatal(severity, message);
    if (severity >= CE_Failure) {
        tell("a library says: {}\n", printable(message));
    }
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

GdalSession::GdalSession() : m_cleared(remove_library_variables()) {
    sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);  // nobody asks SQLite how much it holds; before its first use
    // Of the files of settings that GDAL looks for (gdalrc, also in the home folder) none is read: this one is none.
    CPLSetConfigOption("GDAL_CONFIG_FILE", "");
    CPLSetErrorHandler(tell_failure);
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
    install_remote_files();
    CPLSetConfigOption("GTIFF_REPORT_COMPD_CS", "YES");  // the vertical part of a CRS, of old GeoTIFF files too
    CPLSetConfigOption("OGR_XLSX_HEADERS", "FORCE");  // the first row of a list is its headings, whatever stands there
    GDALSetCacheMax64(kCacheBytes);
    OSRSetPROJEnableNetwork(FALSE);
}

std::string GdalSession::driver_that_matches(const std::string& path) const {
    const GdalErrors quiet;
    GDALOpenInfo file(gdal_name(path).c_str(), GDAL_OF_RASTER | GDAL_OF_VECTOR | GDAL_OF_READONLY);
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
