#include "eaveshed/outside/gdal_crs.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <memory>
#include <mutex>
#include <numbers>
#include <string_view>
#include <utility>

#include <cpl_conv.h>
#include <fmt/format.h>
#include <ogr_spatialref.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/outside/gdal_setup.hpp"

namespace eaveshed {

namespace {

// OGRSpatialReference works things out behind const calls; copies and comparisons of shared ones take turns.
std::mutex& srs_mutex() {
    static std::mutex mutex;
    return mutex;
}

std::string name_of(const OGRSpatialReference& srs) {
    const char* const authority = srs.GetAuthorityName(nullptr);
    const char* const code = srs.GetAuthorityCode(nullptr);
    const char* const name = srs.GetName();
    const std::string text = name != nullptr ? name : "unnamed CRS";
    return authority != nullptr && code != nullptr ? fmt::format("{}:{} ({})", authority, code, text) : text;
}

std::string wkt_of(const OGRSpatialReference& srs) {
    char* text = nullptr;
    const std::array<const char*, 2> options{"FORMAT=WKT2_2019", nullptr};
    srs.exportToWkt(&text, options.data());
    std::string wkt = text != nullptr ? text : "";
    CPLFree(text);
    return wkt;
}

Ellipsoid ellipsoid_of(const OGRSpatialReference& srs) {
    const double inverse = srs.GetInvFlattening();
    return {.semi_major_m = srs.GetSemiMajor(), .flattening = inverse > 0.0 ? 1.0 / inverse : 0.0};
}

// Of the geographic CRS; digits of a definition are no unit of their own.
double degrees_per_unit_of(const OGRSpatialReference& srs) {
    constexpr double kRadiansPerDegree = std::numbers::pi / 180.0;
    const double degrees = srs.GetAngularUnits() / kRadiansPerDegree;
    return std::abs(degrees - 1.0) < 1e-9 ? 1.0 : degrees;
}

CrsFacts facts_of(const OGRSpatialReference& srs) {
    const bool geographic = srs.IsGeographic() != 0;
    return {.name = name_of(srs),
            .wkt = wkt_of(srs),
            .ellipsoid = ellipsoid_of(srs),
            .geographic = geographic,
            .local = srs.IsLocal() != 0,
            .metres_per_unit = geographic ? 0.0 : srs.GetLinearUnits(),
            .degrees_per_unit = degrees_per_unit_of(srs)};
}

class GdalOperation final : public CoordinateOperation {
public:
    explicit GdalOperation(std::unique_ptr<OGRCoordinateTransformation> operation) : m_operation(std::move(operation)) {
        m_operation->SetEmitErrors(false);
    }

    bool apply(std::vector<double>& x, std::vector<double>& y) override {
        m_flags.assign(x.size(), FALSE);
        const GdalErrors quiet;
        m_operation->Transform(static_cast<int>(x.size()), x.data(), y.data(), nullptr, m_flags.data());
        for (std::size_t i = 0; i < x.size(); ++i) {
            if (m_flags[i] == FALSE || !std::isfinite(x[i]) || !std::isfinite(y[i])) {
                return false;
            }
        }
        return true;
    }

private:
    std::unique_ptr<OGRCoordinateTransformation> m_operation;
    std::vector<int> m_flags;  // kept from call to call
};

class GdalCrs final : public CrsModel {
public:
    explicit GdalCrs(OGRSpatialReference srs) : CrsModel(facts_of(srs)), m_srs(std::move(srs)) {}

    [[nodiscard]] const OGRSpatialReference& srs() const { return m_srs; }
    [[nodiscard]] Crs geographic() const override;
    [[nodiscard]] bool same_as(const CrsModel& other) const override;
    [[nodiscard]] std::unique_ptr<CoordinateOperation> way_to(const CrsModel& other,
                                                              const std::string& where) const override;

private:
    OGRSpatialReference m_srs;
};

Crs GdalCrs::geographic() const {
    const std::lock_guard lock(srs_mutex());
    OGRSpatialReference* base = m_srs.CloneGeogCS();
    Crs crs = crs_from_handle(base);
    if (base != nullptr) {
        base->Release();
    }
    return crs;
}

bool GdalCrs::same_as(const CrsModel& other) const {
    const auto* const known = dynamic_cast<const GdalCrs*>(&other);
    if (known == nullptr) {
        return false;
    }
    const std::lock_guard lock(srs_mutex());
    // Both have x east and y north here, whatever order their authorities define.
    const std::array<const char*, 4> options{"IGNORE_DATA_AXIS_TO_SRS_AXIS_MAPPING=YES",
                                             "CRITERION=EQUIVALENT_EXCEPT_AXIS_ORDER_GEOGCRS",
                                             "IGNORE_COORDINATE_EPOCH=YES", nullptr};
    const GdalErrors quiet;
    return m_srs.IsSame(&known->m_srs, options.data()) != 0;
}

std::unique_ptr<CoordinateOperation> GdalCrs::way_to(const CrsModel& other, const std::string& where) const {
    const auto* const known = dynamic_cast<const GdalCrs*>(&other);
    const GdalErrors errors;
    const std::lock_guard lock(srs_mutex());
    const bool apart = facts().local || other.facts().local || known == nullptr;
    std::unique_ptr<OGRCoordinateTransformation> operation;
    if (!apart) {
        operation.reset(OGRCreateCoordinateTransformation(&m_srs, &known->m_srs));
    }
    if (operation == nullptr) {
        const std::string said = errors.text();
        throw input_error(
            where,
            fmt::format("no way from {} to {}{}", facts().name, other.facts().name,
                        apart ? ": a local CRS is tied to no other" : (said.empty() ? "" : " (" + said + ")")),
            "two coordinate reference systems between which PROJ can transform",
            "give the layers known coordinate reference systems");
    }
    return std::make_unique<GdalOperation>(std::move(operation));
}

bool is_authority_code(const std::string& text) {
    const std::size_t colon = text.find(':');
    const auto plain = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_'; };
    const auto code = [&](char c) { return plain(c) || c == '.' || c == '-' || c == '+'; };
    return colon != std::string::npos && colon > 0 && colon + 1 < text.size() &&
           std::all_of(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(colon), plain) &&
           std::all_of(text.begin() + static_cast<std::ptrdiff_t>(colon) + 1, text.end(), code);
}

// KEYWORD[ ... ]
bool is_wkt(const std::string& text) {
    const std::size_t bracket = text.find('[');
    return bracket != std::string::npos && bracket > 0 && text.back() == ']' &&
           std::all_of(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(bracket),
                       [](char c) { return std::isupper(static_cast<unsigned char>(c)) != 0 || c == '_'; });
}

std::string trimmed(const std::string& text) {
    const char* const blanks = " \t\r\n";
    const std::size_t begin = text.find_first_not_of(blanks);
    return begin == std::string::npos ? "" : text.substr(begin, text.find_last_not_of(blanks) - begin + 1);
}

}  // namespace

Crs crs_from_handle(const OGRSpatialReference* srs) {
    if (srs == nullptr || srs->IsEmpty()) {
        return {};
    }
    GdalSession::start();
    const GdalErrors quiet;
    OGRSpatialReference copy(*srs);
    copy.StripVertical();
    copy.DemoteTo2D(nullptr);
    copy.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    return Crs(std::make_shared<const GdalCrs>(std::move(copy)));
}

Crs crs_from_text(const std::string& text, const std::string& where) {
    GdalSession::start();
    const std::string plain = trimmed(text);
    const bool json = !plain.empty() && plain.front() == '{' && plain.back() == '}';
    OGRSpatialReference srs;
    const GdalErrors errors;
    if (!(json || is_authority_code(plain) || is_wkt(plain)) ||
        srs.SetFromUserInput(plain.c_str(), OGRSpatialReference::SET_FROM_USER_INPUT_LIMITATIONS_get()) !=
            OGRERR_NONE) {
        constexpr std::size_t kShown = 60;
        const std::string shown = plain.size() > kShown ? plain.substr(0, kShown) + "..." : plain;
        const std::string said = errors.text();
        throw input_error(where, fmt::format("\"{}\"{}", shown, said.empty() ? said : " (" + said + ")"),
                          "a coordinate reference system as AUTHORITY:CODE, WKT or PROJJSON",
                          "for example \"EPSG:32610\"");
    }
    Crs crs = crs_from_handle(&srs);
    if (!crs.given() || (!crs.is_geographic() && srs.IsProjected() == 0 && !crs.is_local())) {
        throw input_error(where, fmt::format("\"{}\", which has no horizontal coordinates", srs.GetName()),
                          "a geographic or projected coordinate reference system", "for example \"EPSG:32610\"");
    }
    return crs;
}

Crs wgs84() {
    return crs_from_text("EPSG:4326", "WGS 84");
}

const OGRSpatialReference* gdal_handle(const Crs& crs) {
    const auto* const known = dynamic_cast<const GdalCrs*>(crs.model());
    return known != nullptr ? &known->srs() : nullptr;
}

}  // namespace eaveshed
