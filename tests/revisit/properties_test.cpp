// Sheets about the parcels of a screened basin.
#include "eaveshed/revisit/properties.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <ogr_spatialref.h>
#include <ogrsf_frmts.h>

#include <cmath>
#include <filesystem>

#include "eaveshed/revisit/stored_rows.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::expect_input_error;
using testing::OutputFile;
using testing::TempFolder;

// What a layer's geometries are in WGS 84 as GDAL and PROJ see them: by the value of a field, longitude first.
std::map<std::string, std::pair<Point, Point>> places_in(const std::string& file, const std::string& layer_name,
                                                         const std::string& key, const std::string& filter) {
    std::map<std::string, std::pair<Point, Point>> places;
    const std::unique_ptr<GDALDataset> data(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY));
    OGRLayer* const layer = data->GetLayerByName(layer_name.c_str());
    layer->SetAttributeFilter(filter.empty() ? nullptr : filter.c_str());
    OGRSpatialReference from(*layer->GetSpatialRef());
    from.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    OGRSpatialReference to;
    to.importFromEPSG(4326);
    to.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    const std::unique_ptr<OGRCoordinateTransformation> way(OGRCreateCoordinateTransformation(&from, &to));
    for (const auto& feature : *layer) {
        const OGRPoint* const point = feature->GetGeometryRef()->toPoint();
        double x = point->getX();
        double y = point->getY();
        EXPECT_TRUE(way->Transform(1, &x, &y));
        places[feature->GetFieldAsString(key.c_str())] = {{point->getX(), point->getY()}, {x, y}};
    }
    return places;
}

void expect_place(const std::optional<MapPlace>& place, const std::pair<Point, Point>& stored) {
    ASSERT_TRUE(place && place->degrees);
    EXPECT_NEAR(place->output.x, stored.first.x, 1e-9 * std::abs(stored.first.x));
    EXPECT_NEAR(place->output.y, stored.first.y, 1e-9 * std::abs(stored.first.y));
    EXPECT_NEAR(place->degrees->longitude_deg, stored.second.x, 0.6e-6);
    EXPECT_NEAR(place->degrees->latitude_deg, stored.second.y, 0.6e-6);
    EXPECT_DOUBLE_EQ(std::round(place->degrees->latitude_deg * 1e6) / 1e6, place->degrees->latitude_deg);
}

// The demo basin, and its run opened again.
class PropertiesOfTheDemo : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        screened(demo_project(), file());
        Findings findings;
        Progress progress(ProgressStyle::none);
        s_result = new ResultReader(file(), findings);
        s_run = new Revisit(*s_result, file(), demo_project(), findings, progress);
    }
    static void TearDownTestSuite() {
        delete s_run;
        delete s_result;
        delete s_folder;
    }
    static std::string file() { return s_folder->file("demo.gpkg"); }
    static std::vector<std::string> ids_where(const std::string& condition) {
        std::vector<std::string> ids;
        for (const auto& row :
             OutputFile(file()).rows("SELECT parcel_id FROM parcels WHERE " + condition + " ORDER BY rank, fid")) {
            ids.push_back(testing::text(row, "parcel_id"));
        }
        return ids;
    }
    static std::vector<Property> best(std::size_t count) {
        std::vector<std::string> ids = ids_where("rank IS NOT NULL");
        ids.resize(std::min(count, ids.size()));
        return properties(*s_run, *s_result, ids);
    }
    static inline TempFolder* s_folder = nullptr;
    static inline ResultReader* s_result = nullptr;
    static inline Revisit* s_run = nullptr;
};

TEST_F(PropertiesOfTheDemo, StandWhereTheFilesGeometriesStand) {
    const auto pads = places_in(file(), "pads", "parcel_id", "level = 'parcel'");
    const auto uses = places_in(file(), "use_points", "roof_id", "");
    std::size_t rows = 0;
    for (const Property& property : best(40)) {
        SCOPED_TRACE(property.parcel_id);
        ASSERT_TRUE(property.pad);
        expect_place(property.pad->place, pads.at(property.parcel_id));
        expect_place(property.pad->use_place, uses.at(property.roofs[property.pad_roof].roof_id));
        for (const PropertyRoof& roof : property.roofs) {
            ASSERT_TRUE(roof.place && roof.place->degrees);
            EXPECT_LT(std::hypot(roof.place->output.x - property.pad->place->output.x,
                                 roof.place->output.y - property.pad->place->output.y),
                      2000.0);
        }
        const PadRow& pad = property.pad->row;
        EXPECT_EQ(property.pad->row_true_bearing_deg.has_value(), pad.arrangement == Arrangement::row);
        if (pad.row_bearing_deg) {
            ++rows;
            // Within some degrees of the grid's north, and along the line of its tanks.
            const double turn = std::remainder(*property.pad->row_true_bearing_deg - *pad.row_bearing_deg, 180.0);
            EXPECT_LT(std::abs(turn), 3.0);
            ASSERT_EQ(property.pad->tanks.size(), static_cast<std::size_t>(*pad.tank_count));
            const Point a = property.pad->tanks.front().place->output;
            const Point b = property.pad->tanks.back().place->output;
            EXPECT_NEAR(std::hypot(a.x - b.x, a.y - b.y), *pad.row_length_m - property.pad->tank.diameter_m, 0.02);
        }
    }
    EXPECT_GT(rows, 0U);
}

TEST_F(PropertiesOfTheDemo, AddUpToWhatTheFileHas) {
    for (const Property& property : best(40)) {
        SCOPED_TRACE(property.parcel_id);
        const std::string where = " FROM parcels WHERE parcel_id = '" + property.parcel_id + "'";
        const auto stored = OutputFile(file()).rows("SELECT *" + where).at(0);
        ASSERT_TRUE(property.water);
        for (const PropertyYear& year : property.water->years) {
            double replaced = 0.0;
            for (const PropertyMonth& month : year.months) {
                const StoreMonth& store = month.store;
                EXPECT_NEAR(store.stock_end_m3 - store.stock_start_m3,
                            store.inflow_m3 - store.taken_m3 - store.overflow_m3, 1e-9);
                replaced += store.month >= 8 && store.month <= 10 ? store.taken_m3 : 0.0;
            }
            EXPECT_NEAR(replaced, year.replaced_m3, 1e-9);
            EXPECT_GE(year.replaced_m3, *testing::number(stored, "replaced_worst_m3") - 1e-9);
        }
        EXPECT_LE(property.water->years[1].harvest_m3, *testing::number(stored, "harvest_dependable_m3") + 1e-6);
        EXPECT_EQ(property.row.rank, static_cast<std::int64_t>(*testing::number(stored, "rank")));
        EXPECT_NEAR(*property.row.forbearance_m3, *testing::number(stored, "forbearance_m3"), 1e-9);
        EXPECT_EQ(property.row.ask_first.value_or(""), testing::text(stored, "ask_first"));
        ASSERT_TRUE(property.hand_sum);
        EXPECT_NEAR(property.hand_sum->harvest.value, *testing::number(stored, "harvest_mean_m3"),
                    0.005 * *testing::number(stored, "harvest_mean_m3") + 0.2);
        EXPECT_EQ(property.sizes.size(),
                  static_cast<std::size_t>(OutputFile(file()).count(
                      "SELECT COUNT(*) FROM parcel_options WHERE parcel_id = '" + property.parcel_id + "'")));
        ASSERT_TRUE(property.section && property.map);
        EXPECT_FALSE(property.section->ground.empty());
    }
}

// Every parcel of the file, with and without roofs and pads.
TEST_F(PropertiesOfTheDemo, CanBeMadeOfEveryParcel) {
    std::size_t without_pad = 0;
    for (const std::string& id : ids_where("1")) {
        SCOPED_TRACE(id);
        const Property found = property(*s_run, *s_result, id);
        EXPECT_EQ(found.parcel_id, id);
        EXPECT_EQ(found.row.parcel_id, id);
        EXPECT_EQ(found.pad.has_value(), found.section.has_value());
        without_pad += found.pad ? 0U : 1U;
    }
    EXPECT_GT(without_pad, 0U);
}

TEST_F(PropertiesOfTheDemo, AreAskedForByIdsOfTheFile) {
    expect_input_error([] { static_cast<void>(property(*s_run, *s_result, "no such parcel")); }, {"no such parcel"});
}

// What was opened stays open: the files may go away, and a hundred sheets read none of them a second time.
TEST(Properties, OpenTheInputsOnce) {
    const TempFolder folder;
    const std::string out = folder.file("out.gpkg");
    SmallBasin basin;
    screened(write_basin(folder, basin), out);
    Findings findings;
    Progress progress(ProgressStyle::none);
    const ResultReader result(out, findings);
    Revisit run(result, out, "", findings, progress);
    const std::vector<std::string> ids{"PR01", "PR05", "PR11", "PR17"};
    const auto before = properties(run, result, ids);
    for (const auto& entry : std::filesystem::directory_iterator(folder.path())) {
        const std::string name = entry.path().filename().string();
        if (name.find("out.gpkg") == std::string::npos) {
            std::filesystem::remove_all(entry.path());
        }
    }
    const auto after = properties(run, result, ids);
    ASSERT_EQ(after.size(), ids.size());
    for (std::size_t i = 0; i < ids.size(); ++i) {
        EXPECT_EQ(after[i].parcel_id, ids[i]);
        EXPECT_EQ(after[i].row.forbearance_m3, before[i].row.forbearance_m3);
        EXPECT_EQ(after[i].map->ground.elev_m.size(), before[i].map->ground.elev_m.size());
    }
}

}  // namespace
}  // namespace eaveshed
