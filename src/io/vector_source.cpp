#include "eaveshed/io/vector_source.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <string_view>
#include <utility>

#include <fmt/format.h>
#include <ogrsf_frmts.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/io/field_text.hpp"
#include "eaveshed/io/vector_dataset.hpp"
#include "eaveshed/io/wording.hpp"

namespace eaveshed::io {

namespace {

constexpr std::size_t kMessageBytes = 500;
constexpr int kNullField = -1;  // a field that was not asked for
constexpr int kFidField = -2;   // the name of the layer's own key

// What longitudes and latitudes can be, in degrees; and, with room for other angular units, what they cannot.
constexpr Box kDegrees{-180.0, -90.0, 180.0, 90.0};
constexpr Box kAnyAngles{-400.0, -100.0, 400.0, 100.0};

bool within(const Box& inner, const Box& outer) {
    return inner.x_min >= outer.x_min && inner.x_max <= outer.x_max && inner.y_min >= outer.y_min &&
           inner.y_max <= outer.y_max;
}

Box box_of(const OGREnvelope& envelope) {
    return {envelope.MinX, envelope.MinY, envelope.MaxX, envelope.MaxY};
}

std::string box_text(const Box& box) {
    return fmt::format("x {} .. {}, y {} .. {}", real_text(box.x_min), real_text(box.x_max), real_text(box.y_min),
                       real_text(box.y_max));
}

// GDAL's stand-ins for "the file does not say" in a GeoPackage (srs_id 0 and -1).
bool is_undefined(const OGRSpatialReference* srs) {
    const char* const name = srs == nullptr ? nullptr : srs->GetName();
    return name == nullptr || std::string_view(name).substr(0, 9) == "Undefined";
}

}  // namespace

struct VectorSource::Impl {
    explicit Impl(VectorDataset opened) : dataset(std::move(opened)) {}

    VectorDataset dataset;
    OGRLayer* layer = nullptr;
    VectorInfo info;
    std::vector<int> fields;  // indices in the layer, or one of the two above
    bool needs_geometry = true;
    std::int64_t last_fid = -1;

    [[nodiscard]] OGRFeatureUniquePtr next_raw();
    void rewind();
    void find_fields(const std::vector<std::string>& names);
    void skip_other_fields();
    void set_filter(const std::string& where_filter);
    void count();
    void find_extent();
    void find_crs(GeometryNeed need);
    void check_coordinates();
    [[nodiscard]] bool every_feature(const Box& box, bool wanted_within);
    void fill(Feature& feature, const OGRFeature& raw) const;
    [[noreturn]] void report_read_error(const std::string& said) const;
};

void VectorSource::Impl::report_read_error(const std::string& said) const {
    if (dataset.ran_out_of_time()) {
        throw working_error(info.where, "a view or filter that gave no row within 60 seconds", "a table",
                            "save what the view shows as a table");
    }
    const std::string after = last_fid < 0 ? "at the first feature" : fmt::format("after feature {}", last_fid);
    if (said.find("database is locked") != std::string::npos) {
        throw Error(Fault::passing, {info.where, "a file locked by another program", "a file nobody writes to",
                                     "close the program that edits it and run again"});
    }
    throw working_error(info.where, fmt::format("a read error {}: {}", after, printable(said, kMessageBytes)), "",
                        "restore the file from a backup, or repair it");
}

OGRFeatureUniquePtr VectorSource::Impl::next_raw() {
    const GdalErrors errors;
    dataset.restart_watch();
    OGRFeatureUniquePtr raw(layer->GetNextFeature());
    if (!raw && errors.failures() > 0) {
        report_read_error(errors.text());
    }
    if (raw) {
        last_fid = raw->GetFID();
    }
    return raw;
}

void VectorSource::Impl::rewind() {
    const GdalErrors errors;
    last_fid = -1;
    dataset.restart_watch();
    layer->ResetReading();
}

void VectorSource::Impl::find_fields(const std::vector<std::string>& names) {
    const OGRFeatureDefn& definition = *layer->GetLayerDefn();
    std::vector<std::string> present;
    for (int i = 0; i < definition.GetFieldCount(); ++i) {
        present.emplace_back(definition.GetFieldDefn(i)->GetNameRef());
    }
    const auto index_of = [&](const std::string& name) {
        if (const auto exact = std::find(present.begin(), present.end(), name); exact != present.end()) {
            return static_cast<int>(exact - present.begin());
        }
        if (!name.empty() && name == layer->GetFIDColumn()) {
            return kFidField;
        }
        const auto alike = [&name](const std::string& other) { return lower_case(other) == lower_case(name); };
        if (std::count_if(present.begin(), present.end(), alike) == 1) {
            return static_cast<int>(std::find_if(present.begin(), present.end(), alike) - present.begin());
        }
        throw input_error(info.where, fmt::format("no field '{}'", printable(name)),
                          "one of the fields " + listed(present),
                          did_you_mean(name, present, "name one of these or leave the setting out"));
    };
    for (const std::string& name : names) {
        fields.push_back(name.empty() ? kNullField : index_of(name));
    }
}

// Saves the reader the trouble of fields that nobody wants.
void VectorSource::Impl::skip_other_fields() {
    const OGRFeatureDefn& definition = *layer->GetLayerDefn();
    std::vector<const char*> ignored;
    for (int i = 0; i < definition.GetFieldCount(); ++i) {
        if (std::find(fields.begin(), fields.end(), i) == fields.end()) {
            ignored.push_back(definition.GetFieldDefn(i)->GetNameRef());
        }
    }
    ignored.push_back("OGR_STYLE");
    ignored.push_back(nullptr);
    const GdalErrors quiet;  // a driver that cannot skip reads all
    layer->SetIgnoredFields(ignored.data());
}

void VectorSource::Impl::set_filter(const std::string& where_filter) {
    rewind();
    if (!next_raw()) {
        throw input_error(info.where, "a layer without features", "at least one feature", "name another layer or file");
    }
    if (where_filter.empty()) {
        return;
    }
    const GdalErrors errors;
    dataset.restart_watch();
    const OGRErr code = layer->SetAttributeFilter(where_filter.c_str());
    OGRFeatureUniquePtr first;
    if (code == OGRERR_NONE) {
        layer->ResetReading();
        first.reset(layer->GetNextFeature());
    }
    const std::string filter = printable(where_filter, kMessageBytes);
    if (dataset.ran_out_of_time()) {
        report_read_error({});
    }
    if (code != OGRERR_NONE || (!first && errors.failures() > 0)) {
        throw input_error(info.where,
                          fmt::format("a filter that cannot be used, where = \"{}\": {}", filter,
                                      printable(errors.text(), kMessageBytes)),
                          "a condition on the layer's fields, as in SQL", "correct it");
    }
    if (!first) {
        throw input_error(info.where, "0 features that meet where = \"" + filter + "\"", "at least one feature",
                          "correct the filter: text values stand between single quotes");
    }
}

// By the layer's own book-keeping where it has any; by reading where that cannot be true.
void VectorSource::Impl::count() {
    const GdalErrors errors;
    dataset.restart_watch();
    info.feature_count = layer->GetFeatureCount(TRUE);
    if (dataset.ran_out_of_time()) {
        report_read_error({});
    }
    if (info.feature_count <= 0 || errors.failures() > 0) {
        info.feature_count = 0;
        rewind();
        while (next_raw()) {
            ++info.feature_count;
        }
    }
}

void VectorSource::Impl::find_extent() {
    const GdalErrors errors;
    OGREnvelope envelope;
    dataset.restart_watch();
    if (layer->GetExtent(&envelope, TRUE) == OGRERR_NONE && std::isfinite(envelope.MinX + envelope.MaxX) &&
        std::isfinite(envelope.MinY + envelope.MaxY)) {
        info.extent = box_of(envelope);
    }
    if (dataset.ran_out_of_time()) {
        report_read_error({});
    }
}

void VectorSource::Impl::find_crs(GeometryNeed need) {
    const OGRSpatialReference* const srs = layer->GetSpatialRef();
    if (!is_undefined(srs)) {
        info.crs = Crs::from_handle(srs);
    }
    if (need == GeometryNeed::any) {
        return;
    }
    if (!info.crs.given()) {
        const std::string guess = within(info.extent, kDegrees) ? "degrees" : "metres or feet of a map projection";
        const bool by_side_file = dataset.driver() == "CSV" || dataset.driver() == "ESRI Shapefile";
        throw input_error(info.where, "no coordinate reference system; the coordinates look like " + guess,
                          "a layer that says which one it is in",
                          by_side_file ? "put a .prj file with its WKT beside it"
                                       : "write it into the file, e.g. ogr2ogr -a_srs EPSG:CODE NEW.gpkg OLD");
    }
    if (info.crs.is_local()) {
        throw input_error(info.where, "the local coordinate reference system " + printable(info.crs.name()),
                          "one with a known place on the earth", "transform the layer first");
    }
}

// Whether all features that have a geometry lie within the box, or all outside it. Stops at the first that does not.
bool VectorSource::Impl::every_feature(const Box& box, bool wanted_within) {
    bool any = false;
    rewind();
    while (const OGRFeatureUniquePtr raw = next_raw()) {
        const OGRGeometry* const geometry = raw->GetGeometryRef();
        if (geometry == nullptr || geometry->IsEmpty() == TRUE) {
            continue;
        }
        OGREnvelope envelope;
        geometry->getEnvelope(&envelope);
        if (within(box_of(envelope), box) != wanted_within) {
            return false;
        }
        any = true;
    }
    return any;
}

// The header's extent raises the suspicion, the features themselves decide: headers are often stale.
void VectorSource::Impl::check_coordinates() {
    const bool geographic = info.crs.is_geographic();
    const bool suspicious = info.extent.empty() || within(info.extent, kDegrees) != geographic;
    if (!suspicious || !(geographic ? every_feature(kAnyAngles, false) : every_feature(kDegrees, true))) {
        return;
    }
    throw input_error(info.where,
                      fmt::format("coordinates ({}) that do not fit {}", box_text(info.extent), printable(info.crs.name())),
                      geographic ? "degrees of longitude and latitude" : "coordinates in the units of that projection",
                      geographic ? "state the projection that the coordinates are in"
                                 : "they look like degrees: state the geographic system they are in, e.g. EPSG:4326");
}

void VectorSource::Impl::fill(Feature& feature, const OGRFeature& raw) const {
    feature.fid = raw.GetFID();
    feature.text_replaced = false;
    feature.values.resize(fields.size());
    for (std::size_t i = 0; i < fields.size(); ++i) {
        std::optional<std::string>& value = feature.values[i];
        if (fields[i] == kNullField) {
            value.reset();
        } else if (fields[i] == kFidField) {
            value = std::to_string(feature.fid);
        } else {
            if (!value) {
                value.emplace();
            }
            if (!field_text(raw, fields[i], *value)) {
                value.reset();
            } else if (replace_invalid_utf8(*value)) {
                feature.text_replaced = true;
            }
        }
    }
}

namespace {

void write_geometry(std::vector<unsigned char>& wkb, std::unique_ptr<OGRGeometry> geometry) {
    wkb.clear();
    if (!geometry) {
        return;
    }
    if (geometry->hasCurveGeometry() == TRUE) {
        geometry.reset(geometry->getLinearGeometry());
    }
    geometry->flattenTo2D();
    wkb.resize(geometry->WkbSize());
    if (geometry->exportToWkb(wkbNDR, wkb.data(), wkbVariantIso) != OGRERR_NONE) {
        wkb.clear();
    }
}

}  // namespace

VectorSource VectorSource::open(const std::string& setting, const LayerSource& from,
                                const std::vector<std::string>& fields, const std::string& where_filter,
                                Findings& findings) {
    const GeometryNeed need = geometry_need(setting);
    auto impl = std::make_unique<Impl>(VectorDataset::open(setting, from.source, findings));
    impl->layer = &impl->dataset.choose(from.layer, need);
    VectorInfo& info = impl->info;
    info.file = from.source;
    info.layer = impl->layer->GetName();
    info.where = fmt::format("{}, layer '{}'", setting_and_path(setting + ".source", from.source), printable(info.layer));
    impl->find_fields(fields);
    if (where_filter.empty() || impl->dataset.driver() == "GPKG") {
        impl->skip_other_fields();  // elsewhere the filter is worked out on the features that were read
    }
    impl->set_filter(where_filter);
    impl->find_extent();
    impl->find_crs(need);
    if (need != GeometryNeed::any) {
        impl->check_coordinates();
    }
    impl->count();
    impl->rewind();
    return VectorSource(std::move(impl));
}

VectorSource::VectorSource(std::unique_ptr<Impl> impl) : m_impl(std::move(impl)) {}
VectorSource::~VectorSource() = default;
VectorSource::VectorSource(VectorSource&&) noexcept = default;
VectorSource& VectorSource::operator=(VectorSource&&) noexcept = default;

const VectorInfo& VectorSource::info() const {
    return m_impl->info;
}

bool VectorSource::next(Feature& feature) {
    const OGRFeatureUniquePtr raw = m_impl->next_raw();
    if (!raw) {
        return false;
    }
    m_impl->fill(feature, *raw);
    const GdalErrors quiet;  // a geometry that cannot be written is a feature without one
    write_geometry(feature.wkb, std::unique_ptr<OGRGeometry>(raw->StealGeometry()));
    return true;
}

void VectorSource::rewind() {
    m_impl->rewind();
}

std::optional<double> number_from_text(const std::optional<std::string>& text) {
    if (!text) {
        return std::nullopt;
    }
    constexpr std::string_view kBlanks = " \t\r\n";
    const std::size_t first = text->find_first_not_of(kBlanks);
    if (first == std::string::npos) {
        return std::nullopt;
    }
    const char* const begin = text->data() + first;
    const char* const end = text->data() + text->find_last_not_of(kBlanks) + 1;
    double value = 0.0;
    const auto done = std::from_chars(begin, end, value);
    if (done.ec != std::errc() || done.ptr != end || !std::isfinite(value)) {
        return std::nullopt;
    }
    return value;
}

}  // namespace eaveshed::io
