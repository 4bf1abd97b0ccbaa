// A basin on both sides of the meridian at which a grid of the whole Earth begins.
#include <gtest/gtest.h>

#include "eaveshed/core/grid.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::number;
using testing::OutputFile;
using testing::TempFolder;

// The same plane coordinates, with their central meridian moved so that Greenwich goes through the basin.
constexpr const char* kGreenwichCrs =
    "+proj=tmerc +lat_0=0 +lon_0=-0.0085 +k=0.9996 +x_0=500000 +y_0=0 +datum=WGS84 +units=m +no_defs";

// Twelve months over the whole Earth in cells of ten degrees, the first column west of `first_x`. The value depends on
// month and longitude, whatever the column.
testing::RasterSpec months_of_the_earth(double first_x, double of_cell) {
    constexpr int kCols = 36;
    constexpr int kRows = 18;
    testing::RasterSpec spec;
    spec.crs = "EPSG:4326";
    spec.type = GDT_Float64;
    spec.cols = kCols;
    spec.rows = kRows;
    spec.transform = {first_x, 10.0, 0.0, 90.0, 0.0, -10.0};
    spec.unit = "mm";
    for (int month = 0; month < 12; ++month) {
        std::vector<double>& values = spec.bands.emplace_back();
        for (int cell = 0; cell < kRows * kCols; ++cell) {
            const double x = first_x + 10.0 * (cell % kCols);
            const double eastward = std::fmod(x + 360.0, 360.0) / 10.0;  // 0..35 from Greenwich
            values.push_back((month < 5 || month > 9 ? 120.0 : 3.0) + of_cell * eastward);
        }
    }
    return spec;
}

std::vector<testing::OutputRow> rows_with(const TempFolder& folder, double first_x) {
    SmallBasin basin;
    testing::LayerToWrite layer = layer_in("buildings", kGreenwichCrs);
    layer.fields = {{"id"}, {"mat"}, {"floors", OFTInteger}};
    for (const SmallRoof& roof : basin.roofs) {
        layer.rows.push_back({wkt_of(outline_of(roof)), {roof.id, roof.material, roof.storeys}});
    }
    testing::write_vector("GPKG", folder.file("buildings.gpkg"), {layer});
    testing::RasterSpec terrain =
        raster_over_basin(kBasinCrs, basin.cell_m, 0.0, 1, [](int, Point place) { return ground_m(place); });
    terrain.crs = kGreenwichCrs;
    testing::write_raster(folder.file("dem.tif"), terrain);
    testing::write_raster(folder.file("rain.tif"), months_of_the_earth(first_x, 1.0));
    testing::RasterSpec et0 = months_of_the_earth(first_x, 0.01);
    for (std::vector<double>& band : et0.bands) {
        for (double& value : band) {
            value = value > 100.0 ? 2.0 + value / 1000.0 : 5.0 + value / 1000.0;
        }
    }
    et0.unit = "mm day-1";
    testing::write_raster(folder.file("et0.tif"), et0);
    const std::string project = folder.write(
        "basin.toml",
        "[footprints]\nsource = \"buildings.gpkg\"\nid = \"id\"\n[terrain]\nelevation = \"dem.tif\"\n[rain]\nsource = "
        "\"rain.tif\"\nkind = \"monthly-normals\"\n[evapotranspiration]\nsource = \"et0.tif\"\n");
    const std::string output = folder.file("out.gpkg");
    static_cast<void>(screened(project, output, {}));
    return OutputFile(output).rows("SELECT * FROM roofs ORDER BY fid");
}

TEST(Meridian, AGridFrom0To360GivesWhatAGridFromMinus180Gives) {
    const TempFolder a;
    const TempFolder b;
    const auto from_greenwich = rows_with(a, 0.0);
    const auto from_the_date_line = rows_with(b, -180.0);
    ASSERT_EQ(from_greenwich.size(), small_roofs().size());
    ASSERT_EQ(from_greenwich.size(), from_the_date_line.size());
    for (std::size_t i = 0; i < from_greenwich.size(); ++i) {
        for (const char* column : {"fill_rain_mm", "harvest_mean_m3", "demand_m3", "forbearance_m3"}) {
            EXPECT_NEAR(number(from_greenwich[i], column).value(), number(from_the_date_line[i], column).value(), 1e-9)
                << column;
        }
        // Halfway between the cells on both sides of Greenwich: 0 and 35 of them to the east.
        EXPECT_NEAR(number(from_greenwich[i], "fill_rain_mm").value() / 7.0, 120.0 + 17.5, 0.1);
    }
}

}  // namespace
}  // namespace eaveshed
