// Inputs that are sound as files and cannot be meant: each is told with its code, the share of the roofs, an example
// and a remedy, by `check` and by `screen` before it starts; and a basin as it should be is told nothing.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <regex>
#include <set>
#include <sstream>

#include "eaveshed/core/error.hpp"
#include "eaveshed/run/check.hpp"
#include "eaveshed/shape/measure.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using testing::TempFolder;
namespace fs = std::filesystem;

constexpr double kFootM = 0.3048;
constexpr double kStoreyM = 2.8;

double true_eave_m(const SmallRoof& roof) {
    return kStoreyM * std::stod(roof.storeys);
}

// A basin of cells fine enough to see roofs, spoiled in one way by each test.
class SpoiltBasin : public ::testing::Test {
protected:
    void SetUp() override {
        m_basin.cell_m = 2.0;
        // The roofs without a parcel of their own stand in none: their source is unknown, the others' is not.
        write_basin(m_folder, m_basin);
    }

    // Writes the basin again, for what a test changed of it.
    void rewrite() {
        for (const char* const file : {"buildings.gpkg", "parcels.gpkg"}) {
            fs::remove(m_folder.file(file));
        }
        write_basin(m_folder, m_basin);
    }

    // Into the project file behind the line `after`.
    void add(const std::string& after, const std::string& lines) {
        std::string text = project();
        const auto place = text.find(after);
        ASSERT_NE(place, std::string::npos) << after;
        text.insert(place + after.size(), lines);
        m_folder.write("basin.toml", text);
    }
    void change(const std::string& from, const std::string& to) {
        std::string text = project();
        const auto place = text.find(from);
        ASSERT_NE(place, std::string::npos) << from;
        m_folder.write("basin.toml", text.replace(place, from.size(), to));
    }
    [[nodiscard]] std::string project() const {
        std::ifstream in(m_folder.file("basin.toml"));
        std::ostringstream text;
        text << in.rdbuf();
        return text.str();
    }

    // Footprints with an eave height each.
    void write_eaves(const std::function<double(const SmallRoof&)>& height) {
        testing::LayerToWrite layer = layer_in("buildings", kBasinCrs);
        layer.fields = {{"id"}, {"mat"}, {"floors", OFTInteger}, {"apn"}, {"eave", OFTReal}};
        for (const SmallRoof& roof : m_basin.roofs) {
            layer.rows.push_back(
                {wkt_of(outline_of(roof)),
                 {roof.id, roof.material, roof.storeys, std::nullopt, fmt::format("{}", height(roof))}});
        }
        write("buildings.gpkg", layer);
        add("[footprints]\n", "eave_height = \"eave\"\n");
    }
    void write(const std::string& file, const testing::LayerToWrite& layer) {
        fs::remove(m_folder.file(file));
        testing::write_vector("GPKG", m_folder.file(file), {layer});
    }

    // A raster of the ground with roofs on it, or of anything made from ground and height above it.
    void write_surface(const std::string& file, const std::function<double(double ground_m, double height_m)>& value) {
        std::vector<std::pair<Box, const SmallRoof*>> boxes;
        for (const SmallRoof& roof : m_basin.roofs) {
            boxes.emplace_back(bounds(outline_of(roof)), &roof);
        }
        const auto height_at = [&](Point place) {
            for (const auto& [box, roof] : boxes) {
                if (box.intersects({place.x, place.y, place.x, place.y}) && contains(outline_of(*roof), place)) {
                    return true_eave_m(*roof);
                }
            }
            return 0.0;
        };
        testing::write_raster(m_folder.file(file),
                              raster_over_basin(kBasinCrs, m_basin.cell_m, 0.0, 1, [&](int, Point place) {
                                  return value(ground_m(place), height_at(place));
                              }));
    }
    void use_surface() { add("elevation = \"dem.tif\"\n", "surface = \"dsm.tif\"\n"); }
    void write_rain_of(const std::function<double(int step, Point place)>& depth_mm, int months = 12 * kYears) {
        testing::RasterSpec spec = raster_over_basin(kBasinCrs, 1000.0, 1000.0, months, depth_mm);
        spec.unit = "mm";
        spec.options = {"INTERLEAVE=BAND"};
        testing::write_raster(m_folder.file("rain.tif"), spec);
    }
    void write_temperatures(double coldest_min, double coldest_max) {
        for (const bool least : {true, false}) {
            testing::RasterSpec spec = raster_over_basin(kBasinCrs, 1000.0, 1000.0, 12, [&](int month, Point) {
                const double warmer = 1.5 * (month <= 6 ? month : 12 - month);
                return (least ? coldest_min : coldest_max) + warmer;
            });
            spec.unit = "degC";
            testing::write_raster(m_folder.file(least ? "tmin.tif" : "tmax.tif"), spec);
        }
        m_folder.write("basin.toml", project() + "[temperature]\nminimum = \"tmin.tif\"\nmaximum = \"tmax.tif\"\n");
    }

    // Looks, and keeps the findings that have a code.
    void look() {
        m_findings = Findings();
        const Project read = load_project(m_folder.file("basin.toml"), m_findings);
        (void)check(read, m_findings);
        m_warned.clear();
        m_noted.clear();
        m_lines.clear();
        for (const Finding& finding : m_findings.list()) {
            m_lines += finding_line(finding) + "\n";
            if (finding.code) {
                (finding.severity == Severity::warning ? m_warned : m_noted).emplace(to_text(*finding.code));
            }
        }
        ASSERT_EQ(m_findings.count(Severity::error), 0U) << m_lines;
    }
    // The only warning of a check, with what it says.
    void expect_only(const std::string& code, const std::vector<std::string>& parts) {
        look();
        EXPECT_THAT(m_warned, ::testing::ElementsAre(code)) << m_lines;
        expect_parts(parts);
    }
    void expect_among(const std::string& code, const std::vector<std::string>& parts) {
        look();
        EXPECT_THAT(m_warned, Contains(code)) << m_lines;
        expect_parts(parts);
    }
    void expect_parts(const std::vector<std::string>& parts) {
        for (const std::string& part : parts) {
            EXPECT_THAT(m_lines, HasSubstr(part));
        }
    }

    // Lots of 30 x 40 m side by side, each with a house; the parcels `dx`, `dy` beside where they belong.
    void write_village(double dx, double dy, double lot_width_m = 30.0) {
        m_basin.roofs.clear();
        testing::LayerToWrite parcels = layer_in("parcels", kBasinCrs);
        parcels.fields = {{"apn"}, {"people", OFTReal}, {"garden", OFTReal}, {"source"}};
        for (int i = 0; i < 64; ++i) {
            const Point lot{kX0 + 300.0 + 30.0 * (i % 8), kY0 + 300.0 + 40.0 * (i / 8)};
            m_basin.roofs.push_back({.id = fmt::format("V{:02}", i), .corner = {lot.x + 7.0, lot.y + 9.0 + i % 5}});
        }
        const int across = static_cast<int>(240.0 / lot_width_m);
        for (int i = 0; i < 8 * across; ++i) {
            const SmallRoof ground{
                .id = "",
                .corner = {kX0 + 300.0 + lot_width_m * (i % across) + dx, kY0 + 300.0 + 40.0 * (i / across) + dy},
                .width_m = lot_width_m,
                .depth_m = 40.0};
            parcels.rows.push_back({wkt_of(outline_of(ground)), {fmt::format("L{:03}", i), "3", "150", "creek"}});
        }
        rewrite();
        write("parcels.gpkg", parcels);
    }

    // The parcels with one more field for this setting, by the corner of each one's roof.
    void write_fact(const std::string& setting, const std::function<double(Point corner)>& value) {
        rewrite();
        testing::LayerToWrite layer = layer_in("parcels", kBasinCrs);
        layer.fields = {{"apn"}, {"people", OFTReal}, {"garden", OFTReal}, {"source"}, {"fact", OFTReal}};
        for (std::size_t i = 1; i < m_basin.roofs.size(); i += 2) {
            const Point corner = m_basin.roofs[i].corner;
            const Point lot{corner.x - 30.0, corner.y - 30.0};
            layer.rows.push_back({testing::square_wkt(lot.x, lot.y, 60.0),
                                  {"P" + m_basin.roofs[i].id, "3", "150", "creek", fmt::format("{}", value(corner))}});
        }
        write("parcels.gpkg", layer);
        m_folder.write("basin.toml", std::regex_replace(project(), std::regex("\n" + setting + " = .*"), ""));
        add("[parcels]\n", setting + " = \"fact\"\n");
    }
    // Told where all parcels have `wrong`, by its middle value; silent where they have `right`.
    void expect_fact_told(const std::string& code, const std::string& setting, double wrong, double right,
                          const std::vector<std::string>& parts) {
        write_fact(setting, [wrong](Point) { return wrong; });
        expect_only(code, parts);
        expect_parts({"parcels.gpkg", "100 % of 12 parcels looked at, such as \"PR", "parcels." + setting});
        write_fact(setting, [right](Point) { return right; });
        look();
        EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
    }

    SmallBasin m_basin;
    TempFolder m_folder;
    Findings m_findings;
    std::set<std::string> m_warned;
    std::set<std::string> m_noted;
    std::string m_lines;
};

TEST_F(SpoiltBasin, IsToldNothingWhileItIsSound) {
    write_eaves(true_eave_m);
    write_surface("dsm.tif", [](double ground, double height) { return ground + height; });
    use_surface();
    look();
    EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
    EXPECT_THAT(m_noted, IsEmpty()) << m_lines;
}

TEST_F(SpoiltBasin, EaveHeightsInFeetDoNotFitTheStoreys) {
    write_eaves([](const SmallRoof& roof) { return true_eave_m(roof) / kFootM; });
    expect_only("eave_per_storey", {"buildings.gpkg", "9.19 in the middle", "100 % of 24 roofs looked at, such as \"R",
                                    "(18.4 m, 2 storeys)", "unit = \"ft\""});
    change("eave_height = \"eave\"", "eave_height = { field = \"eave\", unit = \"ft\" }");
    look();
    EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
}

TEST_F(SpoiltBasin, EaveHeightsInMetresTakenForFeetDoNotFitTheStoreys) {
    write_eaves(true_eave_m);
    change("eave_height = \"eave\"", "eave_height = { field = \"eave\", unit = \"ft\" }");
    expect_only("eave_per_storey", {"0.853 in the middle"});
}

TEST_F(SpoiltBasin, EaveHeightsInFeetAreHighWhereNoStoreysAreKnown) {
    write_eaves([](const SmallRoof& roof) { return true_eave_m(roof) / kFootM; });
    change("storeys = \"floors\"\n", "");
    expect_only("eave_high", {"eave heights, m, of 9.19 in the middle", "unit = \"ft\""});
}

TEST_F(SpoiltBasin, EaveHeightsAndSurfaceThatDisagreeAreTold) {
    write_eaves([](const SmallRoof& roof) { return true_eave_m(roof) + 4.0; });
    change("storeys = \"floors\"\n", "");
    write_surface("dsm.tif", [](double ground, double height) { return ground + height; });
    use_surface();
    expect_only("eave_off_surface", {"dsm.tif", "over 2 m apart: 100 % of 24 roofs looked at, such as", "m, surface ",
                                     "m above the ground)"});
}

TEST_F(SpoiltBasin, ElevationsAndSurfaceInFeetDoNotFitTheStoreys) {
    m_basin.value_unit_m = kFootM;
    rewrite();
    write_surface("dsm.tif", [](double ground, double height) { return (ground + height) / kFootM; });
    use_surface();
    expect_only("surface_per_storey", {"dsm.tif", "terrain.vertical_unit"});
    change("elevation = \"dem.tif\"\n", "elevation = \"dem.tif\"\nvertical_unit = \"ft\"\n");
    look();
    EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
}

TEST_F(SpoiltBasin, ElevationsAndSurfaceInFeetAreHighWhereNoStoreysAreKnown) {
    m_basin.value_unit_m = kFootM;
    rewrite();
    change("storeys = \"floors\"\n", "");
    write_surface("dsm.tif", [](double ground, double height) { return (ground + height) / kFootM; });
    use_surface();
    expect_only("surface_high", {"dsm.tif", "roofs, m above the ground, of", "terrain.vertical_unit"});
}

TEST_F(SpoiltBasin, ASurfaceInFeetLiesOffElevationsInMetres) {
    write_surface("dsm.tif", [](double ground, double height) { return (ground + height) / kFootM; });
    use_surface();
    expect_among("surface_off_ground",
                 {"dsm.tif", "100 % of 24 roofs", "times the ground by the elevations in the middle",
                  "gdal_edit.py -unittype ft FILE"});
}

TEST_F(SpoiltBasin, ASurfaceOfAnotherVerticalDatumLiesOffTheElevations) {
    write_surface("dsm.tif", [](double ground, double height) { return ground + height - 32.0; });
    use_surface();
    expect_among("surface_off_ground", {"(-32 m at its lowest)"});
}

TEST_F(SpoiltBasin, ASurfaceWithoutRoofsIsTold) {
    write_surface("dsm.tif", [](double ground, double /*height*/) { return ground; });
    use_surface();
    expect_only("surface_flat", {"dsm.tif", "less than 1.5 m above the ground: 100 % of 24 roofs"});
}

// Case 50 of docs/bad-input.md.
TEST_F(SpoiltBasin, ASurfaceGivenAsBareEarthIsTold) {
    write_surface("dem.tif", [](double ground, double height) { return ground + height; });
    expect_only("terrain_shows_roofs", {"dem.tif", "m above the ground around it)", "terrain.surface"});
}

TEST_F(SpoiltBasin, IdsAreShownShortAndWithoutControls) {
    for (SmallRoof& roof : m_basin.roofs) {
        roof.id = "R\x1b[2J\n" + roof.id + std::string(300, 'x');
    }
    rewrite();
    write_surface("dem.tif", [](double ground, double height) { return ground + height; });
    expect_only("terrain_shows_roofs", {"such as \"R?[2J R"});
    EXPECT_THAT(m_lines, Not(HasSubstr(std::string(60, 'x'))));
}

TEST_F(SpoiltBasin, ElevationsInDecimetresAreTooSteepToBuildOn) {
    m_basin.value_unit_m = 0.1;
    rewrite();
    expect_only("steep_sites", {"dem.tif", "slopes of the ground at roofs, %", "terrain.vertical_unit"});
}

// Case 59: with the error that they mean for a pressure. 9.80665 x sqrt(2) x 0.5 m, half a metre being a tenth of 5 m.
TEST_F(SpoiltBasin, CoarseCellsAreToldWithTheErrorOfAPressure) {
    m_basin.cell_m = 5.0;
    rewrite();
    expect_only("coarse_cells", {"cells of about 5.0 m", "0.7 m above the tank's ground", "a pressure to 7 kPa"});
}

TEST_F(SpoiltBasin, PlanAreasOfPartsOfRoofsAndOfBlocksAreTold) {
    for (SmallRoof& roof : m_basin.roofs) {
        roof.width_m = 4.0;
        roof.depth_m = 3.0;
    }
    rewrite();
    expect_among("footprint_areas", {"plan areas, m2, of 12 in the middle"});
    for (SmallRoof& roof : m_basin.roofs) {
        roof.width_m = 60.0;
        roof.depth_m = 60.0;
        roof.turn_deg = 0.0;
    }
    rewrite();
    expect_among("footprint_areas", {"plan areas, m2, of 360"});
}

TEST_F(SpoiltBasin, RoofsWithoutAnyEaveAreNoted) {
    change("storeys = \"floors\"\n", "");
    look();
    EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
    EXPECT_THAT(m_noted, ::testing::ElementsAre("eave_unknown"));
}

TEST_F(SpoiltBasin, OutlinesOfBuildingsGivenAsParcelsAreTold) {
    testing::LayerToWrite layer = layer_in("parcels", kBasinCrs);
    layer.fields = {{"apn"}, {"people", OFTReal}, {"garden", OFTReal}, {"source"}};
    for (const SmallRoof& roof : m_basin.roofs) {
        layer.rows.push_back({wkt_of(outline_of(roof)), {"P" + roof.id, "3", "150", "creek"}});
    }
    write("parcels.gpkg", layer);
    expect_only("parcels_small", {"parcels.gpkg", "a share of the parcel under one roof of 1 in the middle"});
}

TEST_F(SpoiltBasin, AZoneGivenAsAParcelIsTold) {
    testing::LayerToWrite layer = layer_in("parcels", kBasinCrs);
    layer.fields = {{"apn"}, {"people", OFTReal}, {"garden", OFTReal}, {"source"}};
    layer.rows = {{testing::square_wkt(kX0, kY0, kSideM), {"ALL", "3", "150", "creek"}}};
    write("parcels.gpkg", layer);
    expect_only("parcels_large", {"roofs to a parcel of 24 in the middle", "one of 24 on its parcel"});
}

TEST_F(SpoiltBasin, ParcelsBesideTheirFootprintsAreToldWithTheOffset) {
    write_village(0.0, 0.0);
    look();
    EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
    write_village(13.0, -11.0);
    expect_only("parcels_shifted", {"parcels.gpkg", "roofs looked at not inside one parcel, such as \"V"});
    // The lots leave a few metres around a house: by so much the offset may be off.
    const std::regex offset("with the footprints (\\d+) m east and (\\d+) m south");
    std::smatch found;
    ASSERT_TRUE(std::regex_search(m_lines, found, offset)) << m_lines;
    EXPECT_NEAR(std::stod(found[1].str()), 13.0, 6.0);
    EXPECT_NEAR(std::stod(found[2].str()), 11.0, 6.0);
}

TEST_F(SpoiltBasin, RoofsAcrossParcelsThatNoShiftMendsAreTold) {
    write_village(0.0, 0.0, 8.0);  // strips narrower than the houses
    expect_among("roofs_across_parcels", {"no shift of up to 40 m of one layer mends it"});
    EXPECT_THAT(m_warned, Not(Contains("parcels_shifted")));
}

TEST_F(SpoiltBasin, StoreysOfTowersOnHousesAreToldRatherThanTheirEaves) {
    for (SmallRoof& roof : m_basin.roofs) {
        roof.storeys = "30";
    }
    rewrite();
    write_eaves([](const SmallRoof&) { return 3.2; });
    expect_only("storeys_many",
                {"buildings.gpkg", "storeys of 30 in the middle", "(30 storeys on ", "a count of storeys"});
}

TEST_F(SpoiltBasin, HalfTheRoofAreaInABlockIsNoted) {
    m_basin.roofs[0].width_m = 120.0;
    m_basin.roofs[0].depth_m = 60.0;
    rewrite();
    look();
    EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
    EXPECT_THAT(m_noted, ::testing::ElementsAre("roof_blocks"));
    expect_parts({"63 % of the roof area in outlines over 2000 m2", "\"R00\" (72"});
}

TEST_F(SpoiltBasin, ConnectedSharesDividedByAHundredAreTold) {
    const auto shares = [&](double share) {
        rewrite();
        write_eaves([share](const SmallRoof&) { return share; });
        change("eave_height = \"eave\"", "connected_share = \"eave\"");
    };
    shares(0.008);
    expect_only("connected_small", {"buildings.gpkg", "connected shares of 0.008 at most", "connected_share"});
    shares(0.8);
    look();
    EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
}

TEST_F(SpoiltBasin, AHoleOfTheElevationsFilledWithANumberIsTold) {
    const Point hole = m_basin.roofs[8].corner;
    testing::write_raster(m_folder.file("dem.tif"),
                          raster_over_basin(kBasinCrs, m_basin.cell_m, 0.0, 1, [&](int, Point place) {
                              return std::hypot(place.x - hole.x, place.y - hole.y) < 60.0 ? -300.0 : ground_m(place);
                          }));
    expect_only("ground_holes", {"dem.tif", "1 of 24 roofs looked at, such as \"R08\" (ground at -300 m)", "a_nodata"});
}

TEST_F(SpoiltBasin, AnExclusionOverAllRoofsIsTold) {
    m_folder.write("basin.toml", project() + "[[exclusions]]\nname = \"zone\"\nsource = \"zone.gpkg\"\n");
    testing::LayerToWrite layer = layer_in("zone", kBasinCrs);
    layer.rows = {{testing::square_wkt(kX0, kY0, kSideM), {}}};
    write("zone.gpkg", layer);
    expect_only("roofs_excluded", {"zone.gpkg", "100 % of 24 roofs looked at", "no tank can stand"});
    layer.rows = {{testing::square_wkt(kX0, kY0, kSideM / 2.0), {}}};
    write("zone.gpkg", layer);
    look();
    EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
}

TEST_F(SpoiltBasin, CrowdsAreTold) {
    expect_fact_told("people_many", "people", 250.0, 4.0, {"people of 250 in the middle", "15 or less"});
}

TEST_F(SpoiltBasin, GardensInAcresAndInSquareFeetTakenForSquareMetresAreTold) {
    expect_fact_told("gardens_small", "irrigated_area_m2", 0.06, 240.0, {"watered areas, m2, of 0.06", "acre"});
    expect_fact_told("gardens_large", "irrigated_area_m2", 600.0 * 10.764, 600.0, {"times the open ground", "ft2"});
}

TEST_F(SpoiltBasin, UseOfASeasonInGallonsOrTooMuchForTheGardensIsTold) {
    write_fact("season_use_m3", [](Point) { return 52834.0; });
    expect_among("season_use_large", {"water used in a season, m3, of 52834 in the middle", "gal"});
    EXPECT_THAT(m_warned, Contains("season_use_deep"));
    expect_fact_told("season_use_deep", "season_use_m3", 3000.0, 200.0, {"of 20 in the middle"});
}

TEST_F(SpoiltBasin, TanksInGallonsAndPumpsInGallonsAMinuteAreTold) {
    expect_fact_told("tanks_large", "existing_storage_m3", 2500.0, 9.5, {"existing tanks, m3, of 2500", "gal"});
    expect_fact_told("pumps_large", "pump_lps", 15.0, 1.0, {"pumps, L/s, of 15", "gpm"});
}

TEST_F(SpoiltBasin, DistancesToTheStreamInFeetAreHeldAgainstItsLines) {
    testing::LayerToWrite layer = layer_in("streams", kBasinCrs);
    layer.type = wkbLineString;
    layer.rows = {{fmt::format("LINESTRING({0} {1},{0} {2})", kX0 + 60.0, kY0, kY0 + kSideM), {}}};
    write("streams.gpkg", layer);
    const auto distances = [&](double unit_m) {
        write_fact("stream_distance_m", [unit_m](Point corner) { return (corner.x - kX0 - 60.0) / unit_m; });
        m_folder.write("basin.toml", project() + "[streams]\nsource = \"streams.gpkg\"\n");
    };
    distances(kFootM);
    expect_only("stream_distances", {"of 3.28 in the middle", "unit = \"ft\""});
    distances(1.0);
    look();
    EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
}

TEST_F(SpoiltBasin, EvapotranspirationOfADayTakenForThatOfAMonthIsTold) {
    testing::write_raster(m_folder.file("et0.tif"),
                          raster_over_basin(kBasinCrs, 1000.0, 1000.0, 12, [](int, Point) { return 4.0; }));
    m_folder.write("basin.toml", project() + "[evapotranspiration]\nsource = \"et0.tif\"\nunit = \"mm month-1\"\n");
    expect_only("et0_year", {"et0.tif", "48.04 mm of reference evapotranspiration", "evapotranspiration.unit"});
    change("mm month-1", "mm day-1");
    look();
    EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
}

TEST_F(SpoiltBasin, SourcesUnknownEverywhereAreTold) {
    change("water_source = \"source\"\n", "");
    expect_only("source_unknown", {"parcels.gpkg", "every gain of the creek will be 0", "parcels.water_source"});
    add("irrigated_area_m2 = \"garden\"\n", "default_water_source = \"creek\"\n");
    look();
    EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
}

TEST_F(SpoiltBasin, RainThatBeginsInTheWrongMonthIsTold) {
    change("start = \"1990-11\"", "start = \"1991-05\"");
    expect_only("rain_season", {"rain.tif", "% of the year's rain in the fill months, which are 58 % of the year",
                                "the wettest month is July", "rain.start"});
}

TEST_F(SpoiltBasin, ABasinOfSummerRainIsTold) {
    write_rain_of([](int step, Point /*place*/) { return step % 12 >= 7 && step % 12 <= 10 ? 180.0 : 10.0; });
    expect_only("rain_season", {"season.fill_months"});
}

// Case 69.
TEST_F(SpoiltBasin, InchesAndTenthsTakenForMillimetresAreTold) {
    write_rain_of([](int step, Point place) { return rain_mm(step, place) / 25.4; });
    expect_only("rain_total",
                {"rain.tif", "mm of rain in a mean year", "in inches it would be ", "150 to 5000 mm", "rain.unit"});
    write_rain_of([](int step, Point place) { return rain_mm(step, place) * 10.0; });
    expect_only("rain_total", {"rain.unit"});
}

TEST_F(SpoiltBasin, ARecordThatGoesOnIntoTheFutureIsTold) {
    change("start = \"1990-11\"", "start = \"2190-11\"");
    expect_only("rain_future", {"a record to 2202-10-31", "rain.start"});
}

TEST_F(SpoiltBasin, ARecordThatEndedLongAgoIsTold) {
    change("start = \"1990-11\"", "start = \"1950-11\"");
    expect_only("rain_old", {"1962-10-31", "rain of the last 30 years"});
}

// Case 77. The other inputs lie in the north, which is told as well.
TEST_F(SpoiltBasin, NorthernMonthsSouthOfTheEquatorAreTold) {
    testing::LayerToWrite layer = layer_in("buildings", "EPSG:32710");
    layer.fields = {{"id"}, {"mat"}, {"floors", OFTInteger}, {"apn"}};
    layer.rows = {{testing::square_wkt(500100.0, 6200000.0, 12.0), {"S1", "metal", "1", std::nullopt}}};
    write("buildings.gpkg", layer);
    EXPECT_THAT(codes_told(m_folder.file("basin.toml"), Severity::warning), Contains("southern_months"));
    m_folder.write("basin.toml", project() + "[season]\nfill_months = [5, 6, 7, 8]\nforbear_months = [12, 1, 2]\n");
    EXPECT_THAT(codes_told(m_folder.file("basin.toml"), Severity::warning), Not(Contains("southern_months")));
}

TEST_F(SpoiltBasin, MonthsOfSnowAreToldAndMonthsOfFrostNoted) {
    write_temperatures(-6.0, 1.0);
    expect_only("snow_months", {"tmin.tif", "a mean temperature below 0 degrees C (down to -2.5) in January, February",
                                "of the fill months' rain falls then"});
    rewrite();
    write_temperatures(-2.0, 9.0);
    look();
    EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
    EXPECT_THAT(m_noted, ::testing::ElementsAre("frost_months"));
    rewrite();
    write_temperatures(3.0, 12.0);
    look();
    EXPECT_THAT(m_noted, IsEmpty()) << m_lines;
}

TEST_F(SpoiltBasin, AnAcceptedFindingIsANoteThatStrictLetsPass) {
    std::erase_if(m_basin.roofs, [](const SmallRoof& roof) { return std::stoi(roof.id.substr(1)) % 2 == 0; });
    rewrite();  // every roof in a parcel: nothing else to tell
    change("water_source = \"source\"\n", "");
    const auto strictly = [&] { screened(m_folder.file("basin.toml"), m_folder.file("out.gpkg"), {.strict = true}); };
    EXPECT_THROW(strictly(), Error);
    EXPECT_FALSE(fs::exists(m_folder.file("out.gpkg")));
    m_folder.write("basin.toml", project() + "[check]\naccepted = [\"source_unknown\"]\n");
    look();
    EXPECT_THAT(m_warned, IsEmpty()) << m_lines;
    EXPECT_THAT(m_lines, HasSubstr("note [source_unknown]: "));
    EXPECT_THAT(m_lines, HasSubstr("accepted by check.accepted"));
    strictly();
    EXPECT_TRUE(fs::exists(m_folder.file("out.gpkg")));
}

TEST_F(SpoiltBasin, AnUnknownCodeIsAnErrorWithTheNearestOne) {
    m_folder.write("basin.toml", project() + "[check]\naccepted = [\"source_unkown\"]\n");
    Findings findings;
    try {
        (void)load_project(m_folder.file("basin.toml"), findings);
        FAIL() << "no error";
    } catch (const Error& error) {
        EXPECT_EQ(error.fault(), Fault::input);
        EXPECT_THAT(error.what(), AllOf(HasSubstr("check.accepted"), HasSubstr("did you mean \"source_unknown\"?")));
    }
}

TEST_F(SpoiltBasin, ScreenTellsItBeforeItStartsAndKeepsItInTheRunRecord) {
    write_surface("dem.tif", [](double ground, double height) { return ground + height; });
    screened(m_folder.file("basin.toml"), m_folder.file("out.gpkg"));
    const testing::OutputFile file(m_folder.file("out.gpkg"));
    EXPECT_THAT(file.text("SELECT group_concat(value) FROM run_record WHERE key LIKE 'warning.%'"),
                HasSubstr("elevations that stand up under roofs"));
    try {
        screened(m_folder.file("basin.toml"), m_folder.file("strict.gpkg"), {.strict = true});
        FAIL() << "no error";
    } catch (const Error& error) {
        EXPECT_EQ(error.exit_code(), 2);
    }
    EXPECT_FALSE(fs::exists(m_folder.file("strict.gpkg")));
}

TEST(TheDemo, IsToldNothing) {
    EXPECT_THAT(codes_told(demo_project(), Severity::warning), IsEmpty());
    EXPECT_THAT(codes_told(demo_project(), Severity::note), IsEmpty());
}

}  // namespace
}  // namespace eaveshed
