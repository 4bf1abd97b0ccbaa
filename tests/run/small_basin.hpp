// A basin of two dozen roofs on a slope, made in a second and changed piece by piece: what the tests of `run` ask of it
// is how its result changes.
#pragma once

#include <fmt/format.h>

#include <cmath>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "support/raster_file.hpp"
#include "support/temp_folder.hpp"
#include "support/vector_file.hpp"

namespace eaveshed {

inline constexpr const char* kBasinCrs = "EPSG:32610";
inline constexpr double kX0 = 500000.0;  // south-west corner
inline constexpr double kY0 = 4190000.0;
inline constexpr double kSideM = 1500.0;
inline constexpr int kYears = 12;

// No two cells have the same elevation, so nothing hangs on how ties are broken.
inline double ground_m(Point place) {
    const double x = place.x - kX0;
    const double y = place.y - kY0;
    return 120.0 + 0.0517 * x + 0.0193 * y + 2.3 * std::sin(x / 61.0) * std::cos(y / 47.0);
}

// Rain of a month, mm: wet winters, dry summers, no two years alike; a little more to the east.
inline double rain_mm(int step, Point place) {
    constexpr double kOfMonth[] = {110.0, 150.0, 160.0, 130.0, 105.0, 60.0, 25.0, 5.0, 1.0, 2.0, 12.0, 55.0};
    const int year = step / 12;
    return kOfMonth[step % 12] * (0.6 + 0.07 * ((year * 5) % 12)) * (1.0 + 1e-4 * (place.x - kX0));
}

struct SmallRoof {
    std::string id;
    Point corner;  // south-west, before it is turned
    double width_m = 14.0;
    double depth_m = 9.0;
    double turn_deg = 0.0;
    std::string material = "metal";
    std::string storeys = "1";
    std::string parcel = "";
};

inline MultiPolygon outline_of(const SmallRoof& roof) {
    const double angle = roof.turn_deg * M_PI / 180.0;
    const auto at = [&](double u, double v) {
        return Point{roof.corner.x + u * std::cos(angle) - v * std::sin(angle),
                     roof.corner.y + u * std::sin(angle) + v * std::cos(angle)};
    };
    return {{{{at(0, 0), at(roof.width_m, 0), at(roof.width_m, roof.depth_m), at(0, roof.depth_m), at(0, 0)}, {}}}};
}

inline std::string wkt_of(const MultiPolygon& outline) {
    std::string text;
    for (const Point& point : outline.parts.at(0).outer) {
        text += fmt::format("{}{:.17g} {:.17g}", text.empty() ? "" : ",", point.x, point.y);
    }
    return "POLYGON((" + text + "))";
}

inline std::vector<SmallRoof> small_roofs() {
    std::vector<SmallRoof> roofs;
    for (int i = 0; i < 24; ++i) {
        const Point corner{kX0 + 150.0 + 220.0 * (i % 6), kY0 + 200.0 + 310.0 * (i / 6)};
        SmallRoof roof{.id = fmt::format("R{:02}", i), .corner = corner};
        roof.width_m = 8.0 + i;
        roof.turn_deg = 11.0 * i;
        roof.material = i % 3 == 0 ? "tile" : "metal";
        roof.storeys = i % 4 == 0 ? "2" : "1";
        roofs.push_back(roof);
    }
    return roofs;
}

// How the basin is written. Each part may lie in a CRS of its own.
struct SmallBasin {
    std::vector<SmallRoof> roofs = small_roofs();
    std::string footprints_crs = kBasinCrs;
    std::string parcels_crs = kBasinCrs;  // empty: no parcels
    std::string terrain_crs = kBasinCrs;
    std::string rain_crs = kBasinCrs;
    double value_unit_m = 1.0;          // of an elevation in the file
    std::string band_unit = {};         // as the file says it
    std::string terrain_settings = {};  // lines under [terrain]
    std::string settings = {};          // more sections
    double cell_m = 5.0;
};

// A raster over the basin whose cells have the values of a function of the place in the basin's CRS.
inline testing::RasterSpec raster_over_basin(const std::string& crs, double cell_m, double margin_m, int bands,
                                             const std::function<double(int band, Point place)>& value) {
    const Crs basin = crs_from_text(kBasinCrs, "test");
    const Crs there = crs_from_text(crs, "test");
    const Transform to(basin, there, "test");
    const Transform back(there, basin, "test");
    const Box box = to(Box{kX0 - margin_m, kY0 - margin_m, kX0 + kSideM + margin_m, kY0 + kSideM + margin_m}).value();
    const double cell = there.is_geographic() ? cell_m / 111320.0 : cell_m / there.metres_per_unit();
    testing::RasterSpec spec;
    spec.crs = crs;
    spec.type = GDT_Float64;
    spec.cols = static_cast<int>(std::ceil((box.x_max - box.x_min) / cell));
    spec.rows = static_cast<int>(std::ceil((box.y_max - box.y_min) / cell));
    spec.transform = {box.x_min, cell, 0.0, box.y_max, 0.0, -cell};
    std::vector<Point> places;
    for (int row = 0; row < spec.rows; ++row) {
        for (int col = 0; col < spec.cols; ++col) {
            places.push_back({box.x_min + (col + 0.5) * cell, box.y_max - (row + 0.5) * cell});
        }
    }
    testing::check_written(back.apply(places), "raster places");
    for (int band = 0; band < bands; ++band) {
        std::vector<double>& values = spec.bands.emplace_back();
        for (const Point& place : places) {
            values.push_back(value(band, place));
        }
    }
    return spec;
}

inline testing::LayerToWrite layer_in(const std::string& name, const std::string& crs) {
    testing::LayerToWrite layer;
    layer.name = name;
    layer.crs = crs;
    return layer;
}

inline std::string wkt_in(const std::string& crs, const MultiPolygon& outline) {
    const Transform to(crs_from_text(kBasinCrs, "test"), crs_from_text(crs, "test"), "test");
    return wkt_of(to(outline).value());
}

inline const char* driver_for(const std::string& path) {
    return path.ends_with(".fgb") ? "FlatGeobuf" : "GPKG";
}

inline void write_footprints(const SmallBasin& basin, const std::string& path) {
    testing::LayerToWrite layer = layer_in("buildings", basin.footprints_crs);
    layer.fields = {{"id"}, {"mat"}, {"floors", OFTInteger}, {"apn"}};
    for (const SmallRoof& roof : basin.roofs) {
        layer.rows.push_back(
            {wkt_in(basin.footprints_crs, outline_of(roof)),
             {roof.id, roof.material, roof.storeys, roof.parcel.empty() ? std::nullopt : std::optional(roof.parcel)}});
    }
    testing::write_vector(driver_for(path), path, {layer});
}

// A parcel of 60 m about each even place of the standing roofs.
inline void write_parcels(const SmallBasin& basin, const std::string& path) {
    testing::LayerToWrite layer = layer_in("parcels", basin.parcels_crs);
    layer.fields = {{"apn"}, {"people", OFTReal}, {"garden", OFTReal}, {"source"}};
    int number = 0;
    for (const SmallRoof& roof : small_roofs()) {
        if (++number % 2 == 0) {
            const SmallRoof ground{
                .id = "", .corner = {roof.corner.x - 30.0, roof.corner.y - 30.0}, .width_m = 60.0, .depth_m = 60.0};
            layer.rows.push_back({wkt_in(basin.parcels_crs, outline_of(ground)),
                                  {"P" + roof.id, "3", "150", number % 4 == 0 ? "creek" : "deep_well"}});
        }
    }
    testing::write_vector(driver_for(path), path, {layer});
}

inline void write_terrain(const SmallBasin& basin, const std::string& path) {
    testing::RasterSpec spec = raster_over_basin(basin.terrain_crs, basin.cell_m, 0.0, 1, [&](int, Point place) {
        return ground_m(place) / basin.value_unit_m;
    });
    spec.unit = basin.band_unit;
    testing::write_raster(path, spec);
}

inline void write_rain(const SmallBasin& basin, const std::string& path) {
    testing::RasterSpec spec = raster_over_basin(basin.rain_crs, 1000.0, 1000.0, 12 * kYears, rain_mm);
    spec.unit = "mm";
    spec.options = {"INTERLEAVE=BAND"};
    testing::write_raster(path, spec);
}

// The words of the project; without a section where the basin has no such part.
inline std::string project_text(const SmallBasin& basin) {
    std::string text =
        "[footprints]\nsource = \"buildings.gpkg\"\nid = \"id\"\nmaterial = \"mat\"\nstoreys = "
        "\"floors\"\nparcel = \"apn\"\n[terrain]\nelevation = \"dem.tif\"\n" +
        basin.terrain_settings + "[rain]\nsource = \"rain.tif\"\nkind = \"monthly\"\nstart = \"1990-11\"\n";
    if (!basin.parcels_crs.empty()) {
        text +=
            "[parcels]\nsource = \"parcels.gpkg\"\nid = \"apn\"\npeople = \"people\"\nirrigated_area_m2 = "
            "\"garden\"\nwater_source = \"source\"\n";
    }
    return text + basin.settings;
}

// Writes all of it and gives the project file.
inline std::string write_basin(const testing::TempFolder& folder, const SmallBasin& basin) {
    write_footprints(basin, folder.file("buildings.gpkg"));
    if (!basin.parcels_crs.empty()) {
        write_parcels(basin, folder.file("parcels.gpkg"));
    }
    write_terrain(basin, folder.file("dem.tif"));
    write_rain(basin, folder.file("rain.tif"));
    return folder.write("basin.toml", project_text(basin));
}

}  // namespace eaveshed
