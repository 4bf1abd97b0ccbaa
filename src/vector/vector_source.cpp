#include "eaveshed/vector/vector_source.hpp"

#include <algorithm>
#include <filesystem>
#include <optional>
#include <utility>

#include <fmt/format.h>
#include <ogrsf_frmts.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/vector/field_text.hpp"
#include "eaveshed/vector/vector_dataset.hpp"
#include "eaveshed/words/wording.hpp"
#include "layer_place.hpp"
#include "layer_reader.hpp"
#include "point_columns.hpp"

namespace eaveshed {

namespace {

constexpr int kNullField = -1;  // a field that was not asked for
constexpr int kFidField = -2;   // the name of the layer's own key

}  // namespace

struct VectorSource::Impl {
    explicit Impl(LayerReader opened) : reader(std::move(opened)) {}

    LayerReader reader;
    VectorInfo info;
    std::vector<int> fields;             // indices in the layer, or one of the two above
    bool skips = false;                  // the fields that nobody wants
    std::optional<PointColumns> points;  // where no geometry tells the places

    void find_fields(const std::vector<std::string>& names);
    void skip_other_fields();
    void set_filter(const std::string& where_filter, GeometryNeed need);
    void count();
    void require_possible_count() const;
    void fill(Feature& feature, const OGRFeature& raw) const;
};

void VectorSource::Impl::find_fields(const std::vector<std::string>& names) {
    OGRLayer& layer = reader.layer();
    const std::vector<std::string>& present = info.fields;
    const auto index_of = [&](const std::string& name) {
        if (const auto exact = std::find(present.begin(), present.end(), name); exact != present.end()) {
            return static_cast<int>(exact - present.begin());
        }
        if (!name.empty() && name == layer.GetFIDColumn()) {
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
    fields.clear();
    for (const std::string& name : names) {
        fields.push_back(name.empty() ? kNullField : index_of(name));
    }
}

// Saves the reader the trouble of fields that nobody wants.
void VectorSource::Impl::skip_other_fields() {
    if (!skips) {
        return;
    }
    OGRLayer& layer = reader.layer();
    const OGRFeatureDefn& definition = *layer.GetLayerDefn();
    std::vector<const char*> ignored;
    for (int i = 0; i < definition.GetFieldCount(); ++i) {
        const bool wanted = std::find(fields.begin(), fields.end(), i) != fields.end();
        if (!wanted && !(points && (points->x == i || points->y == i))) {
            ignored.push_back(definition.GetFieldDefn(i)->GetNameRef());
        }
    }
    ignored.push_back("OGR_STYLE");
    ignored.push_back(nullptr);
    const GdalErrors quiet;  // a driver that cannot skip reads all
    layer.SetIgnoredFields(ignored.data());
}

void VectorSource::Impl::set_filter(const std::string& where_filter, GeometryNeed need) {
    reader.rewind();
    if (!reader.next()) {
        if (need == GeometryNeed::any && where_filter.empty()) {
            return;  // a table may wait for its first row
        }
        throw input_error(info.where, "a layer without features", "at least one feature", "name another layer or file");
    }
    if (where_filter.empty()) {
        return;
    }
    if (!reader.first_where(where_filter)) {
        throw input_error(info.where,
                          fmt::format("0 features that meet where = \"{}\"", printable(where_filter, kMessageBytes)),
                          "at least one feature", "correct the filter: text values stand between single quotes");
    }
}

// By the layer's own book-keeping where it has any; by reading where that cannot be true.
void VectorSource::Impl::count() {
    const std::string said = reader.guarded([&](OGRLayer& layer) { info.feature_count = layer.GetFeatureCount(TRUE); });
    if (info.feature_count > 0 && said.empty()) {
        return;
    }
    info.feature_count = 0;
    reader.rewind();
    while (reader.next()) {
        ++info.feature_count;
    }
}

// A count that the file has no room for: memory would be asked for by it, and progress told by it.
void VectorSource::Impl::require_possible_count() const {
    constexpr std::uintmax_t kLeastBytes = 4;  // of a feature in any format
    std::error_code fault;
    const std::uintmax_t size = std::filesystem::file_size(info.file, fault);
    if (!fault && static_cast<std::uintmax_t>(info.feature_count) > size / kLeastBytes) {
        throw input_error(info.where,
                          fmt::format("{} features declared in a file of {} bytes", info.feature_count, size),
                          "a count that the file can hold",
                          "the file's own count is wrong: copy the layer into a new file, or get it again");
    }
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
    auto impl = std::make_unique<Impl>(
        LayerReader(VectorDataset::open(setting, from.source, findings), from.layer, need, findings));
    LayerReader& reader = impl->reader;
    VectorInfo& info = impl->info;
    info.where = reader.where();
    info.file = from.source;
    info.layer = reader.layer().GetName();
    impl->info.fields = field_names(impl->reader.layer());
    impl->find_fields(fields);
    if (reader.has_point_columns(need)) {
        impl->points = find_point_columns(info.fields);
    }
    LayerPlace place =
        impl->points ? find_place(reader, from.source, *impl->points, findings) : find_place(reader, crs_duty(setting));
    info.crs = std::move(place.crs);
    info.extent = place.extent;
    // Elsewhere the filter is worked out on the features that were read.
    impl->skips = where_filter.empty() || reader.driver() == "GPKG";
    impl->skip_other_fields();
    impl->set_filter(where_filter, need);
    impl->count();
    impl->require_possible_count();
    reader.rewind();
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
    const OGRFeatureUniquePtr raw = m_impl->reader.next();
    if (!raw) {
        return false;
    }
    m_impl->fill(feature, *raw);
    if (m_impl->points) {
        const auto point = m_impl->points->place(*raw);
        feature.wkb = point ? wkb_of(*point) : std::vector<unsigned char>();
        return true;
    }
    const GdalErrors quiet;  // a geometry that cannot be written is a feature without one
    write_geometry(feature.wkb, std::unique_ptr<OGRGeometry>(raw->StealGeometry()));
    return true;
}

void VectorSource::begin(const std::vector<std::string>& fields) {
    m_impl->find_fields(fields);
    m_impl->skip_other_fields();
    m_impl->reader.rewind();
}

}  // namespace eaveshed
