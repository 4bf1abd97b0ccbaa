#include "eaveshed/raster/vrt_check.hpp"

#include <algorithm>
#include <array>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <map>
#include <memory>
#include <set>
#include <sstream>
#include <utility>

#include <cpl_minixml.h>
#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/paths.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t kDeepest = 3;
constexpr std::uintmax_t kLargestBytes = 64U << 20U;

// Everything a mosaic or a stack needs. What is not here can compute, fetch or read bytes that are no raster.
constexpr std::array<const char*, 33> kElements{
    "VRTDataset",  "SRS",           "GeoTransform",    "Metadata",       "MDI",         "VRTRasterBand",
    "ColorInterp", "NoDataValue",   "HideNoDataValue", "UnitType",       "Description", "Offset",
    "Scale",       "SimpleSource",  "ComplexSource",   "SourceFilename", "SourceBand",  "SourceProperties",
    "SrcRect",     "DstRect",       "NODATA",          "UseMaskBand",    "ScaleOffset", "ScaleRatio",
    "MaskBand",    "CategoryNames", "Category",        "Histograms",     "HistItem",    "HistMin",
    "HistMax",     "BucketCount",   "HistCounts",
};

struct XmlCloser {
    void operator()(CPLXMLNode* node) const noexcept { CPLDestroyXMLNode(node); }
};
using Xml = std::unique_ptr<CPLXMLNode, XmlCloser>;

Error refused(const std::string& where, const std::string& found) {
    return input_error(where, found, "a VRT that only places plain local files (SimpleSource or ComplexSource)",
                       "make it with gdalbuildvrt, or name the source files or a glob instead");
}

class Checker {
public:
    Checker(std::string where, const std::vector<std::string>& drivers)
        : m_where(std::move(where)), m_drivers(drivers) {}

    void check(const fs::path& path) {
        std::error_code fault;
        const fs::path real = fs::canonical(path, fault);
        if (std::find(m_open.begin(), m_open.end(), real) != m_open.end()) {
            throw refused(m_where, fmt::format("a VRT that contains itself ({})", path.string()));
        }
        if (m_open.size() >= kDeepest) {
            throw refused(m_where, fmt::format("VRTs nested more than {} deep ({})", kDeepest, path.string()));
        }
        // Already checked as deep or deeper: a VRT named a thousand times is read once a level.
        std::size_t& checked_at = m_checked[real];
        if (checked_at > m_open.size()) {
            return;
        }
        checked_at = m_open.size() + 1;
        m_open.push_back(real);
        const Xml xml = parsed(path);
        visit_list(xml.get(), path);
        m_open.pop_back();
    }

    void report_missing() const {
        if (m_missing.empty()) {
            return;
        }
        throw input_error(m_where, fmt::format("{} missing source files: {}", m_missing.size(), listed(m_missing)),
                          "every file that the VRT names", "fetch them, or make the VRT again from what is there");
    }

private:
    [[nodiscard]] Xml parsed(const fs::path& path) const {
        std::error_code fault;
        if (fs::file_size(path, fault) > kLargestBytes) {
            throw refused(m_where, fmt::format("a VRT of more than {} MiB", kLargestBytes >> 20U));
        }
        std::ifstream file(path, std::ios::binary);
        std::ostringstream text;
        text << file.rdbuf();
        const GdalErrors errors;
        Xml xml(CPLParseXMLString(text.str().c_str()));
        if (xml == nullptr || text.str().find('\0') != std::string::npos) {
            throw refused(m_where,
                          fmt::format("a VRT that is no well-formed XML ({}: {})", path.string(), errors.text()));
        }
        return xml;
    }

    void visit_list(const CPLXMLNode* node, const fs::path& vrt) {
        for (; node != nullptr; node = node->psNext) {
            if (node->eType == CXT_Element && std::strcmp(node->pszValue, "?xml") != 0) {
                visit(node, vrt);
            }
        }
    }

    void visit(const CPLXMLNode* element, const fs::path& vrt) {
        const char* const name = element->pszValue;
        const auto known = [name](const char* entry) { return EQUAL(entry, name) != 0; };
        if (std::none_of(kElements.begin(), kElements.end(), known)) {
            throw refused(m_where, fmt::format("a VRT with the element {}", printable(name)));
        }
        const char* const kind = CPLGetXMLValue(element, "subClass", "");
        if (*kind != '\0' && !EQUAL(kind, "VRTSourcedRasterBand")) {
            throw refused(m_where, fmt::format("a VRT with a part of the kind {}", printable(kind)));
        }
        if (EQUAL(name, "SourceFilename")) {
            visit_source(element, vrt);
        }
        const std::string srs = EQUAL(name, "SRS") ? CPLGetXMLValue(element, nullptr, "") : "";
        if (!srs.empty()) {
            (void)crs_from_text(srs, fmt::format("{}, SRS", m_where));  // so that no address is looked up
        }
        visit_list(element->psChild, vrt);
    }

    void visit_source(const CPLXMLNode* element, const fs::path& vrt) {
        const std::string named = CPLGetXMLValue(element, nullptr, "");
        if (named.empty()) {
            throw refused(m_where, "a VRT source without a file name");
        }
        const bool relative = std::strcmp(CPLGetXMLValue(element, "relativeToVRT", "0"), "0") != 0;
        const bool colon = named.find(':') != std::string::npos;  // an address, a subdataset, a connection
        if (colon || named.front() == '<' || named.compare(0, 4, "/vsi") == 0) {
            throw refused(m_where, fmt::format("a VRT source that is no plain local file ({})", printable(named)));
        }
        const fs::path source = relative ? vrt.parent_path() / named : fs::path(named);
        if (!m_seen.insert(source.string()).second) {
            return;
        }
        std::error_code fault;
        if (!fs::exists(source, fault)) {
            m_missing.push_back(source.string());
            return;
        }
        require_readable(m_where + ", source", source.string(), FileKind::raster);
        const std::string driver = GdalSession::start().driver_that_matches(source.string());
        if (driver == "VRT") {
            m_seen.erase(source.string());  // it may stand in several VRTs; a cycle is found by the open ones
            check(source);
        } else if (std::find(m_drivers.begin(), m_drivers.end(), driver) == m_drivers.end()) {
            throw refused(m_where, fmt::format("a VRT source of the format {} ({})",
                                               driver.empty() ? "unknown to this program" : driver, printable(named)));
        }
    }

    std::string m_where;
    const std::vector<std::string>& m_drivers;
    std::vector<fs::path> m_open;  // the VRTs that we are inside of
    std::map<fs::path, std::size_t> m_checked;
    std::set<std::string> m_seen;
    std::vector<std::string> m_missing;
};

}  // namespace

void check_vrt(const std::string& where, const std::string& path, const std::vector<std::string>& drivers) {
    if (GdalSession::start().driver_that_matches(path) != "VRT") {
        return;
    }
    Checker checker(where, drivers);
    checker.check(path);
    checker.report_missing();
}

}  // namespace eaveshed
