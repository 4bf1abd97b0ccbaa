#include "eaveshed/outside/crs.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <mutex>
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

}  // namespace

struct Crs::Data {
    explicit Data(OGRSpatialReference given) : srs(std::move(given)) {
        name = name_of(srs);
        wkt = wkt_of(srs);
        ellipsoid = ellipsoid_of(srs);
        geographic = srs.IsGeographic() != 0;
        local = srs.IsLocal() != 0;
        metres_per_unit = geographic ? 0.0 : srs.GetLinearUnits();
    }

    OGRSpatialReference srs;
    std::string name;
    std::string wkt;
    Ellipsoid ellipsoid;
    bool geographic = false;
    bool local = false;
    double metres_per_unit = 0.0;
};

Crs Crs::from_handle(const OGRSpatialReference* srs) {
    if (srs == nullptr || srs->IsEmpty()) {
        return {};
    }
    GdalSession::start();
    const GdalErrors quiet;
    OGRSpatialReference copy(*srs);
    copy.StripVertical();
    copy.DemoteTo2D(nullptr);
    copy.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    Crs crs;
    crs.m_data = std::make_shared<const Data>(std::move(copy));
    return crs;
}

namespace {

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

Crs Crs::from_text(const std::string& text, const std::string& where) {
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
    Crs crs = from_handle(&srs);
    if (!crs.given() || (!crs.is_geographic() && srs.IsProjected() == 0 && !crs.is_local())) {
        throw input_error(where, fmt::format("\"{}\", which has no horizontal coordinates", srs.GetName()),
                          "a geographic or projected coordinate reference system", "for example \"EPSG:32610\"");
    }
    return crs;
}

bool Crs::is_geographic() const {
    return m_data->geographic;
}
bool Crs::is_local() const {
    return m_data->local;
}
double Crs::metres_per_unit() const {
    return m_data->metres_per_unit;
}
Ellipsoid Crs::ellipsoid() const {
    return m_data->ellipsoid;
}
std::string Crs::name() const {
    return given() ? m_data->name : "no CRS";
}
std::string Crs::wkt() const {
    return m_data->wkt;
}
const OGRSpatialReference* Crs::handle() const {
    return given() ? &m_data->srs : nullptr;
}

Crs Crs::geographic() const {
    if (m_data->geographic) {
        return *this;
    }
    const std::lock_guard lock(srs_mutex());
    OGRSpatialReference* base = m_data->srs.CloneGeogCS();
    Crs crs = from_handle(base);
    if (base != nullptr) {
        base->Release();
    }
    return crs;
}

bool Crs::same_as(const Crs& other) const {
    if (m_data == other.m_data) {
        return true;
    }
    if (!given() || !other.given()) {
        return false;
    }
    if (m_data->wkt == other.m_data->wkt) {
        return true;
    }
    const std::lock_guard lock(srs_mutex());
    // Both have x east and y north here, whatever order their authorities define.
    const std::array<const char*, 4> options{"IGNORE_DATA_AXIS_TO_SRS_AXIS_MAPPING=YES",
                                             "CRITERION=EQUIVALENT_EXCEPT_AXIS_ORDER_GEOGCRS",
                                             "IGNORE_COORDINATE_EPOCH=YES", nullptr};
    const GdalErrors quiet;
    return m_data->srs.IsSame(&other.m_data->srs, options.data()) != 0;
}

struct Transform::Impl {
    std::unique_ptr<OGRCoordinateTransformation> operation;  // null: identity

    // In place; false when any fails. The buffers are kept from call to call.
    bool run(std::vector<double>& x, std::vector<double>& y) {
        flags.assign(x.size(), FALSE);
        const GdalErrors quiet;
        operation->Transform(static_cast<int>(x.size()), x.data(), y.data(), nullptr, flags.data());
        for (std::size_t i = 0; i < x.size(); ++i) {
            if (flags[i] == FALSE || !std::isfinite(x[i]) || !std::isfinite(y[i])) {
                return false;
            }
        }
        return true;
    }
    std::vector<double> xs;
    std::vector<double> ys;
    std::vector<int> flags;
};

Transform::Transform(const Crs& from, const Crs& to, const std::string& where) : m_impl(std::make_unique<Impl>()) {
    if (!from.given() || !to.given()) {
        internal_error("a transformation from or to no CRS");
    }
    if (from.same_as(to)) {
        return;
    }
    const GdalErrors errors;
    const std::lock_guard lock(srs_mutex());
    const bool apart = from.is_local() || to.is_local();
    if (!apart) {
        m_impl->operation.reset(OGRCreateCoordinateTransformation(from.handle(), to.handle()));
    }
    if (m_impl->operation == nullptr) {
        const std::string said = errors.text();
        throw input_error(
            where,
            fmt::format("no way from {} to {}{}", from.name(), to.name(),
                        apart ? ": a local CRS is tied to no other" : (said.empty() ? "" : " (" + said + ")")),
            "two coordinate reference systems between which PROJ can transform",
            "give the layers known coordinate reference systems");
    }
    m_impl->operation->SetEmitErrors(false);
}

Transform::~Transform() = default;
Transform::Transform(Transform&&) noexcept = default;
Transform& Transform::operator=(Transform&&) noexcept = default;

bool Transform::identity() const {
    return m_impl->operation == nullptr;
}

std::optional<Point> Transform::operator()(Point point) const {
    std::vector<Point> one{point};
    if (!apply(one)) {
        return std::nullopt;
    }
    return one.front();
}

bool Transform::apply(std::vector<Point>& points) const {
    const auto finite = [](Point p) { return std::isfinite(p.x) && std::isfinite(p.y); };
    if (identity()) {
        return std::all_of(points.begin(), points.end(), finite);
    }
    std::vector<double>& xs = m_impl->xs;
    std::vector<double>& ys = m_impl->ys;
    xs.clear();
    ys.clear();
    for (const Point point : points) {
        xs.push_back(point.x);
        ys.push_back(point.y);
    }
    if (!m_impl->run(xs, ys)) {
        return false;
    }
    for (std::size_t i = 0; i < points.size(); ++i) {
        points[i] = {xs[i], ys[i]};
    }
    return true;
}

std::optional<MultiPolygon> Transform::operator()(const MultiPolygon& outline) const {
    std::vector<Point> points;
    (void)mapped(outline, [&](Point point) {
        points.push_back(point);
        return point;
    });
    if (!apply(points)) {
        return std::nullopt;
    }
    auto next = points.begin();
    return mapped(outline, [&](Point /*point*/) { return *next++; });
}

std::optional<Box> Transform::operator()(const Box& box) const {
    if (box.empty() || identity()) {
        return box;
    }
    // What a bent side bulges between two of its points is 1 / kSteps^2 of its whole bulge: the growth covers it.
    constexpr int kSteps = 32;
    constexpr double kGrowth = 1e-3;
    std::vector<Point> points;
    for (int i = 0; i <= kSteps; ++i) {
        const double share = static_cast<double>(i) / kSteps;
        const double x = box.x_min + share * (box.x_max - box.x_min);
        const double y = box.y_min + share * (box.y_max - box.y_min);
        points.insert(points.end(), {{x, box.y_min}, {x, box.y_max}, {box.x_min, y}, {box.x_max, y}});
    }
    if (!apply(points)) {
        return std::nullopt;
    }
    Box out;
    for (const Point point : points) {
        out.add(point);
    }
    return out.grown(kGrowth * (out.x_max - out.x_min), kGrowth * (out.y_max - out.y_min));
}

}  // namespace eaveshed
