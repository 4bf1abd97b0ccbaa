// Three real places, where the shared data folder is there: nothing is lost, and what can be worked out by hand is what
// comes out. Attribution of the data stands in that folder.
#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <set>
#include <sstream>

#include "run/run_project.hpp"
#include "support/geopackage_checks.hpp"
#include "support/output_file.hpp"
#include "support/raster_file.hpp"
#include "support/shared_data.hpp"

namespace eaveshed {
namespace {

using testing::by_roof;
using testing::number;
using testing::OutputFile;
using testing::OutputRow;
using testing::TempFolder;
using testing::text;

constexpr double kTwoThousandths = 2e-3;

std::string quoted(const std::filesystem::path& path) {
    return '"' + path.string() + '"';
}

// Every row is computed, or its status says why not; every computed row has its water.
void expect_nothing_lost(const OutputFile& file, std::int64_t rows) {
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM roofs"), rows);
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM roofs WHERE status <> 'ok' AND harvest_mean_m3 IS NOT NULL"), 0);
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM roofs WHERE status = 'ok' AND harvest_mean_m3 IS NULL"), 0);
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM roofs WHERE status = 'ok' AND eave_elev_m IS NULL "
                         "AND flags NOT LIKE '%no_elevation%'"),
              0);
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM roofs WHERE status = 'ok'"), file.record("count.status.ok"));
}

// A raster with all its bands in memory, read by GDAL alone.
struct PlainRaster {
    explicit PlainRaster(const std::string& path) {
        GdalSession::start();
        const DatasetHandle file(GDALDataset::Open(path.c_str(), GDAL_OF_RASTER));
        cols = file->GetRasterXSize();
        rows = file->GetRasterYSize();
        bands = file->GetRasterCount();
        file->GetGeoTransform(transform.data());
        values.resize(static_cast<std::size_t>(cols) * static_cast<std::size_t>(rows) *
                      static_cast<std::size_t>(bands));
        EXPECT_EQ(file->RasterIO(GF_Read, 0, 0, cols, rows, values.data(), cols, rows, GDT_Float64, bands, nullptr, 0,
                                 0, 0, nullptr),
                  CE_None);
        nodata = file->GetRasterBand(1)->GetNoDataValue();
    }
    [[nodiscard]] double at(int band, int row, int col) const {
        const int index = (band * rows + row) * cols + col;
        return values.at(static_cast<std::size_t>(index));
    }
    // Bilinear between cell centres, missing cells left out.
    [[nodiscard]] double sample(int band, double x, double y) const {
        const double col = (x - transform[0]) / transform[1] - 0.5;
        const double row = (y - transform[3]) / transform[5] - 0.5;
        const int c = static_cast<int>(std::floor(col));
        const int r = static_cast<int>(std::floor(row));
        double sum = 0.0;
        double weights = 0.0;
        for (int i = 0; i < 4; ++i) {
            const int dc = i % 2;
            const int dr = i / 2;
            const double weight = (dc == 1 ? col - c : 1.0 - col + c) * (dr == 1 ? row - r : 1.0 - row + r);
            const double value = at(band, r + dr, c + dc);
            if (value != nodata) {
                sum += weight * value;
                weights += weight;
            }
        }
        return sum / weights;
    }
    std::array<double, 6> transform{};
    int cols = 0;
    int rows = 0;
    int bands = 0;
    double nodata = 0.0;
    std::vector<double> values;
};

// --- Swellendam: southern seasons, monthly rain of 61 years, two elevation models of coarse cells.

std::string swellendam_project(const std::filesystem::path& data, const char* dem) {
    return "[footprints]\nsource = " + quoted(data / "swellendam.gpkg") +
           "\nlayer = \"buildings\"\nid = \"osm_id\"\n[terrain]\nelevation = " + quoted(data / dem) +
           "\n[rain]\nsource = " + quoted(data / "precip_monthly_1950_2010_mm.tif") +
           "\nkind = \"monthly\"\nunit = \"mm\"\nstart = \"1950-01\"\n"
           "[season]\nfill_months = [4, 5, 6, 7, 8, 9, 10]\nforbear_months = [12, 1, 2, 3]\n"
           "[streams]\nsource = " +
           quoted(data / "swellendam.gpkg") + "\nlayer = \"streams\"\n";
}

class Swellendam : public ::testing::Test {
protected:
    void run(const std::filesystem::path& data, const char* dem, const std::string& name) {
        m_folder.write("basin.toml", swellendam_project(data, dem));
        screened(m_folder.file("basin.toml"), m_folder.file(name), {.threads = 2});
    }
    TempFolder m_folder;
};

// Of a roof in every hundred or so, as the raster says by hand; the roof's middle stands in for its interior point.
void expect_fill_rain(const OutputFile& file, const PlainRaster& rain) {
    ASSERT_EQ(rain.bands, 732);
    const auto rows = file.rows(
        "SELECT r.*, t.minx AS x0, t.maxx AS x1, t.miny AS y0, t.maxy AS y1 FROM roofs r "
        "JOIN rtree_roofs_geom t ON t.id = r.fid WHERE status = 'ok' AND fid % 100 = 7");
    ASSERT_GT(rows.size(), 30U);
    for (const OutputRow& row : rows) {
        const double x = 0.5 * (number(row, "x0").value() + number(row, "x1").value());
        const double y = 0.5 * (number(row, "y0").value() + number(row, "y1").value());
        // Tank years April to March, 1950/51 to 2009/10; fill months April to October are steps 3 to 9 of each
        // calendar year.
        double sum = 0.0;
        for (int year = 0; year < 60; ++year) {
            for (int month = 3; month <= 9; ++month) {
                sum += rain.sample(12 * year + month, x, y);
            }
        }
        EXPECT_NEAR(number(row, "fill_rain_mm").value(), sum / 60.0, 1e-3 * sum / 60.0) << text(row, "roof_id");
    }
}

TEST_F(Swellendam, EveryRoofIsComputedOnBothElevationModels) {
    EAVESHED_SHARED_OR_SKIP(data, "data/swellendam_za");
    run(data, "dem_srtm_3s_wgs84.tif", "degrees.gpkg");
    run(data, "dem_srtm_90m_utm34s.tif", "metres.gpkg");
    const OutputFile degrees(m_folder.file("degrees.gpkg"));
    const OutputFile metres(m_folder.file("metres.gpkg"));
    for (const OutputFile* const file : {&degrees, &metres}) {
        expect_nothing_lost(*file, 4708);
        EXPECT_EQ(file->record("rain.complete_tank_years"), "60");
        EXPECT_EQ(file->record("rain.partial_tank_years"), "2");
        EXPECT_EQ(file->record("count.flag.no_elevation"), "0");  // all footprints lie on valid cells
        EXPECT_EQ(file->record("count.status.no_rain"), "0");
        EXPECT_NE(file->text("SELECT group_concat(value) FROM run_record WHERE key LIKE 'warning.%'").find("cells of"),
                  std::string::npos);
    }
    // The water does not depend on the elevations.
    for (const char* const column : {"roof_id", "plan_area_m2", "fill_rain_mm", "harvest_dependable_m3", "demand_m3"}) {
        const std::string sql = "SELECT group_concat(" + std::string(column) + ", ';') FROM roofs";
        EXPECT_EQ(degrees.text(sql), metres.text(sql)) << column;
    }
    const auto a = degrees.rows("SELECT * FROM roofs WHERE status = 'ok' ORDER BY fid");
    const auto b = metres.rows("SELECT * FROM roofs WHERE status = 'ok' ORDER BY fid");
    double off = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        const double ground = number(a[i], "ground_elev_m").value();
        EXPECT_GT(ground, 45.0);  // README: 54..253 m at the cells
        EXPECT_LT(ground, 260.0);
        off += std::abs(ground - number(b[i], "ground_elev_m").value());
    }
    expect_fill_rain(metres, PlainRaster((data / "precip_monthly_1950_2010_mm.tif").string()));
    EXPECT_LT(off / static_cast<double>(a.size()), 3.0);  // warped by bilinear interpolation, cells of 90 m
    testing::expect_sound_geopackage(m_folder.file("degrees.gpkg"));
}

// Its cells are coarse and no source of water is in the data: that is so.
TEST_F(Swellendam, IsToldWhatIsTrueOfIt) {
    EAVESHED_SHARED_OR_SKIP(data, "data/swellendam_za");
    const std::string project = m_folder.write("basin.toml", swellendam_project(data, "dem_srtm_90m_utm34s.tif"));
    EXPECT_THAT(codes_told(project, Severity::warning), ::testing::ElementsAre("coarse_cells", "source_unknown"));
    EXPECT_THAT(codes_told(project, Severity::note), ::testing::ElementsAre("eave_unknown"));
}

// --- Bilbao: a hilly city, a raster of heights above ground, a mean year made by the test.

constexpr std::array<double, 12> kMonths{126, 97, 94, 124, 90, 64, 62, 82, 74, 121, 141, 116};  // mm, invented

class Bilbao : public ::testing::Test {
protected:
    std::string write_project(const std::filesystem::path& data, const std::string& rain_settings,
                              const std::string& filter = "") {
        testing::RasterSpec rain;
        rain.crs = "EPSG:25830";
        rain.rows = 3;
        rain.cols = 3;
        rain.transform = {490000.0, 7000.0, 0.0, 4806000.0, 0.0, -7000.0};
        rain.unit = "mm";
        rain.type = GDT_Float64;
        for (const double depth : kMonths) {
            rain.bands.emplace_back(9, depth);
        }
        testing::write_raster(m_folder.file("rain.tif"), rain);
        return m_folder.write("basin.toml", "[footprints]\nsource = " + quoted(data / "bilbao.gpkg") +
                                                "\nid = \"bid\"\n" + filter +
                                                "[terrain]\nelevation = " + quoted(data / "dem_5m.tif") +
                                                "\nsurface = " + quoted(data / "building_height_2p5m.tif") +
                                                "\nsurface_kind = \"height\"\nvertical_unit = \"m\"\n"
                                                "[rain]\nsource = \"rain.tif\"\nkind = \"monthly-normals\"\n" +
                                                rain_settings);
    }
    TempFolder m_folder;
};

// method.md 3.4, monthly kinds, per m2 of connected roof.
double harvest_mm(double rain_mm) {
    const double q = 0.85 * rain_mm;
    return 0.95 * (q - std::min(q, rain_mm / 12.0 * std::min(0.5, 0.85 * 12.0)));
}

void expect_eaves_of_whole_metres(const OutputFile& file) {
    // The heights are whole metres and every outline was drawn from cells of 2 m and more; those under 1.5 m at the
    // tenth percentile (a cell that misses the roof counts 0) take the default of 2.8 m.
    std::int64_t by_raster = 0;
    for (const OutputRow& row : file.rows("SELECT * FROM roofs WHERE status = 'ok' AND eave_elev_m IS NOT NULL")) {
        const double height = number(row, "eave_elev_m").value() - number(row, "ground_elev_m").value();
        const bool is_default = text(row, "flags").find("default_eave") != std::string::npos;
        by_raster += is_default ? 0 : 1;
        if (is_default) {
            EXPECT_NEAR(height, 2.8, 1e-9);  // siting.default_eave_height_m
        } else {
            EXPECT_NEAR(height, std::round(height), 1e-9);
            EXPECT_GE(height, 2.0 - 1e-9);
            EXPECT_LE(height, 52.0 + 1e-9);  // README: 0..52
        }
    }
    EXPECT_GT(by_raster, 1000);
}

TEST_F(Bilbao, HarvestIsTheClosedFormAndEavesStandAtWholeMetres) {
    EAVESHED_SHARED_OR_SKIP(data, "data/bilbao_es");
    screened(write_project(data, ""), m_folder.file("out.gpkg"), {.threads = 2});
    const OutputFile file(m_folder.file("out.gpkg"));
    expect_nothing_lost(file, 2224);
    EXPECT_EQ(file.record("count.flag.mean_year_only"), file.record("count.status.ok"));
    double rain = 0.0;
    double harvest = 0.0;
    for (const int month : {11, 12, 1, 2, 3, 4, 5}) {
        rain += kMonths.at(static_cast<std::size_t>(month - 1));
        harvest += harvest_mm(kMonths.at(static_cast<std::size_t>(month - 1)));
    }
    for (const OutputRow& row : file.rows("SELECT * FROM roofs WHERE status = 'ok'")) {
        const double expected = number(row, "plan_area_m2").value() * 0.75 * harvest / 1000.0;
        EXPECT_NEAR(number(row, "fill_rain_mm").value(), rain, 1e-9);
        EXPECT_NEAR(number(row, "harvest_mean_m3").value(), expected, 1e-9 * expected);
        EXPECT_FALSE(number(row, "harvest_dependable_m3"));
        EXPECT_FALSE(number(row, "replaced_dependable_m3"));
        EXPECT_FALSE(number(row, "replaced_worst_m3"));
        EXPECT_EQ(number(row, "forbearance_m3"), number(row, "replaced_mean_m3"));
    }
    expect_eaves_of_whole_metres(file);
}

TEST_F(Bilbao, IsToldWhatIsTrueOfIt) {
    EAVESHED_SHARED_OR_SKIP(data, "data/bilbao_es");
    const std::string project = write_project(data, "");
    EXPECT_THAT(codes_told(project, Severity::warning), ::testing::ElementsAre("coarse_cells", "source_unknown"));
    EXPECT_THAT(codes_told(project, Severity::note), ::testing::ElementsAre("roof_blocks"));
}

TEST_F(Bilbao, AnAssumedDryWinterGivesDependableValues) {
    EAVESHED_SHARED_OR_SKIP(data, "data/bilbao_es");
    screened(write_project(data, "dry_winter_factor = 0.7\n", "where = \"bid % 20 = 0\"\n"), m_folder.file("out.gpkg"));
    const OutputFile file(m_folder.file("out.gpkg"));
    EXPECT_GT(file.count("SELECT COUNT(*) FROM roofs"), 100);
    EXPECT_EQ(file.record("count.flag.assumed_dry_winter"), file.record("count.status.ok"));
    EXPECT_EQ(file.record("count.flag.mean_year_only"), "0");
    for (const OutputRow& row : file.rows("SELECT * FROM roofs WHERE status = 'ok'")) {
        // The closed form is linear in the rain.
        const double mean = number(row, "harvest_mean_m3").value();
        EXPECT_NEAR(number(row, "harvest_dependable_m3").value(), 0.7 * mean, 1e-9 * mean);
        EXPECT_EQ(number(row, "replaced_dependable_m3"), number(row, "replaced_worst_m3"));
    }
}

// --- Vancouver: parcels, a terrain under a tenth of the roofs, daily rain of a calendar without leap days.

struct Station {
    std::vector<double> rain_mm;  // NaN where missing
    std::vector<int> month;
    std::vector<int> year;
};

Station read_station(const std::filesystem::path& path) {
    Station station;
    std::ifstream in(path);
    std::string line;
    std::getline(in, line);
    while (std::getline(in, line)) {
        const std::string depth = line.substr(11, line.find(',', 11) - 11);
        station.year.push_back(std::stoi(line.substr(0, 4)));
        station.month.push_back(std::stoi(line.substr(5, 2)));
        station.rain_mm.push_back(depth.empty() ? std::nan("") : std::stod(depth));
    }
    return station;
}

// Mean over the tank years November to October of the rain of November to May; missing days dry, years with over
// 5 % of their days missing left out (method.md 2.6, 2.7).
std::pair<double, int> fill_rain_by_hand(const Station& station) {
    std::map<int, std::pair<double, std::pair<int, int>>> years;  // rain, days, missing
    for (std::size_t i = 0; i < station.rain_mm.size(); ++i) {
        const int month = station.month[i];
        auto& [rain, days] = years[station.year[i] + (month >= 11 ? 1 : 0)];
        ++days.first;
        if (std::isnan(station.rain_mm[i])) {
            ++days.second;
        } else if (month >= 11 || month <= 5) {
            rain += station.rain_mm[i];
        }
    }
    double sum = 0.0;
    int counted = 0;
    for (const auto& [name, year] : years) {
        if (year.second.first == 365 && year.second.second * 100 <= 5 * 365) {
            sum += year.first;
            ++counted;
        }
    }
    return {sum / counted, counted};
}

class Vancouver : public ::testing::Test {
protected:
    Station write_rain(const std::filesystem::path& data) {
        const Station station = read_station(data / "rain_daily_1950_2013_ahccd_vancouver.csv");
        testing::NetcdfSpec rain;
        rain.longitudes = {-123.5, -123.0, -122.5};
        rain.latitudes = {49.0, 49.5};
        rain.time_units = "days since 1950-01-01";
        rain.calendar = "noleap";
        rain.units = "mm";
        rain.standard_name = "precipitation_amount";
        rain.fill = -9999.0;
        for (std::size_t i = 0; i < station.rain_mm.size(); ++i) {
            rain.times.push_back(static_cast<double>(i));
            const double depth = std::isnan(station.rain_mm[i]) ? -9999.0 : station.rain_mm[i];
            rain.stored.insert(rain.stored.end(), 6, depth);
        }
        testing::write_netcdf(m_folder.file("rain.nc"), rain);
        return station;
    }
    std::string write_project(const std::filesystem::path& data) {
        return m_folder.write("basin.toml",
                              "[footprints]\nsource = " + quoted(data / "vancouver.gpkg") +
                                  "\nlayer = \"buildings\"\nid = \"object_id\"\n[terrain]\nelevation = " +
                                  quoted(data / "dem_lidar_0p5m.tif") +
                                  "\nvertical_unit = \"m\"\n[rain]\nsource = \"rain.nc\"\nkind = \"daily\"\n"
                                  "[parcels]\nsource = " +
                                  quoted(data / "vancouver.gpkg") + "\nlayer = \"parcels\"\nid = \"tax_coord\"\n");
    }
    TempFolder m_folder;
};

TEST_F(Vancouver, PartialTerrainLosesNothing) {
    EAVESHED_SHARED_OR_SKIP(data, "data/vancouver_ca");
    const Station station = write_rain(data);
    screened(write_project(data), m_folder.file("out.gpkg"), {.threads = 2});
    const OutputFile file(m_folder.file("out.gpkg"));
    expect_nothing_lost(file, 124);
    EXPECT_EQ(file.record("rain.calendar"), "noleap");
    EXPECT_EQ(file.record("rain.steps"), "23360");
    EXPECT_EQ(file.record("rain.complete_tank_years"), "63");
    // README: it covers only 10 of the 124 footprints.
    const std::int64_t without = file.count("SELECT COUNT(*) FROM roofs WHERE flags LIKE '%no_elevation%'");
    const std::int64_t with_gap = file.count("SELECT COUNT(*) FROM roofs WHERE flags LIKE '%dem_gap%'");
    const std::int64_t placed = file.count("SELECT COUNT(*) FROM roofs WHERE eave_elev_m IS NOT NULL");
    const std::int64_t computed = file.count("SELECT COUNT(*) FROM roofs WHERE status = 'ok'");
    EXPECT_EQ(without + placed, computed);
    EXPECT_GE(placed, 10);
    EXPECT_LT(placed, 25);
    EXPECT_LE(with_gap, placed);
    EXPECT_GT(file.count("SELECT COUNT(parcel_id) FROM roofs"), 20);
    const auto [expected, years] = fill_rain_by_hand(station);
    EXPECT_GT(years, 55);
    for (const OutputRow& row : file.rows("SELECT * FROM roofs WHERE status = 'ok'")) {
        EXPECT_NEAR(number(row, "fill_rain_mm").value(), expected, 1e-9 * expected);
    }
    testing::expect_sound_geopackage(m_folder.file("out.gpkg"));
}

// The table as it was published: a date, its rain, and temperatures that nobody asks for.
TEST_F(Vancouver, ItsTableOfDaysIsReadAsItIs) {
    EAVESHED_SHARED_OR_SKIP(data, "data/vancouver_ca");
    const std::filesystem::path table = data / "rain_daily_1950_2013_ahccd_vancouver.csv";
    std::string text = testing::bytes_of(write_project(data));
    const std::string grid = "source = \"rain.nc\"";
    text.replace(text.find(grid), grid.size(), "source = " + quoted(table));
    screened(m_folder.write("gauge.toml", text), m_folder.file("gauge.gpkg"), {.threads = 2});
    const OutputFile file(m_folder.file("gauge.gpkg"));
    expect_nothing_lost(file, 124);
    EXPECT_EQ(file.record("rain.calendar"), "noleap");
    EXPECT_EQ(file.record("rain.steps"), "23360");
    EXPECT_EQ(file.record("rain.complete_tank_years"), "63");
    EXPECT_EQ(file.record("rain.gauge.001.id"), "precip");
    const auto [expected, years] = fill_rain_by_hand(read_station(table));
    for (const OutputRow& row : file.rows("SELECT * FROM roofs WHERE status = 'ok'")) {
        EXPECT_NEAR(number(row, "fill_rain_mm").value(), expected, 1e-9 * expected);
    }
    EXPECT_GT(years, 55);
}

TEST_F(Vancouver, IsToldWhatIsTrueOfIt) {
    EAVESHED_SHARED_OR_SKIP(data, "data/vancouver_ca");
    write_rain(data);
    const std::string project = write_project(data);
    EXPECT_THAT(codes_told(project, Severity::warning), ::testing::ElementsAre("source_unknown"));
    EXPECT_THAT(codes_told(project, Severity::note), ::testing::UnorderedElementsAre("eave_unknown", "roof_blocks"));
}

TEST_F(Vancouver, FootprintsAsPublishedInDegreesGiveTheSameRows) {
    EAVESHED_SHARED_OR_SKIP(data, "data/vancouver_ca");
    write_rain(data);
    const std::string project = write_project(data);
    screened(project, m_folder.file("metres.gpkg"), {.threads = 2});
    std::string words = testing::bytes_of(project);
    const std::string from = quoted(data / "vancouver.gpkg") + "\nlayer = \"buildings\"";
    words.replace(words.find(from), from.size(), quoted(data / "buildings_wgs84.geojson"));
    m_folder.write("basin.toml", words);
    screened(project, m_folder.file("degrees.gpkg"), {.threads = 2});
    const auto metres = by_roof(OutputFile(m_folder.file("metres.gpkg")).rows("SELECT * FROM roofs"));
    const auto degrees = by_roof(OutputFile(m_folder.file("degrees.gpkg")).rows("SELECT * FROM roofs"));
    ASSERT_EQ(metres.size(), 124U);
    ASSERT_EQ(degrees.size(), 124U);
    for (const auto& [id, row] : metres) {
        EXPECT_EQ(text(row, "status"), text(degrees.at(id), "status")) << id;
        EXPECT_EQ(text(row, "parcel_id"), text(degrees.at(id), "parcel_id")) << id;
        for (const char* const column : {"plan_area_m2", "harvest_mean_m3", "harvest_dependable_m3"}) {
            const auto value = number(row, column);
            if (value) {
                EXPECT_NEAR(number(degrees.at(id), column).value(), *value, kTwoThousandths * *value) << id << column;
            }
        }
    }
}

}  // namespace
}  // namespace eaveshed
