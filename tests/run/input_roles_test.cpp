// What holds of every input, whatever it is: it follows from its row (settings/input_role.hpp).
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <filesystem>
#include <map>
#include <set>
#include <variant>

#include "eaveshed/creeks/make_creeks.hpp"
#include "eaveshed/creeks/subbasins.hpp"
#include "eaveshed/feed/tile_loader.hpp"
#include "eaveshed/inputs/input_files.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/run/check.hpp"
#include "eaveshed/tile/evaluate.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using testing::TempFolder;
namespace fs = std::filesystem;

void set_path(const Setting& input, const std::string& path, Settings& settings) {
    if (input.section == "exclusions") {
        settings.exclusions.resize(1);
    }
    if (input.kind == Kind::path) {
        std::get<Reach<std::string>>(input.access).edit(settings, 0) = path;
    } else {
        std::get<Reach<std::vector<std::string>>>(input.access).edit(settings, 0) = {path};
    }
}

// What stands beside a table of gauges alone is tried with one (gauges_test.cpp).
std::vector<const Setting*> inputs_beside_grids() {
    std::vector<const Setting*> inputs = input_settings();
    std::erase_if(inputs, [](const Setting* input) {
        return input->role->kind == InputKind::gauge_places || input->role->kind == InputKind::normals;
    });
    return inputs;
}

// A basin with every input there is.
class EveryInput : public ::testing::Test {
protected:
    EveryInput() {
        m_paths["overrides.source"] = m_folder.write("measured.csv", "roof_id,parcel_id,eave_height_m\nR01,,2.5\n");
        m_paths["contacts.source"] = m_folder.write("calls.csv", "parcel_id,status\nPR01,visited\n");
        write_layer("streams.source", wkbLineString, fmt::format("LINESTRING({} {},{} {})", kX0, kY0, kX0 + 9e2, kY0));
        write_layer("roads.source", wkbLineString, fmt::format("LINESTRING({} {},{} {})", kX0, kY0, kX0, kY0 + 9e2));
        write_layer("exclusions.source", wkbPolygon, testing::square_wkt(kX0 + 300.0, kY0, 50.0));
        write_layer("subbasins.source", wkbPolygon, testing::square_wkt(kX0, kY0, 700.0));
        write_layer("diversions.source", wkbPoint, fmt::format("POINT({} {})", kX0 + 385.0, kY0 + 215.0));
        write_layer("use_points.source", wkbPoint, fmt::format("POINT({} {})", kX0 + 380.0, kY0 + 210.0));
        write_raster("terrain.surface", "", 1, [](int, Point place) { return ground_m(place) + 4.0; });
        write_raster("canopy.source", "", 1, [](int, Point) { return 6.0; });
        write_raster("evapotranspiration.source", "mm day-1", 12, [](int month, Point) { return 1.0 + month; });
        write_raster("temperature.minimum", "degC", 12, [](int month, Point) { return 5.0 + month; });
        write_raster("temperature.maximum", "degC", 12, [](int month, Point) { return 15.0 + month; });
        Findings findings;
        m_project = load_project(write_basin(m_folder, {}), findings);
        screened(m_project.file, m_folder.file("former.gpkg"));
        m_paths["overrides.former"] = m_folder.file("former.gpkg");
        for (const Setting* const input : input_settings()) {
            if (const auto path = m_paths.find(name_of(*input)); path != m_paths.end()) {
                set_path(*input, path->second, m_project.resolved);
                set_path(*input, path->second, m_project.settings);
            }
        }
    }

    void write_layer(const std::string& setting, OGRwkbGeometryType type, const std::string& wkt) {
        testing::LayerToWrite layer = layer_in("things", kBasinCrs);
        layer.type = type;
        layer.rows = {{wkt}};
        m_paths[setting] = m_folder.file(setting + ".gpkg");
        testing::write_vector("GPKG", m_paths[setting], {layer});
    }
    void write_raster(const std::string& setting, const std::string& unit, int bands,
                      const std::function<double(int, Point)>& value) {
        const double cell_m = bands == 1 ? 5.0 : 500.0;
        testing::RasterSpec spec = raster_over_basin(kBasinCrs, cell_m, bands == 1 ? 0.0 : 1000.0, bands, value);
        spec.unit = unit;
        m_paths[setting] = m_folder.file(setting + ".tif");
        testing::write_raster(m_paths[setting], spec);
    }
    // The raster's cells stay where they are in the file, and lie elsewhere.
    static void place_raster(const std::string& path, std::array<double, 6> transform) {
        const DatasetHandle dataset(GDALDataset::Open(path.c_str(), GDAL_OF_RASTER | GDAL_OF_UPDATE));
        ASSERT_NE(dataset, nullptr) << path;
        ASSERT_EQ(dataset->SetGeoTransform(transform.data()), CE_None) << path;
    }
    // No raster whose rows do not run from west to east is let in.
    void spoil(const std::string& name) const { place_raster(m_folder.file(name), {kX0, 1.0, 0.5, kY0, 0.5, -1.0}); }
    // A file for the input that is sound, and of another basin.
    [[nodiscard]] std::string far_away(const Setting& input) const {
        constexpr double kFarM = 90000.0;
        const std::string path = m_folder.file("far_" + name_of(input));
        if (input.role->kind != InputKind::layer) {
            fs::copy_file(paths_of(input, m_project.resolved).front(), path);
            place_raster(path, {kX0 + kFarM, 100.0, 0.0, kY0 + 1000.0, 0.0, -100.0});
            return path;
        }
        const double x = kX0 + kFarM;
        testing::LayerToWrite layer = layer_in("things", kBasinCrs);
        layer.fields = {{"apn"}, {"people"}, {"garden"}, {"source"}};
        const GeometryNeed need = input.role->geometry;
        const bool point = need == GeometryNeed::point;
        const bool polygon = need == GeometryNeed::polygon;
        layer.type = point ? wkbPoint : polygon ? wkbPolygon : wkbLineString;
        layer.rows = {{point     ? fmt::format("POINT({} {})", x, kY0)
                       : polygon ? testing::square_wkt(x, kY0, 50.0)
                                 : fmt::format("LINESTRING({} {},{} {})", x, kY0, x + 50.0, kY0)}};
        testing::write_vector("GPKG", path + ".gpkg", {layer});
        return path + ".gpkg";
    }
    [[nodiscard]] static std::string told(const Findings& findings, Severity severity) {
        std::string text;
        for (const Finding& finding : findings.list()) {
            text += finding.severity == severity ? to_text(finding.trouble) + '\n' : "";
        }
        return text;
    }
    // All rows of the basin, with the files as they are between the steps.
    [[nodiscard]] std::vector<TileRows> rows(const std::function<void()>& after_opening) const {
        Findings findings;
        Progress progress(ProgressStyle::none);
        const TempFolder work;
        OpenInputs inputs = open_inputs(m_project, findings);
        EXPECT_EQ(told(findings, Severity::error), "");
        after_opening();
        const Creeks creeks = make_creeks(m_project, inputs, {}, findings, progress);
        const Subbasins subbasins(m_project, inputs, creeks, findings);
        const Plan plan = make_plan(m_project, inputs, creeks, work.path(), {}, findings, progress);
        inputs.close_layers();
        const BasinClimate climate = read_climate(m_project, inputs, plan, {}, findings);
        std::set<std::string> once;
        for (const Finding& finding : findings.list()) {
            EXPECT_TRUE(once.insert(to_text(finding.trouble)).second) << to_text(finding.trouble);
        }
        const RunRasters rasters(inputs);
        TileLoader loader(m_project, inputs, plan, climate, rasters);
        std::vector<TileRows> all;
        for (const PlannedTile& tile : plan.tiles) {
            all.push_back(evaluate_tile(loader.load(tile), m_project.settings));
        }
        return all;
    }

    TempFolder m_folder;
    std::map<std::string, std::string> m_paths;  // of what write_basin does not write
    Project m_project;
};

TEST_F(EveryInput, IsUnderstood) {
    Findings findings;
    const CheckReport report = check(m_project, findings);
    EXPECT_EQ(told(findings, Severity::error), "");
    std::vector<std::string> labels;
    for (const UnderstoodInput& input : report.understood) {
        labels.push_back(input.input);
    }
    EXPECT_THAT(labels,
                ::testing::ElementsAre("footprints", "parcels", "parcels fields", "diversions", "use points", "streams",
                                       "sub-basins", "exclusion", "roads", "contacts", "elevation", "surface", "canopy",
                                       "rain", "evapotranspiration", "temperature", "reaches", "overrides", "season"));
}

TEST_F(EveryInput, HasItsFingerprintInTheOrderOfTheTable) {
    Findings findings;
    const OpenInputs inputs = open_inputs(m_project, findings);
    std::vector<std::string> expected;
    for (const Setting* const input : inputs_beside_grids()) {
        expected.push_back(name_of(*input, 0));
    }
    std::vector<std::string> found;
    for (const InputFile& file : fingerprints(m_project, inputs, Digest::ends)) {
        found.push_back(file.setting);
    }
    EXPECT_EQ(found, expected);
}

TEST_F(EveryInput, IsAnErrorThatNamesItsSettingWhereItsFileIsWrong) {
    const std::string wrong = m_folder.write("wrong.txt", "no layer, no raster and no table\n");
    for (const Setting* const input : inputs_beside_grids()) {
        SCOPED_TRACE(name_of(*input));
        Project project = m_project;
        set_path(*input, wrong, project.resolved);
        Findings findings;
        (void)open_inputs(project, findings);
        EXPECT_THAT(told(findings, Severity::error), HasSubstr(name_of(*input) + " \"" + wrong + "\""));
    }
}

TEST_F(EveryInput, MayNotBecomeTheOutput) {
    const std::string output = m_folder.write("input.gpkg", "an input");
    ScreenOptions options;
    options.output = output;
    options.overwrite = true;
    for (const Setting* const input : input_settings()) {
        SCOPED_TRACE(name_of(*input));
        Project project = m_project;
        set_path(*input, output, project.resolved);
        testing::expect_input_error([&] { (void)checked_output(project, options, Inputs{}); },
                                    {"an output that is an input of " + name_of(*input)});
    }
    // And as they were opened, under whatever name.
    Findings findings;
    const OpenInputs inputs = open_inputs(m_project, findings);
    for (const FileRead& file : files_read(m_project, inputs)) {
        fs::remove(m_folder.file("link.gpkg"));
        fs::create_symlink(file.path, m_folder.file("link.gpkg"));
        options.output = m_folder.file("link.gpkg");
        testing::expect_input_error([&] { (void)checked_output(m_project, options, inputs); },
                                    {"an output that is an input of " + file.where.substr(0, file.where.find('.'))});
    }
}

TEST_F(EveryInput, ElsewhereIsAnErrorOrAWarningAsItsRowSays) {
    for (const Setting* const input : inputs_beside_grids()) {
        const InputRole& role = *input->role;
        if (role.overlap == Overlap::measure || role.overlap == Overlap::none) {
            continue;
        }
        SCOPED_TRACE(name_of(*input));
        Project project = m_project;
        set_path(*input, far_away(*input), project.resolved);
        Findings findings;
        (void)open_inputs(project, findings);
        if (role.overlap == Overlap::effect) {
            EXPECT_EQ(told(findings, Severity::error), "");
            EXPECT_THAT(told(findings, Severity::warning), HasSubstr(std::string(role.elsewhere)));
        } else {
            EXPECT_THAT(told(findings, Severity::error), HasSubstr(name_of(*input)));
            EXPECT_EQ(findings.count(Severity::error), 1U);
        }
    }
}

// What a look at a file would find is spoiled after the files were opened, or the file is taken away: nobody looks
// twice, and nothing is told twice.
TEST_F(EveryInput, IsOpenedOnceInARun) {
    const std::vector<TileRows> expected = rows([] {});
    const std::vector<TileRows> found = rows([&] {
        for (const char* const layer : {"buildings.gpkg", "parcels.gpkg", "measured.csv", "former.gpkg"}) {
            fs::remove(m_folder.file(layer));
        }
        for (const auto& [setting, path] : m_paths) {
            if (input_setting(setting).role->kind == InputKind::layer) {
                fs::remove(path);
            }
        }
        spoil("dem.tif");
        spoil("rain.tif");
        for (const char* const setting : {"terrain.surface", "canopy.source", "evapotranspiration.source",
                                          "temperature.minimum", "temperature.maximum"}) {
            spoil(std::string(setting) + ".tif");
        }
    });
    ASSERT_EQ(found.size(), expected.size());
    for (std::size_t i = 0; i < found.size(); ++i) {
        ASSERT_EQ(found[i].roofs.size(), expected[i].roofs.size());
        for (std::size_t k = 0; k < found[i].roofs.size(); ++k) {
            EXPECT_EQ(found[i].roofs[k].roof.harvest_mean_m3, expected[i].roofs[k].roof.harvest_mean_m3);
            EXPECT_EQ(found[i].roofs[k].roof.eave_elev_m, expected[i].roofs[k].roof.eave_elev_m);
            EXPECT_EQ(found[i].roofs[k].roof.demand_m3, expected[i].roofs[k].roof.demand_m3);
        }
    }
}

}  // namespace
}  // namespace eaveshed
