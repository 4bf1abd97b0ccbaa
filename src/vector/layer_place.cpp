#include "layer_place.hpp"

#include <cmath>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
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

[[noreturn]] void report_misfit(const std::string& where, const Box& extent, const Crs& crs) {
    const bool geographic = crs.is_geographic();
    throw input_error(
        where, fmt::format("coordinates ({}) that do not fit {}", box_text(extent), printable(crs.name())),
        geographic ? "degrees of longitude and latitude" : "coordinates in the units of that projection",
        geographic ? "state the projection that the coordinates are in: write it into the file, e.g. ogr2ogr -a_srs "
                     "EPSG:CODE NEW.gpkg OLD"
                   : "they look like degrees: state the geographic system they are in, e.g. EPSG:4326");
}

// Of places that were all looked at.
void check_fit(const std::string& where, const LayerPlace& place) {
    const bool fits = place.crs.is_geographic() ? within(place.extent, kAnyAngles) : !within(place.extent, kDegrees);
    if (!fits) {
        report_misfit(where, place.extent, place.crs);
    }
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
    report_misfit(reader.where(), seen.extent, place.crs);
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

namespace {

// The text of the .prj file beside a table; empty where there is none.
std::string prj_text(const std::string& path) {
    std::ifstream file(std::filesystem::path(path).replace_extension(".prj"), std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

}  // namespace

LayerPlace find_place(LayerReader& reader, const std::string& path, const PointColumns& columns, Findings& findings) {
    LayerPlace place;
    std::uint64_t rows = 0;
    std::uint64_t without = 0;
    std::uint64_t first_without = 0;
    reader.rewind();
    while (const OGRFeatureUniquePtr feature = reader.next()) {
        ++rows;
        if (const auto point = columns.place(*feature)) {
            place.extent.add(*point);
        } else if (without++ == 0) {
            first_without = rows;
        }
    }
    if (rows > 0 && without == rows) {
        throw input_error(reader.where(), "no place in any row", "two numbers in each, without signs between thousands",
                          "look at the columns of the places");
    }
    if (without > 0) {
        findings.warn({reader.where(),
                       fmt::format("{} without a place, the first is row {}", counted(without, "row"), first_without),
                       "two numbers in each, without signs between thousands", "mend them: they are not used"});
    }
    if (const std::string wkt = prj_text(path); !wkt.empty()) {
        place.crs = crs_from_text(wkt, reader.where());
    } else if (columns.in_degrees) {
        place.crs = crs_from_text("EPSG:4326", reader.where());
        findings.note(
            {reader.where(), "longitudes and latitudes without a .prj file", "", "they are taken for WGS 84"});
    }
    if (place.crs.given()) {
        check_fit(reader.where(), place);
    }
    return place;
}

}  // namespace eaveshed
