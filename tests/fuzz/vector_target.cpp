// Layers of features in every format that is read: the first byte says under which name the rest is given, of a
// Shapefile the parts stand one behind the other. Features have as many values as were asked for, all of valid text,
// and a second reading gives the same.
#include <algorithm>
#include <array>

#include "eaveshed/geometry/wkb.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/vector/vector_source.hpp"
#include "eaveshed/words/wording.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {

namespace {

constexpr std::array kNames{"a.gpkg", "a.geojson", "a.csv", "a.fgb"};
constexpr std::size_t kMostFeatures = 200;

std::vector<Feature> some_features(VectorSource& source, const std::vector<std::string>& fields) {
    std::vector<Feature> features;
    source.begin(fields);
    for (Feature feature; features.size() < kMostFeatures && source.next(feature);) {
        require(feature.values.size() == fields.size(), "another number of values than of fields");
        for (const auto& value : feature.values) {
            std::string text = value.value_or("");
            require(!replace_invalid_utf8(text), "a value that is no valid text");
        }
        require(feature.wkb.empty() || wkb_polygons(feature.wkb).has_value(), "a geometry that is no WKB");
        features.push_back(feature);
    }
    return features;
}

bool same(const Feature& a, const Feature& b) {
    return a.fid == b.fid && a.wkb == b.wkb && a.values == b.values && a.text_replaced == b.text_replaced;
}

void read_twice(const std::string& path) {
    Findings findings;
    accepts([&] {
        VectorSource source = VectorSource::open("footprints", {path, ""}, {}, "", findings);
        const std::vector<std::string> fields = source.info().fields;
        const std::vector<Feature> once = some_features(source, fields);
        const std::vector<Feature> twice = some_features(source, fields);
        require(std::equal(once.begin(), once.end(), twice.begin(), twice.end(), same),
                "another layer the second time");
    });
}

// Takes what stands behind its length of two bytes, the lower one first.
Bytes take_part(Bytes& bytes) {
    const std::size_t low = take_byte(bytes);
    const std::size_t length = std::min(low + 256U * take_byte(bytes), bytes.size());
    const Bytes part = bytes.first(length);
    bytes = bytes.subspan(length);
    return part;
}

}  // namespace

void fuzz_vector(Bytes bytes) {
    const char* const name = kNames.at(take_byte(bytes) % kNames.size());
    read_twice(scratch_file(name, bytes));
}

// The shapes and their index, each behind its length; what is left is the table.
void fuzz_shapefile(Bytes bytes) {
    const std::string path = scratch_file("s.shp", take_part(bytes));
    (void)scratch_file("s.shx", take_part(bytes));
    (void)scratch_file("s.dbf", bytes);
    static const std::string prj = crs_from_text("EPSG:32610", "fuzz").wkt();
    (void)scratch_file("s.prj", bytes_of(prj));
    read_twice(path);
}

}  // namespace eaveshed::fuzz
