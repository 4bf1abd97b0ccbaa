#include "layer_place.hpp"

#include <cmath>
#include <cstdint>
#include <string>
#include <string_view>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/vector/field_text.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

// What longitudes and latitudes can be, in degrees; and, with room for other angular units, what they cannot.
constexpr Box kDegrees{-180.0, -90.0, 180.0, 90.0};
constexpr Box kAnyAngles{-400.0, -100.0, 400.0, 100.0};

bool within(const Box& inner, const Box& outer) {
    return inner.x_min >= outer.x_min && inner.x_max <= outer.x_max && inner.y_min >= outer.y_min &&
           inner.y_max <= outer.y_max;
}

// Empty for an envelope that is not finite.
Box box_of(const OGREnvelope& envelope) {
    const bool finite = std::isfinite(envelope.MinX) && std::isfinite(envelope.MaxX) && std::isfinite(envelope.MinY) &&
                        std::isfinite(envelope.MaxY);
    return finite ? Box{envelope.MinX, envelope.MinY, envelope.MaxX, envelope.MaxY} : Box{};
}

std::string box_text(const Box& box) {
    return fmt::format("x {} .. {}, y {} .. {}", real_text(box.x_min), real_text(box.x_max), real_text(box.y_min),
                       real_text(box.y_max));
}

Box extent_of(LayerReader& reader) {
    OGREnvelope envelope;
    OGRErr code = OGRERR_FAILURE;
    reader.guarded([&](OGRLayer& layer) { code = layer.GetExtent(&envelope, TRUE); });
    return code == OGRERR_NONE ? box_of(envelope) : Box{};
}

// GDAL's stand-ins for "the file does not say" in a GeoPackage (srs_id 0 and -1).
bool is_undefined(const OGRSpatialReference* srs) {
    const char* const name = srs == nullptr ? nullptr : srs->GetName();
    return name == nullptr || std::string_view(name).substr(0, 9) == "Undefined";
}

[[noreturn]] void report_no_crs(const LayerReader& reader, const Box& extent) {
    const std::string guess = within(extent, kDegrees) ? "degrees" : "metres or feet of a map projection";
    const bool by_side_file = reader.driver() == "CSV" || reader.driver() == "ESRI Shapefile";
    throw input_error(reader.where(),
                      "no coordinate reference system" +
                          (extent.empty() ? std::string() : fmt::format("; the coordinates look like {}", guess)),
                      "a layer that says which one it is in",
                      by_side_file ? "put a .prj file with its WKT beside it"
                                   : "write it into the file, e.g. ogr2ogr -a_srs EPSG:CODE NEW.gpkg OLD");
}

// What the features themselves say.
struct Seen {
    std::int64_t features = 0;  // with a finite geometry
    std::int64_t in_degrees = 0;
    std::int64_t in_any_angles = 0;
    Box extent;
};

Seen look_at_all(LayerReader& reader) {
    Seen seen;
    reader.rewind();
    while (const OGRFeatureUniquePtr feature = reader.next()) {
        const OGRGeometry* const geometry = feature->GetGeometryRef();
        if (geometry == nullptr || geometry->IsEmpty() == TRUE) {
            continue;
        }
        OGREnvelope envelope;
        geometry->getEnvelope(&envelope);
        const Box box = box_of(envelope);
        if (!box.empty()) {
            ++seen.features;
            seen.in_degrees += within(box, kDegrees) ? 1 : 0;
            seen.in_any_angles += within(box, kAnyAngles) ? 1 : 0;
            seen.extent.add(box);
        }
    }
    return seen;
}

// A header that looks wrong raises the suspicion, the features themselves decide: headers are often stale.
void check_coordinates(LayerReader& reader, LayerPlace& place) {
    const bool geographic = place.crs.is_geographic();
    if (!place.extent.empty() && within(place.extent, kDegrees) == geographic) {
        return;
    }
    const Seen seen = look_at_all(reader);
    place.extent = seen.extent;
    if (seen.features == 0 || (geographic ? seen.in_any_angles > 0 : seen.in_degrees < seen.features)) {
        return;
    }
    throw input_error(
        reader.where(),
        fmt::format("coordinates ({}) that do not fit {}", box_text(seen.extent), printable(place.crs.name())),
        geographic ? "degrees of longitude and latitude" : "coordinates in the units of that projection",
        geographic ? "state the projection that the coordinates are in"
                   : "they look like degrees: state the geographic system they are in, e.g. EPSG:4326");
}

}  // namespace

LayerPlace find_place(LayerReader& reader, CrsDuty duty) {
    LayerPlace place;
    place.extent = extent_of(reader);
    const OGRSpatialReference* const srs = reader.layer().GetSpatialRef();
    if (!is_undefined(srs)) {
        place.crs = crs_from_handle(srs);
    }
    if (duty == CrsDuty::as_footprints) {
        return place;
    }
    if (!place.crs.given()) {
        report_no_crs(reader, place.extent);
    }
    if (place.crs.is_local()) {
        throw input_error(reader.where(), "the local coordinate reference system " + printable(place.crs.name()),
                          "one with a known place on the earth", "transform the layer first");
    }
    check_coordinates(reader, place);
    return place;
}

}  // namespace eaveshed
