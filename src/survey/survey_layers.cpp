#include "survey_layers.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <set>
#include <string_view>

#include "eaveshed/core/units.hpp"
#include "eaveshed/files/delimited_text.hpp"
#include "eaveshed/geometry/wkb.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/shape/ellipsoid.hpp"
#include "eaveshed/shape/measure.hpp"
#include "eaveshed/survey/survey.hpp"
#include "eaveshed/vector/vector_dataset.hpp"
#include "eaveshed/vector/vector_source.hpp"
#include "eaveshed/words/wording.hpp"
#include "place_seen.hpp"

namespace eaveshed {

namespace {

// What one field holds, value by value.
class FieldLook {
public:
    explicit FieldLook(std::string name) { m_seen.name = std::move(name); }

    void see(const std::optional<std::string>& value) {
        if (!value || value->find_first_not_of(" \t") == std::string::npos) {
            return;
        }
        ++m_seen.filled;
        if (m_all.insert(*value).second && m_seen.values.size() < FieldSeen::kMostValues) {
            m_seen.values.push_back(*value);
        }
        if (const auto number = number_from_text(value)) {
            see_number(*number);
        }
    }
    [[nodiscard]] FieldSeen seen() const {
        FieldSeen seen = m_seen;
        seen.different = m_all.size();
        return seen;
    }

private:
    void see_number(double number) {
        m_seen.least = m_seen.numbers == 0 ? number : std::min(m_seen.least, number);
        m_seen.most = m_seen.numbers == 0 ? number : std::max(m_seen.most, number);
        m_seen.whole = m_seen.whole && number == std::floor(number);
        ++m_seen.numbers;
    }

    FieldSeen m_seen;
    std::set<std::string> m_all;
};

// The kinds of geometry that came, and the areas of the polygons.
class GeometryLook {
public:
    explicit GeometryLook(const Crs& crs) : m_crs(crs) {}

    void see(const std::vector<unsigned char>& wkb) {
        if (wkb.empty()) {
            return;
        }
        if (const auto polygons = wkb_polygons(wkb); polygons && !polygons->outline.empty()) {
            ++m_counts[0];
            if (m_crs.given() && !m_crs.is_local()) {
                m_areas.push_back(area_m2(polygons->outline));
            }
        } else if (!wkb_lines(wkb).empty()) {
            ++m_counts[1];
        } else if (wkb_point(wkb)) {
            ++m_counts[2];
        }
    }
    [[nodiscard]] LayerShape2d shape() const {
        constexpr std::array kShapes{LayerShape2d::polygons, LayerShape2d::lines, LayerShape2d::points};
        const auto* const most = std::ranges::max_element(m_counts);
        return *most == 0 ? LayerShape2d::none : kShapes.at(static_cast<std::size_t>(most - m_counts.begin()));
    }
    [[nodiscard]] std::optional<double> median_area_m2() {
        if (m_areas.empty()) {
            return std::nullopt;
        }
        std::ranges::sort(m_areas);
        return m_areas[m_areas.size() / 2];
    }

private:
    // On the ground for a geographic or a local system; as large as the map says it is elsewhere.
    [[nodiscard]] double area_m2(const MultiPolygon& outline) const {
        return m_crs.is_geographic() ? std::abs(geodesic_area_m2(outline, m_crs.ellipsoid()))
                                     : planar_area(outline) * m_crs.metres_per_unit() * m_crs.metres_per_unit();
    }

    const Crs& m_crs;
    std::array<std::size_t, 3> m_counts{};
    std::vector<double> m_areas;
};

LayerSeen layer_seen(const std::string& setting, const std::string& path, const std::string& layer,
                     Findings& findings) {
    VectorSource source = VectorSource::open(setting, {.source = path, .layer = layer}, {}, "", findings);
    const VectorInfo& info = source.info();
    LayerSeen seen;
    seen.name = layer;
    seen.features = info.feature_count;
    seen.crs = info.crs.given() ? info.crs.name() : "";
    seen.degrees = in_degrees(info.crs, info.extent);
    std::vector<FieldLook> fields;
    for (const std::string& name : info.fields) {
        fields.emplace_back(name);
    }
    GeometryLook geometry(info.crs);
    source.begin(info.fields);
    Feature feature;
    while (seen.looked_at < kFeaturesLookedAt && source.next(feature)) {
        ++seen.looked_at;
        geometry.see(feature.wkb);
        for (std::size_t i = 0; i < fields.size(); ++i) {
            fields[i].see(feature.values[i]);
        }
    }
    seen.shape = geometry.shape();
    seen.typical_area_m2 = geometry.median_area_m2();
    for (const FieldLook& field : fields) {
        seen.fields.push_back(field.seen());
    }
    return seen;
}

// A table whose heading stands behind lines with #, which the tables of gauges may have and GDAL takes for the heading.
bool begins_with_remark(const std::string& path) {
    std::ifstream in(path);
    std::string line;
    while (std::getline(in, line)) {
        constexpr std::string_view kMark = "\xEF\xBB\xBF";  // a byte order mark
        const std::size_t from = line.starts_with(kMark) ? kMark.size() : 0;
        const std::size_t first = line.find_first_not_of(" \t\r", from);
        if (first != std::string::npos) {
            return line[first] == '#';
        }
    }
    return false;
}

LayerSeen table_seen(const std::string& path) {
    const DelimitedText table = read_delimited("check.new", path);
    LayerSeen seen;
    seen.name = std::filesystem::path(path).stem().string();
    seen.features = static_cast<std::int64_t>(table.rows.size()) - 1;
    std::vector<FieldLook> fields;
    for (const std::string& name : table.rows.front().cells) {
        fields.emplace_back(name);
    }
    for (std::size_t row = 1; row < table.rows.size() && seen.looked_at < kFeaturesLookedAt; ++row) {
        ++seen.looked_at;
        const auto& cells = table.rows[row].cells;
        for (std::size_t i = 0; i < std::min(fields.size(), cells.size()); ++i) {
            fields[i].see(cells[i]);
        }
    }
    for (const FieldLook& field : fields) {
        seen.fields.push_back(field.seen());
    }
    return seen;
}

}  // namespace

std::vector<LayerSeen> text_seen(const std::string& path) {
    return {table_seen(path)};
}

std::vector<LayerSeen> layers_seen(const std::string& path, Findings& findings) {
    if (lower_case(path).ends_with(".csv") && begins_with_remark(path)) {
        return text_seen(path);
    }
    // A spreadsheet is read as call lists are.
    const bool sheet = lower_case(path).ends_with(".xlsx");
    const std::string setting = sheet ? "contacts" : "check.new";
    const std::vector<std::string> names = VectorDataset::open(setting, path, findings).layer_names();
    std::vector<LayerSeen> layers;
    for (const std::string& name : names) {
        try {
            layers.push_back(layer_seen(setting, path, name, findings));
        } catch (const Error& error) {
            if (error.fault() != Fault::input || names.size() == 1) {
                throw;
            }
            findings.note(error.trouble());  // an empty layer beside others
        }
    }
    return layers;
}

}  // namespace eaveshed
