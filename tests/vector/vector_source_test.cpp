#include "eaveshed/vector/vector_source.hpp"

#include <chrono>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>
#include <sqlite3.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/geometry/footprint_geometry.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/shape/measure.hpp"
#include "support/edit_file.hpp"
#include "support/expect_error.hpp"
#include "support/shared_data.hpp"
#include "support/temp_folder.hpp"
#include "support/vector_file.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using testing::LayerToWrite;
using ::testing::Not;
using ::testing::Optional;
using ::testing::SizeIs;
using testing::square_wkt;
using testing::TempFolder;
using testing::write_vector;

namespace fs = std::filesystem;

constexpr double kEast = 500000.0;
constexpr double kNorth = 4000000.0;

std::string square(double dx = 0.0, double side = 10.0) {
    return square_wkt(kEast + dx, kNorth, side);
}

struct Asked {
    std::string section = "footprints";
    std::string layer = {};
    std::vector<std::string> fields = {};
    std::string filter = {};
};

VectorSource opened(const std::string& path, const Asked& asked = {}) {
    Findings findings;
    return VectorSource::open(asked.section, {path, asked.layer}, asked.fields, asked.filter, findings);
}

std::vector<Feature> all_of(VectorSource source) {
    std::vector<Feature> features;
    Feature feature;
    while (source.next(feature)) {
        features.push_back(feature);
    }
    return features;
}

std::vector<Feature> all_of(const std::string& path, const Asked& asked = {}) {
    return all_of(opened(path, asked));
}

// The error that opening brings up; fails when there is none.
Trouble trouble_of(const std::string& path, const Asked& asked = {}, Fault fault = Fault::input) {
    try {
        static_cast<void>(opened(path, asked));
    } catch (const Error& error) {
        EXPECT_EQ(error.fault(), fault) << error.what();
        EXPECT_THAT(error.trouble().where, HasSubstr(asked.section + ".source"));
        return error.trouble();
    }
    ADD_FAILURE() << "no error for " << path;
    return {};
}

// What a layer holds, and what is told of it.
struct Told {
    std::vector<Feature> features;
    VectorInfo info;
    std::string warnings;
    std::string notes;
};

Told told_of(const std::string& path, const Asked& asked) {
    Findings findings;
    VectorSource source = VectorSource::open(asked.section, {path, asked.layer}, asked.fields, asked.filter, findings);
    Told told;
    told.info = source.info();
    for (const Finding& finding : findings.list()) {
        (finding.severity == Severity::warning ? told.warnings : told.notes) += to_text(finding.trouble) + "\n";
    }
    told.features = all_of(std::move(source));
    return told;
}

void run_sql(const std::string& path, const std::string& sql) {
    sqlite3* handle = nullptr;
    ASSERT_EQ(sqlite3_open(path.c_str(), &handle), SQLITE_OK);
    char* said = nullptr;
    EXPECT_EQ(sqlite3_exec(handle, sql.c_str(), nullptr, nullptr, &said), SQLITE_OK) << said;
    sqlite3_free(said);
    sqlite3_close(handle);
}

LayerToWrite buildings() {
    return {.name = "buildings",
            .fields = {{"id", OFTString}, {"floors", OFTInteger}, {"eave", OFTReal}},
            .rows = {{square(), {"a", "1", "2.5"}},
                     {square(100), {"b", "2", std::nullopt}},
                     {square(200), {std::nullopt, "3", "4"}}}};
}

// Without the triggers that plain SQLite cannot run.
LayerToWrite unindexed_buildings() {
    LayerToWrite layer = buildings();
    layer.options = {"SPATIAL_INDEX=NO"};
    return layer;
}

class Format : public ::testing::TestWithParam<std::pair<const char*, const char*>> {};

TEST_P(Format, GivesTheSameFeaturesInTheSameOrder) {
    const auto& [driver, name] = GetParam();
    const TempFolder folder;
    LayerToWrite layer = buildings();
    const bool degrees = std::string(driver) == "GeoJSON";
    if (std::string(driver) == "CSV") {
        layer.options = {"GEOMETRY=AS_WKT"};
    } else if (std::string(driver) == "FlatGeobuf") {
        layer.options = {"SPATIAL_INDEX=NO"};
    }
    if (degrees) {
        layer.crs = "EPSG:4326";
        for (std::size_t i = 0; i < 3; ++i) {
            layer.rows[i].wkt = square_wkt(20.0 + 0.01 * static_cast<double>(i), -34.0, 0.001);
        }
    }
    write_vector(driver, folder.file(name), {layer});
    if (std::string(driver) == "CSV") {
        folder.write("x.prj", crs_from_text("EPSG:32610", "test").wkt());
    }
    const std::vector<std::string> fields{"floors", "", "id", "eave"};
    VectorSource source = opened(folder.file(name), {.fields = fields});
    EXPECT_EQ(source.info().feature_count, 3);
    EXPECT_TRUE(source.info().crs.given());
    EXPECT_EQ(source.info().crs.is_geographic(), degrees);
    if (degrees) {
        EXPECT_NEAR(source.info().extent.x_max, 20.021, 1e-9);
    } else {
        EXPECT_NEAR(source.info().extent.x_max, kEast + 210.0, 1e-9);
    }
    GeometryKit kit;
    for (int pass = 0; pass < 2; ++pass) {
        std::vector<std::string> ids;
        Feature feature;
        for (int i = 0; source.next(feature); ++i) {
            ASSERT_THAT(feature.values, SizeIs(4));
            EXPECT_THAT(feature.values[0], Optional(std::to_string(i + 1)));
            EXPECT_FALSE(feature.values[1]);
            ids.push_back(feature.values[2].value_or(""));
            EXPECT_FALSE(feature.text_replaced);
            EXPECT_EQ(number_from_text(feature.values[3]),
                      i == 1 ? std::nullopt : std::optional<double>(i == 0 ? 2.5 : 4.0));
            const auto outline = kit.polygons(feature.wkb);
            ASSERT_TRUE(outline);
            EXPECT_FALSE(outline->repaired);
            EXPECT_NEAR(planar_area(outline->outline), degrees ? 1e-6 : 100.0, 1e-9);
        }
        EXPECT_THAT(ids, ElementsAre("a", "b", ""));
        EXPECT_FALSE(source.next(feature));
        source.begin({"eave"});
        ASSERT_TRUE(source.next(feature));
        EXPECT_THAT(feature.values, SizeIs(1));
        EXPECT_EQ(number_from_text(feature.values[0]), 2.5);
        EXPECT_FALSE(feature.wkb.empty());
        testing::expect_input_error([&] { source.begin({"aeve"}); }, {"no field 'aeve'", "did you mean 'eave'"});
        source.begin(fields);
    }
}

INSTANTIATE_TEST_SUITE_P(Drivers, Format,
                         ::testing::Values(std::pair{"GPKG", "x.gpkg"}, std::pair{"FlatGeobuf", "x.fgb"},
                                           std::pair{"GeoJSON", "x.geojson"}, std::pair{"ESRI Shapefile", "x.shp"},
                                           std::pair{"CSV", "x.csv"}),
                         [](const auto& one) { return fs::path(one.param.second).extension().string().substr(1); });

TEST(VectorSource, ACsvMayHaveAByteOrderMarkSemicolonsAndQuotedLines) {
    const TempFolder folder;
    const std::string path =
        folder.write("x.csv", "\xEF\xBB\xBFid;geometry;note\r\n1;\"" + square() + "\";\"two\nlines\"\r\n");
    folder.write("x.prj", crs_from_text("EPSG:32610", "test").wkt());
    const std::vector<Feature> features = all_of(path, {.fields = {"id", "note"}});
    ASSERT_THAT(features, SizeIs(1));
    EXPECT_THAT(features[0].values, ElementsAre(Optional(std::string("1")), Optional(std::string("two\nlines"))));
    EXPECT_THAT(features[0].wkb, Not(IsEmpty()));
}

// F18: WKT with nan is a feature without geometry; it is kept.
TEST(VectorSource, ACsvRowWithoutUsableGeometryIsKept) {
    const TempFolder folder;
    const std::string path = folder.write(
        "x.csv", "id,WKT\n1,\"" + square() + "\"\n2,\n3,\"POLYGON((0 0,nan 0,1 1,0 0))\"\n4,POLYGON EMPTY\n");
    folder.write("x.prj", crs_from_text("EPSG:32610", "test").wkt());
    const std::vector<Feature> features = all_of(path, {.fields = {"id"}});
    ASSERT_THAT(features, SizeIs(4));
    EXPECT_THAT(features[1].wkb, IsEmpty());
    EXPECT_THAT(features[2].wkb, IsEmpty());
    EXPECT_THAT(features[3].values[0], Optional(std::string("4")));
}

TEST(VectorSource, NullEmptyAndCurvedGeometriesAndHeightsAreTaken) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path,
                 {{.type = wkbUnknown,
                   .rows = {{""},
                            {"POLYGON EMPTY"},
                            {"CURVEPOLYGON(CIRCULARSTRING(500000 4000000,500020 4000000,500000 4000000))"},
                            {"POLYGON Z ((500000 4000000 5,500010 4000000 6,500010 4000010 7,500000 4000000 5))"},
                            {"POINT(500000 4000000)"}}}});
    const std::vector<Feature> features = all_of(path);
    ASSERT_THAT(features, SizeIs(5));
    GeometryKit kit;
    EXPECT_THAT(features[0].wkb, IsEmpty());
    EXPECT_THAT(features[1].wkb, Not(IsEmpty()));
    EXPECT_FALSE(kit.polygons(features[1].wkb));
    const auto circle = kit.polygons(features[2].wkb);
    ASSERT_TRUE(circle);
    // Derived: a polygon of 90 sides (4 degrees each) in a circle of radius 10.
    EXPECT_NEAR(planar_area(circle->outline), 0.5 * 90 * 100 * std::sin(4.0 * std::acos(-1.0) / 180.0), 1e-2);
    const auto raised = kit.polygons(features[3].wkb);
    ASSERT_TRUE(raised);
    EXPECT_NEAR(planar_area(raised->outline), 50.0, 1e-9);
    EXPECT_FALSE(kit.polygons(features[4].wkb));
    EXPECT_THAT(kit.point(features[4].wkb), Optional(Point{kEast, kNorth}));
}

TEST(VectorSource, FeatureIdsAreThoseOfTheLayerAlsoNegativeOnes) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path, {{.rows = {{square()}, {square(100)}}, .options = {"SPATIAL_INDEX=NO"}}});
    run_sql(
        path,
        "UPDATE buildings SET fid = -5 WHERE fid = 1; UPDATE buildings SET fid = 4611686018427387904 WHERE fid = 2");
    const std::vector<Feature> features = all_of(path, {.fields = {"fid"}});
    ASSERT_THAT(features, SizeIs(2));
    EXPECT_EQ(features[0].fid, -5);
    EXPECT_EQ(features[1].fid, 4611686018427387904);
    EXPECT_THAT(features[1].values[0],
                Optional(std::string("4611686018427387904")));  // the key may be asked for by name
}

TEST(VectorSource, TheOnlyLayerOfTheFittingGeometryIsTakenWithoutAName) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path,
                 {{.name = "stops", .type = wkbPoint, .rows = {{"POINT(500000 4000000)"}}},
                  {.name = "houses",
                   .type = wkbMultiPolygon,
                   .rows = {{"MULTIPOLYGON(((500000 4000000,500001 4000000,500001 4000001,500000 4000000)))"}}},
                  {.name = "brooks", .type = wkbLineString, .rows = {{"LINESTRING(500000 4000000,500001 4000001)"}}},
                  {.name = "owners", .type = wkbNone, .fields = {{"name"}}, .rows = {{"", {"x"}}}}});
    EXPECT_EQ(opened(path).info().layer, "houses");
    EXPECT_THAT(trouble_of(path, {.section = "exclusions"}).found, HasSubstr("'stops'"));  // any of the three would do
    EXPECT_EQ(opened(path, {.section = "streams"}).info().layer, "brooks");
    EXPECT_EQ(opened(path, {.section = "roads"}).info().layer, "brooks");  // lines before polygons
    EXPECT_EQ(opened(path, {.section = "roads", .layer = "houses"}).info().layer, "houses");
    EXPECT_EQ(opened(path, {.section = "use_points"}).info().layer, "stops");
    EXPECT_THAT(trouble_of(path, {.section = "overrides"}).found, HasSubstr("'owners'"));
    EXPECT_EQ(opened(path, {.section = "overrides", .layer = "owners", .fields = {"name"}}).info().feature_count, 1);
}

TEST(VectorSource, ALayerTakenAmongOthersIsNoted) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path,
                 {{.name = "houses", .rows = {{square()}}},
                  {.name = "brooks", .type = wkbLineString, .rows = {{"LINESTRING(500000 4000000,500001 4000001)"}}}});
    EXPECT_THAT(told_of(path, {}).notes, HasSubstr("2 layers, of which 'houses' is the only one of polygons"));
    EXPECT_THAT(told_of(path, {.layer = "houses"}).notes, IsEmpty());
}

TEST(VectorSource, SeveralFittingLayersAreAnErrorThatListsThem) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path,
                 {{.name = "houses", .rows = {{square()}}}, {.name = "barns", .rows = {{square()}, {square(50)}}}});
    const Trouble trouble = trouble_of(path);
    EXPECT_THAT(trouble.found, HasSubstr("'houses' (Polygon, 1 features), 'barns' (Polygon, 2 features)"));
    EXPECT_THAT(trouble.remedy, HasSubstr("layer ="));
    EXPECT_EQ(opened(path, {.layer = "barns"}).info().feature_count, 2);
}

TEST(VectorSource, ALayerIsFoundByItsNameInAnyCaseWhenThatIsClear) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path, {{.name = "Houses", .rows = {{square()}}}, {.name = "barns", .rows = {{square()}}}});
    EXPECT_EQ(opened(path, {.layer = "houses"}).info().layer, "Houses");
    const Trouble trouble = trouble_of(path, {.layer = "hosues"});
    EXPECT_THAT(trouble.found, HasSubstr("no layer 'hosues'"));
    EXPECT_THAT(trouble.wanted, HasSubstr("'Houses' (Polygon, 1 features)"));
    EXPECT_EQ(trouble.remedy, "did you mean 'Houses'?");
}

TEST(VectorSource, ALayerOfTheWrongGeometryIsAnError) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path, {{.name = "stops", .type = wkbPoint, .rows = {{"POINT(500000 4000000)"}}}});
    const Trouble trouble = trouble_of(path);
    EXPECT_THAT(trouble.where, HasSubstr("layer 'stops'"));
    EXPECT_THAT(trouble.found, HasSubstr("Point"));
    EXPECT_THAT(trouble.wanted, HasSubstr("polygons"));
    const std::string table = folder.file("table.gpkg");
    write_vector("GPKG", table, {{.name = "owners", .type = wkbNone, .fields = {{"name"}}, .rows = {{"", {"x"}}}}});
    EXPECT_THAT(trouble_of(table).found, HasSubstr("None"));
}

TEST(VectorSource, FieldsAreFoundByCaseFirstThenWithoutIt) {
    const TempFolder folder;
    const std::string path = folder.write("x.csv", "Name,name,Floors,WKT\nA,b,3,\"" + square() + "\"\n");
    folder.write("x.prj", crs_from_text("EPSG:32610", "test").wkt());
    const std::vector<Feature> features = all_of(path, {.fields = {"name", "Name", "FLOORS"}});
    ASSERT_THAT(features, SizeIs(1));
    EXPECT_THAT(features[0].values,
                ElementsAre(Optional(std::string("b")), Optional(std::string("A")), Optional(std::string("3"))));
    EXPECT_THAT(trouble_of(path, {.fields = {"NAME"}}).found, HasSubstr("no field 'NAME'"));  // which one?
}

TEST(VectorSource, AFieldNameMadeToHurtIsANameLikeAnyOther) {
    const TempFolder folder;
    const std::vector<std::string> names{
        "select", "group",      std::string(70, 'a'), "h\xC3\xB6he", "ea\"ve", "ea've", "x\"; DROP TABLE buildings; --",
        "*",      "eave height"};
    LayerToWrite layer;
    for (const std::string& name : names) {
        layer.fields.push_back({name});
    }
    layer.rows = {{square(), {"0", "1", "2", "3", "4", "5", "6", "7", "8"}}};
    for (const auto& [driver, name] : {std::pair{"GPKG", "x.gpkg"}, std::pair{"FlatGeobuf", "x.fgb"}}) {
        write_vector(driver, folder.file(name), {layer});
        const std::vector<Feature> features = all_of(folder.file(name), {.fields = names});
        ASSERT_THAT(features, SizeIs(1)) << driver;
        for (std::size_t i = 0; i < names.size(); ++i) {
            EXPECT_THAT(features[0].values[i], Optional(std::to_string(i))) << driver << ' ' << names[i];
            EXPECT_THAT(all_of(folder.file(name), {.fields = {names[i]}})[0].values[0], Optional(std::to_string(i)));
        }
    }
    EXPECT_EQ(opened(folder.file("x.gpkg")).info().feature_count, 1);  // nothing was dropped
}

TEST(VectorSource, AMissingFieldIsAnErrorThatListsThoseThereAre) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path, {buildings()});
    const Trouble trouble = trouble_of(path, {.fields = {"id", "flors"}});
    EXPECT_THAT(trouble.found, HasSubstr("no field 'flors'"));
    EXPECT_THAT(trouble.wanted, HasSubstr("id, floors, eave"));
    EXPECT_EQ(trouble.remedy, "did you mean 'floors'?");
}

TEST(VectorSource, AFilterSelectsInEveryFormatAlsoByFieldsNotAskedFor) {
    const TempFolder folder;
    for (const auto& [driver, name] :
         {std::pair{"GPKG", "x.gpkg"}, std::pair{"FlatGeobuf", "x.fgb"}, std::pair{"ESRI Shapefile", "x.shp"}}) {
        write_vector(driver, folder.file(name), {buildings()});
        VectorSource source = opened(folder.file(name), {.fields = {"id"}, .filter = "floors >= 2 AND eave IS NULL"});
        EXPECT_EQ(source.info().feature_count, 1) << driver;
        const std::vector<Feature> features = all_of(std::move(source));
        ASSERT_THAT(features, SizeIs(1)) << driver;
        EXPECT_THAT(features[0].values[0], Optional(std::string("b"))) << driver;
    }
}

TEST(VectorSource, ABadFilterIsAnErrorWithTheParsersMessage) {
    const TempFolder folder;
    for (const auto& [driver, name] : {std::pair{"GPKG", "x.gpkg"}, std::pair{"FlatGeobuf", "x.fgb"}}) {
        write_vector(driver, folder.file(name), {buildings()});
        for (const char* const filter :
             {"floors >= ", "no_such_field = 1", "use <> 'x' AND (", "1) ; DROP TABLE buildings; --"}) {
            const Trouble trouble = trouble_of(folder.file(name), {.filter = filter});
            EXPECT_THAT(trouble.found, HasSubstr("a filter that cannot be used")) << driver << ": " << filter;
            EXPECT_THAT(trouble.found, HasSubstr(filter)) << driver;
            EXPECT_GT(trouble.found.size(), std::string(filter).size() + 50) << "the parser's message is missing";
            EXPECT_EQ(trouble.found.find('\n'), std::string::npos);
        }
    }
    EXPECT_EQ(opened(folder.file("x.gpkg")).info().feature_count, 3);  // nothing was dropped
}

// A project file may be a stranger's: its filter judges rows and does nothing else, in every format alike.
TEST(VectorSource, AFilterThatCouldDoMoreThanJudgeARowIsRefusedBeforeItRuns) {
    const TempFolder folder;
    for (const auto& [driver, name] : {std::pair{"GPKG", "x.gpkg"}, std::pair{"FlatGeobuf", "x.fgb"}}) {
        write_vector(driver, folder.file(name), {buildings()});
        for (const char* const filter :
             {"floors > 0 AND 1 < (WITH RECURSIVE r(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM r) SELECT max(n) FROM "
              "r)",
              "floors IN (SELECT floors FROM buildings)", "floors IN gpkg_contents", "1 ORDER BY floors", "1 LIMIT 1",
              "floors > 0; SELECT 1", "floors > 0 -- AND use = 'x'", "load_extension('x') IS NULL",
              "length(randomblob(1000000000)) > 0", "date('now') > '2020'"}) {
            const Trouble trouble = trouble_of(folder.file(name), {.filter = filter});
            EXPECT_THAT(trouble.found, HasSubstr("a filter that cannot be used")) << driver << ": " << filter;
            EXPECT_THAT(trouble.found, HasSubstr("there is ")) << driver << ": " << filter;
        }
    }
}

TEST(VectorSource, AFieldThatAFilterDoesNotFindIsAnsweredWithTheNearest) {
    const TempFolder folder;
    for (const auto& [driver, name] : {std::pair{"GPKG", "x.gpkg"}, std::pair{"FlatGeobuf", "x.fgb"}}) {
        write_vector(driver, folder.file(name), {buildings()});
        EXPECT_THAT(trouble_of(folder.file(name), {.filter = "flors > 1"}).remedy, HasSubstr("did you mean 'floors'?"))
            << driver;
        // Between double quotes stand names: SQLite by itself would take one that it does not find for a text.
        EXPECT_THAT(trouble_of(folder.file(name), {.filter = "id <> \"greenhouse\""}).remedy,
                    HasSubstr("text values stand between single quotes"))
            << driver;
    }
}

// abs() of the least whole number has no answer.
TEST(VectorSource, AFilterThatFailsAtALaterRowIsTheFiltersFaultAndNotTheFiles) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path, {buildings()});
    testing::edit_file(
        path, {"UPDATE buildings SET floors = -9223372036854775808 WHERE fid = (SELECT max(fid) FROM buildings)"});
    testing::expect_error([&] { static_cast<void>(all_of(path, {.filter = "abs(floors) > 0"})); }, Fault::input,
                          {"a filter that cannot be used, where = \"abs(floors) > 0\"", "overflow"});
}

TEST(VectorSource, NothingSelectedIsAnError) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path, {buildings()});
    EXPECT_THAT(trouble_of(path, {.filter = "floors > 99"}).found, HasSubstr("0 features that meet"));
    write_vector("GPKG", folder.file("empty.gpkg"), {{.name = "nothing"}});
    EXPECT_THAT(trouble_of(folder.file("empty.gpkg")).found, HasSubstr("a layer without features"));
}

TEST(VectorSource, ACountThatTheFileCannotHoldIsAnError) {
    const TempFolder folder;
    LayerToWrite layer = buildings();
    while (layer.rows.size() < 777) {
        layer.rows.push_back(layer.rows.front());
    }
    write_vector("GPKG", folder.file("x.gpkg"), {layer});
    run_sql(folder.file("x.gpkg"), "UPDATE gpkg_ogr_contents SET feature_count = 5000000000000");
    write_vector("FlatGeobuf", folder.file("x.fgb"), {layer});
    // The header holds the count as 8 bytes, the lowest first (the format's schema, header.fbs: features_count).
    std::ifstream in(folder.file("x.fgb"), std::ios::binary);
    std::string bytes{std::istreambuf_iterator<char>(in), {}};
    const std::string count("\x09\x03\0\0\0\0\0\0", 8);
    const std::size_t at = bytes.find(count);
    ASSERT_NE(at, std::string::npos);
    bytes[at + 5] = '\x01';
    folder.write("x.fgb", bytes);
    for (const char* const name : {"x.gpkg", "x.fgb"}) {
        testing::expect_input_error([&] { opened(folder.file(name)); },
                                    {name, "features"});  // of FlatGeobuf GDAL says so
    }
}

TEST(VectorSource, AStaleFeatureCountIsFoundOut) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path, {buildings()});
    run_sql(path, "UPDATE gpkg_ogr_contents SET feature_count = 0");
    EXPECT_EQ(opened(path).info().feature_count, 3);
}

TEST(VectorSource, AMissingReferenceSystemIsAnErrorWithAGuessAndARemedy) {
    const TempFolder folder;
    LayerToWrite layer = buildings();
    layer.crs.clear();
    write_vector("GPKG", folder.file("x.gpkg"), {layer});
    const Trouble trouble = trouble_of(folder.file("x.gpkg"));
    EXPECT_THAT(trouble.found, HasSubstr("no coordinate reference system"));
    EXPECT_THAT(trouble.found, HasSubstr("metres or feet"));
    EXPECT_THAT(trouble.remedy, HasSubstr("-a_srs"));
    write_vector("ESRI Shapefile", folder.file("x.shp"), {layer});
    EXPECT_THAT(trouble_of(folder.file("x.shp")).remedy, HasSubstr(".prj"));
    const std::string csv = folder.write("y.csv", "id,WKT\n1,\"" + square_wkt(20.0, -34.0, 0.001) + "\"\n");
    EXPECT_THAT(trouble_of(csv).found, HasSubstr("look like degrees"));
    // A table of overrides needs none.
    EXPECT_EQ(opened(csv, {.section = "overrides"}).info().feature_count, 1);
}

TEST(VectorSource, ALocalReferenceSystemIsAnError) {
    const TempFolder folder;
    LayerToWrite layer = buildings();
    layer.crs = R"(LOCAL_CS["building site",UNIT["metre",1],AXIS["x",EAST],AXIS["y",NORTH]])";
    write_vector("ESRI Shapefile", folder.file("x.shp"), {layer});
    EXPECT_THAT(trouble_of(folder.file("x.shp")).found, HasSubstr("local coordinate reference system building site"));
}

TEST(VectorSource, GeoJsonIsWgs84ByItsStandard) {
    const TempFolder folder;
    const std::string path = folder.write("x.geojson", R"({"type":"FeatureCollection","features":[{
        "type":"Feature","properties":{"n":1.50},
        "geometry":{"type":"Polygon","coordinates":[[[20,-34],[20.001,-34],[20.001,-33.999],[20,-34]]]}}]})");
    VectorSource source = opened(path, {.fields = {"n"}});
    EXPECT_THAT(source.info().crs.name(), HasSubstr("4326"));
    EXPECT_THAT(all_of(std::move(source))[0].values[0], Optional(std::string("1.5")));
}

TEST(VectorSource, CoordinatesThatDoNotFitTheReferenceSystemAreAnError) {
    const TempFolder folder;
    write_vector("GPKG", folder.file("degrees.gpkg"), {{.rows = {{square_wkt(20.0, -34.0, 0.001)}, {""}}}});
    const Trouble degrees = trouble_of(folder.file("degrees.gpkg"));
    EXPECT_THAT(degrees.found, HasSubstr("do not fit EPSG:32610"));
    EXPECT_THAT(degrees.remedy, HasSubstr("degrees"));
    write_vector("GPKG", folder.file("metres.gpkg"), {{.crs = "EPSG:4326", .rows = {{square()}, {square(50)}}}});
    EXPECT_THAT(trouble_of(folder.file("metres.gpkg")).found, HasSubstr("do not fit EPSG:4326"));
}

TEST(VectorSource, OneStrayFeatureOrAStaleExtentDoesNotStopALayer) {
    const TempFolder folder;
    write_vector("GPKG", folder.file("a.gpkg"), {{.rows = {{square_wkt(0.0, 0.0, 1.0)}, {square()}}}});
    EXPECT_EQ(opened(folder.file("a.gpkg")).info().feature_count, 2);
    write_vector("GPKG", folder.file("b.gpkg"),
                 {{.crs = "EPSG:4326", .rows = {{square()}, {square_wkt(20.0, -34.0, 0.001)}}}});
    EXPECT_EQ(opened(folder.file("b.gpkg")).info().feature_count, 2);
    run_sql(folder.file("a.gpkg"), "UPDATE gpkg_contents SET min_x = 0, min_y = 0, max_x = 0, max_y = 0");
    const VectorInfo stale = opened(folder.file("a.gpkg")).info();
    EXPECT_EQ(stale.feature_count, 2);
    EXPECT_NEAR(stale.extent.x_max, kEast + 10.0, 1e-9);
    EXPECT_NEAR(stale.extent.x_min, 0.0, 1e-9);
}

TEST(VectorSource, TextThatIsNotUtf8IsReplacedAndFlagged) {
    const TempFolder folder;
    const std::string path = folder.file("x.shp");
    write_vector("ESRI Shapefile", path,
                 {{.fields = {{"name"}},
                   .rows = {{square(), {"caf\xC3\xA9"}}, {square(50), {"plain"}}},
                   .options = {"ENCODING=ISO-8859-1"}}});
    fs::remove(folder.file("x.cpg"));
    std::fstream table(folder.file("x.dbf"), std::ios::in | std::ios::out | std::ios::binary);
    table.seekp(29);
    table.put('\0');  // no language driver: nothing says what the bytes mean
    table.close();
    const std::vector<Feature> features = all_of(path, {.fields = {"name"}});
    ASSERT_THAT(features, SizeIs(2));
    EXPECT_THAT(features[0].values[0], Optional(std::string("caf\xEF\xBF\xBD")));
    EXPECT_TRUE(features[0].text_replaced);
    EXPECT_FALSE(features[1].text_replaced);
}

class ShapefileParts : public ::testing::Test {
protected:
    ShapefileParts() {
        LayerToWrite layer = buildings();
        write_vector("ESRI Shapefile", m_folder.file("x.shp"), {layer});
    }
    [[nodiscard]] std::string path() const { return m_folder.file("x.shp"); }
    void cut(const std::string& name, std::uintmax_t bytes) const {
        fs::resize_file(m_folder.file(name), fs::file_size(m_folder.file(name)) - bytes);
    }
    TempFolder m_folder;
};

TEST_F(ShapefileParts, AreNamedWhereOneIsMissing) {
    EXPECT_EQ(opened(path(), {.fields = {"id"}}).info().feature_count, 3);
    for (const char* const ending : {".shx", ".dbf"}) {
        fs::rename(m_folder.file(std::string("x") + ending), m_folder.file("away"));
        const Trouble trouble = trouble_of(path());
        EXPECT_THAT(trouble.found, HasSubstr(std::string("without its ") + ending));
        EXPECT_THAT(trouble.remedy, HasSubstr("together"));
        fs::rename(m_folder.file("away"), m_folder.file(std::string("x") + ending));
    }
    fs::rename(m_folder.file("x.dbf"), m_folder.file("x.DBF"));  // another case is the same part
    EXPECT_EQ(opened(path(), {.fields = {"id"}}).info().feature_count, 3);
}

TEST_F(ShapefileParts, AreNoSourceOfTheirOwn) {
    const Trouble trouble = trouble_of(m_folder.file("x.dbf"));
    EXPECT_THAT(trouble.found, HasSubstr("one of the parts"));
    EXPECT_THAT(trouble.remedy, HasSubstr("x.shp"));
}

TEST_F(ShapefileParts, AreAnErrorWhereTheirEndIsMissing) {
    cut("x.shp", 40);
    EXPECT_THAT(trouble_of(path()).found, HasSubstr("'x.shp' says that it has"));
    write_vector("ESRI Shapefile", m_folder.file("y.shp"), {buildings()});
    cut("y.dbf", 5);
    EXPECT_THAT(trouble_of(m_folder.file("y.shp")).found, HasSubstr("'y.dbf' says that it has"));
}

// Lengths stand in a .shp and a .shx at byte 24, in 16-bit words, the highest byte first (ESRI Shapefile Technical
// Description, 1998, tables 1 and 8); the rows of a .dbf at byte 4, the lowest first (dBASE III, common practice).
TEST_F(ShapefileParts, AreAnErrorWhereTheirHeadsDeclareMoreThanTheyHold) {
    struct Head {
        const char* name;
        std::streamoff at;
    };
    for (const Head& head : {Head{"x.shp", 24}, Head{"x.shx", 24}, Head{"x.dbf", 4}}) {
        write_vector("ESRI Shapefile", path(), {buildings()});
        std::fstream file(m_folder.file(head.name), std::ios::in | std::ios::out | std::ios::binary);
        file.seekp(head.at);
        file.write("\x7f\xff\xff\x7f", 4);
        file.close();
        EXPECT_THAT(trouble_of(path()).found, HasSubstr(fmt::format("'{}' says that it has", head.name)));
    }
}

TEST_F(ShapefileParts, AreAnErrorWhereTheyComeFromTwoFiles) {
    LayerToWrite other = buildings();
    other.rows.pop_back();
    write_vector("ESRI Shapefile", m_folder.file("y.shp"), {other});
    fs::copy_file(m_folder.file("y.dbf"), m_folder.file("x.dbf"), fs::copy_options::overwrite_existing);
    EXPECT_THAT(trouble_of(path()).found, HasSubstr("3 features with shapes in 'x.shx', 2 rows in 'x.dbf'"));
}

class CsvRows : public ::testing::Test {
protected:
    [[nodiscard]] std::string written(const std::string& text) const {
        m_folder.write("x.prj", crs_from_text("EPSG:32610", "test").wkt());
        return m_folder.write("x.csv", text);
    }
    [[nodiscard]] Told told(const std::string& text) const { return told_of(written(text), {.fields = {"id"}}); }
    [[nodiscard]] static std::string row(int number, const std::string& more = {}) {
        return fmt::format("{},metal,\"{}\"{}\n", number, square(20.0 * number), more);
    }
    TempFolder m_folder;
};

TEST_F(CsvRows, OfTooFewOrTooManyValuesAreToldWithTheirLines) {
    const Told found = told("id,mat,WKT\n" + row(1) + "2,metal\n" + row(3, ",extra") + "\n" + row(4) + "5\n");
    EXPECT_THAT(found.features, SizeIs(5));
    EXPECT_THAT(found.warnings, HasSubstr("2 rows with fewer values than there are columns, at line 3, 7"));
    EXPECT_THAT(found.warnings, HasSubstr("1 row with more values than there are columns, at line 4"));
    EXPECT_THAT(found.warnings, HasSubstr("3 values in each row"));
}

TEST_F(CsvRows, MayEndInEmptyValuesAndStandBetweenBlankLines) {
    const Told found = told("\xEF\xBB\xBFid,mat,WKT\r\n" + row(1, ",,") + "\n\n" + row(2, " ") + ",,\n");
    EXPECT_THAT(found.warnings, IsEmpty());
    EXPECT_THAT(found.features, SizeIs(3));
}

TEST_F(CsvRows, WithQuotedLinesAndDoubledMarksAreInOrder) {
    const Told found = told("id,mat,WKT\n1,\"a \"\"fine\"\"\nroof\",\"" + square() + "\"\n" + row(2));
    EXPECT_THAT(found.warnings, IsEmpty());
    EXPECT_THAT(found.features, SizeIs(2));
}

// The library counts quotation marks and joins lines until they are even: the rows between would be gone.
TEST_F(CsvRows, AreNeverSwallowedByAQuotationMark) {
    const std::string inches = written("id,mat,WKT\n" + row(1) + "2,6\" gutter,\"" + square(40.0) + "\"\n" + row(3));
    EXPECT_THAT(trouble_of(inches).found, HasSubstr("a quotation mark in line 3"));
    const std::string open = written("id,mat,WKT\n" + row(1) + "2,\"metal,\n" + row(3) + row(4));
    EXPECT_THAT(trouble_of(open).found, HasSubstr("a quotation mark in line 3"));
    const std::string last = written("id,mat,WKT\n" + row(1) + "2,\"metal,X\n");
    EXPECT_THAT(trouble_of(last).found, HasSubstr("a quotation mark in line 3"));
    EXPECT_THAT(trouble_of(last).remedy, HasSubstr("mend that line"));
}

TEST_F(CsvRows, InUtf16AreAnErrorWithARemedy) {
    const std::string path = written(std::string("\xFF\xFEi\0d\0\n\0", 8));
    EXPECT_THAT(trouble_of(path).found, HasSubstr("UTF-16"));
    EXPECT_THAT(trouble_of(path).remedy, HasSubstr("UTF-8"));
}

class PointColumnNames : public ::testing::TestWithParam<const char*> {};

TEST_P(PointColumnNames, GiveThePlacesOfATable) {
    const TempFolder folder;
    const std::string names = GetParam();
    const bool degrees = names == "lon,lat" || names == "Longitude,Latitude";
    const std::string path = folder.write(
        "x.csv", "apn," + names +
                     (degrees ? "\nA,20.25,-34.5\nB,20.5,-34.75\n" : "\nA,500000.25,4000000.5\nB,500001,4000002\n"));
    const Told found = told_of(path, {.section = "use_points", .fields = {"apn"}});
    ASSERT_THAT(found.features, SizeIs(2));
    GeometryKit kit;
    EXPECT_THAT(kit.point(found.features[0].wkb),
                Optional(degrees ? Point{20.25, -34.5} : Point{kEast + 0.25, kNorth + 0.5}));
    EXPECT_THAT(found.features[1].values[0], Optional(std::string("B")));
    EXPECT_EQ(found.info.extent.x_max, degrees ? 20.5 : kEast + 1.0);
    EXPECT_EQ(found.info.crs.given(), degrees);  // else whoever opened it says
    EXPECT_EQ(found.notes.find("WGS 84") != std::string::npos, degrees);
}

INSTANTIATE_TEST_SUITE_P(Names, PointColumnNames,
                         ::testing::Values("x,y", "X,Y", "lon,lat", "Longitude,Latitude", "easting,northing"),
                         [](const auto& one) {
                             std::string name = one.param;
                             std::erase(name, ',');
                             return name;
                         });

TEST(PointColumns, MayHaveDecimalCommasAndSayWhichRowHasNoPlace) {
    const TempFolder folder;
    folder.write("x.prj", crs_from_text("EPSG:32610", "test").wkt());
    const std::string path = folder.write("x.csv", "apn;x;y\nA;500000,5;4000000,25\nB;;\nC;500,125;4000000\n");
    const Told found = told_of(path, {.section = "exclusions"});
    ASSERT_THAT(found.features, SizeIs(3));
    GeometryKit kit;
    EXPECT_THAT(kit.point(found.features[0].wkb), Optional(Point{kEast + 0.5, kNorth + 0.25}));
    EXPECT_THAT(found.features[1].wkb, IsEmpty());
    EXPECT_THAT(found.features[2].wkb, IsEmpty());
    EXPECT_THAT(found.info.crs.name(), HasSubstr("32610"));
    EXPECT_THAT(found.warnings, HasSubstr("2 rows without a place, the first is row 2"));
}

TEST(PointColumns, ThatAreMissingOrEmptyAreAnErrorThatNamesThem) {
    const TempFolder folder;
    const std::string none = folder.write("x.csv", "apn,east_m,north_m\nA,1,2\n");
    const Trouble trouble = trouble_of(none, {.section = "use_points"});
    EXPECT_THAT(trouble.found, HasSubstr("apn, east_m, north_m"));
    EXPECT_THAT(trouble.wanted, HasSubstr("x and y, lon and lat"));
    EXPECT_THAT(trouble_of(none).wanted, HasSubstr("polygons in a column WKT"));
    const std::string empty = folder.write("y.csv", "apn,x,y\nA,,\nB,north,south\n");
    EXPECT_THAT(trouble_of(empty, {.section = "use_points"}).found, HasSubstr("no place in any row"));
}

TEST(PointColumns, InDegreesWhereMetresAreStatedAreAnError) {
    const TempFolder folder;
    folder.write("x.prj", crs_from_text("EPSG:32610", "test").wkt());
    const std::string path = folder.write("x.csv", "lon,lat\n20.5,-34\n");
    EXPECT_THAT(trouble_of(path, {.section = "use_points"}).found, HasSubstr("do not fit EPSG:32610"));
    const std::string metres = folder.write("y.csv", "lon,lat\n500000,4000000\n");
    EXPECT_THAT(trouble_of(metres, {.section = "use_points"}).found, HasSubstr("do not fit EPSG:4326"));
}

TEST(VectorSource, ASpreadsheetMayHoldMeasuredValuesButNoShapes) {
    const TempFolder folder;
    const std::string path = folder.file("x.xlsx");
    write_vector("XLSX", path,
                 {{.name = "values",
                   .type = wkbNone,
                   .crs = "",
                   .fields = {{"roof_id"}, {"eave_height_m", OFTReal}},
                   .rows = {{"", {"R1", "2.5"}}}}});
    const std::vector<Feature> features =
        all_of(path, {.section = "overrides", .fields = {"roof_id", "eave_height_m"}});
    ASSERT_THAT(features, SizeIs(1));
    EXPECT_THAT(features[0].values, ElementsAre(Optional(std::string("R1")), Optional(std::string("2.5"))));
    EXPECT_THAT(trouble_of(path).found, HasSubstr("format XLSX"));
}

TEST(VectorSource, TextEndsAtANulCharacter) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path, {unindexed_buildings()});
    run_sql(path, "UPDATE buildings SET id = CAST(x'61620063' AS TEXT) WHERE fid = 1");
    EXPECT_THAT(all_of(path, {.fields = {"id"}})[0].values[0], Optional(std::string("ab")));
}

TEST(VectorSource, AFileOfAnotherFormatIsNamedWhateverItsNameSays) {
    const TempFolder folder;
    const std::string vrt = folder.write("x.gpkg",
                                         "<OGRVRTDataSource><OGRVRTLayer name=\"x\"><SrcDataSource>y.gpkg"
                                         "</SrcDataSource></OGRVRTLayer></OGRVRTDataSource>");
    EXPECT_THAT(trouble_of(vrt).found, HasSubstr("format OGR_VRT"));
    const std::string kml =
        folder.write("x.geojson", "<?xml version=\"1.0\"?><kml xmlns=\"http://www.opengis.net/kml/2.2\"/>");
    EXPECT_THAT(trouble_of(kml).found, HasSubstr("KML"));
    const std::string noise = folder.write("noise.gpkg", std::string(5000, '\x5A'));
    EXPECT_THAT(trouble_of(noise).found, HasSubstr("nothing recognises"));
    EXPECT_THAT(trouble_of(noise).remedy, HasSubstr("convert"));
    run_sql(folder.file("plain.sqlite"), "CREATE TABLE a(x)");
    EXPECT_THAT(trouble_of(folder.file("plain.sqlite")).found, HasSubstr("SQLite"));
}

TEST(VectorSource, ADamagedFileIsAnErrorWithTheLibrarysMessage) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path, {buildings()});
    fs::resize_file(path, 8192);
    EXPECT_THAT(trouble_of(path).found, HasSubstr("malformed"));
    const std::string json = folder.write("x.geojson", R"({"type":"FeatureCollection","features":[{"type":"Feature",)");
    EXPECT_THAT(trouble_of(json).found, HasSubstr("damaged or incomplete GeoJSON"));
}

TEST(VectorSource, ADamagedPageInTheMiddleIsAReadErrorAndNoShorterLayer) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    LayerToWrite layer{.options = {"SPATIAL_INDEX=NO"}};
    for (int i = 0; i < 5000; ++i) {
        layer.rows.push_back({square(20.0 * i)});
    }
    write_vector("GPKG", path, {layer});
    const auto size = fs::file_size(path);
    std::fstream file(path, std::ios::in | std::ios::out | std::ios::binary);
    file.seekp(static_cast<std::streamoff>(size / 2 / 4096 * 4096));
    const std::string noise(4096, '\xEE');
    file.write(noise.data(), static_cast<std::streamsize>(noise.size()));
    file.close();
    try {
        const std::vector<Feature> features = all_of(path);
        FAIL() << features.size() << " features and no error";
    } catch (const Error& error) {
        EXPECT_EQ(error.fault(), Fault::working);
        EXPECT_THAT(error.trouble().found, HasSubstr("a read error after feature"));
        EXPECT_THAT(error.trouble().found, HasSubstr("malformed"));
    }
}

TEST(VectorSource, PathsThatAreNoFileAreAnsweredByTheSharedCheck) {
    const TempFolder folder;
    EXPECT_THAT(trouble_of(folder.file("missing.gpkg")).found, HasSubstr("no such file"));
    EXPECT_THAT(trouble_of(folder.path().string()).found, HasSubstr("a folder"));
    EXPECT_THAT(trouble_of(folder.write("x.gpkg", "")).found, HasSubstr("empty file"));
    EXPECT_THAT(trouble_of("http://127.0.0.1:9/x.geojson").found, HasSubstr("network"));
}

TEST(VectorSource, ALayerNameMadeToHurtIsANameLikeAnyOther) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    const std::string name = "\"; DROP TABLE buildings; --";
    LayerToWrite hostile = unindexed_buildings();
    hostile.name = "hostile";
    hostile.fields[0].name = "a\"b'; DROP TABLE x; --";
    write_vector("GPKG", path, {unindexed_buildings(), hostile});
    std::string sql = R"(ALTER TABLE hostile RENAME TO """; DROP TABLE buildings; --";)";
    for (const char* const table : {"gpkg_contents", "gpkg_geometry_columns", "gpkg_ogr_contents"}) {
        sql += fmt::format("UPDATE {} SET table_name = '{}' WHERE table_name = 'hostile';", table, name);
    }
    run_sql(path, "PRAGMA foreign_keys = OFF;" + sql);
    VectorSource source = opened(path, {.layer = name, .fields = {hostile.fields[0].name}, .filter = "floors = 2"});
    EXPECT_EQ(source.info().layer, name);
    const std::vector<Feature> features = all_of(std::move(source));
    ASSERT_THAT(features, SizeIs(1));
    EXPECT_THAT(features[0].values[0], Optional(std::string("b")));
    EXPECT_EQ(opened(path, {.layer = "buildings"}).info().feature_count, 3);
}

// Registers a view as a layer. Its query never ends once it is run.
void add_endless_view(const std::string& path) {
    run_sql(path,
            "CREATE VIEW trap AS WITH RECURSIVE r(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM r)"
            " SELECT n AS OGC_FID, (SELECT geom FROM buildings) AS geom FROM r WHERE n < 0;"
            "INSERT INTO gpkg_contents(table_name, data_type, identifier, srs_id)"
            " VALUES ('trap', 'features', 'trap', 32610);"
            "INSERT INTO gpkg_geometry_columns VALUES ('trap', 'geom', 'POLYGON', 32610, 0, 0)");
}

TEST(VectorSource, AViewIsNotTouchedUnlessItIsNamed) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path, {buildings()});
    add_endless_view(path);
    const auto start = std::chrono::steady_clock::now();
    EXPECT_EQ(all_of(path).size(), 3U);
    EXPECT_THAT(trouble_of(path, {.layer = "nothing"}).wanted, HasSubstr("'trap' (a view, not read)"));
    EXPECT_LT(std::chrono::steady_clock::now() - start, std::chrono::seconds(10));
}

TEST(VectorSource, AViewThatEndsIsReadWhenItIsNamed) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path, {buildings()});
    run_sql(path,
            "CREATE VIEW tall AS SELECT fid AS OGC_FID, geom, id FROM buildings WHERE floors > 1;"
            "INSERT INTO gpkg_contents(table_name, data_type, identifier, srs_id)"
            " VALUES ('tall', 'features', 'tall', 32610);"
            "INSERT INTO gpkg_geometry_columns VALUES ('tall', 'geom', 'POLYGON', 32610, 0, 0)");
    EXPECT_EQ(opened(path).info().layer, "buildings");
    EXPECT_EQ(all_of(path, {.layer = "tall", .fields = {"id"}}).size(), 2U);
}

// Bytes and names of all files in a folder.
std::vector<std::pair<std::string, std::string>> content_of(const TempFolder& folder) {
    std::vector<std::pair<std::string, std::string>> files;
    for (const auto& entry : fs::directory_iterator(folder.path())) {
        std::string content(entry.file_size(), '\0');
        std::ifstream(entry.path(), std::ios::binary)
            .read(content.data(), static_cast<std::streamsize>(content.size()));
        files.emplace_back(entry.path().filename().string(), std::move(content));
    }
    std::sort(files.begin(), files.end());
    return files;
}

TEST(VectorSource, ReadingLeavesEveryByteOfTheInputAsItWas) {
    const TempFolder folder;
    write_vector("GPKG", folder.file("plain.gpkg"), {buildings()});
    write_vector("GPKG", folder.file("ahead.gpkg"), {buildings()});
    run_sql(folder.file("ahead.gpkg"), "PRAGMA journal_mode = WAL");
    const auto before = content_of(folder);
    EXPECT_EQ(all_of(folder.file("plain.gpkg")).size(), 3U);
    Findings findings;
    EXPECT_EQ(all_of(VectorSource::open("footprints", {folder.file("ahead.gpkg"), ""}, {}, "", findings)).size(), 3U);
    EXPECT_EQ(findings.count(Severity::warning), 1U);
    EXPECT_EQ(content_of(folder), before);
}

// F5: rows that stand in the write-ahead log are read, and neither the log nor the main file changes.
TEST(VectorSource, AWriteAheadLogIsReadWithItsFileAndLeftInPlace) {
    const TempFolder work;
    const TempFolder folder;
    write_vector("GPKG", work.file("x.gpkg"), {unindexed_buildings()});
    sqlite3* writer = nullptr;
    ASSERT_EQ(sqlite3_open(work.file("x.gpkg").c_str(), &writer), SQLITE_OK);
    const char* const sql =
        "PRAGMA journal_mode = WAL; PRAGMA wal_autocheckpoint = 0;"
        "UPDATE buildings SET id = 'edited' WHERE fid = 1";
    ASSERT_EQ(sqlite3_exec(writer, sql, nullptr, nullptr, nullptr), SQLITE_OK) << sqlite3_errmsg(writer);
    for (const char* const part : {"x.gpkg", "x.gpkg-wal"}) {
        fs::copy_file(work.file(part), folder.file(part));
    }
    sqlite3_close(writer);
    const auto before = content_of(folder);
    EXPECT_THAT(all_of(folder.file("x.gpkg"), {.fields = {"id"}})[0].values[0], Optional(std::string("edited")));
    const auto after = content_of(folder);
    for (const auto& part : before) {
        EXPECT_THAT(after, ::testing::Contains(part)) << part.first;
    }
}

TEST(VectorSource, ALockedFileIsAPassingError) {
    const TempFolder folder;
    const std::string path = folder.file("x.gpkg");
    write_vector("GPKG", path, {buildings()});
    sqlite3* writer = nullptr;
    ASSERT_EQ(sqlite3_open(path.c_str(), &writer), SQLITE_OK);
    ASSERT_EQ(sqlite3_exec(writer, "BEGIN EXCLUSIVE", nullptr, nullptr, nullptr), SQLITE_OK);
    EXPECT_THAT(trouble_of(path, {}, Fault::passing).remedy, HasSubstr("close the program"));
    sqlite3_close(writer);
}

// Real open data.

std::int64_t outlines_in(const fs::path& path, const std::string& layer, std::int64_t& repaired) {
    Findings findings;
    VectorSource source = VectorSource::open("footprints", {path.string(), layer}, {}, "", findings);
    EXPECT_THAT(findings.list(), IsEmpty());
    GeometryKit kit;
    Feature feature;
    std::int64_t outlines = 0;
    while (source.next(feature)) {
        const auto found = kit.polygons(feature.wkb);
        EXPECT_TRUE(found) << feature.fid;
        repaired += found && found->repaired ? 1 : 0;
        ++outlines;
    }
    EXPECT_EQ(outlines, source.info().feature_count);
    return outlines;
}

TEST(VectorSource, SwellendamHas4708BuildingsAllValid) {
    EAVESHED_SHARED_OR_SKIP(path, "data/swellendam_za/swellendam.gpkg");
    std::int64_t repaired = 0;
    EXPECT_EQ(outlines_in(path, "buildings", repaired), 4708);
    EXPECT_EQ(repaired, 0);
}

TEST(VectorSource, BilbaoHas2224Blocks) {
    EAVESHED_SHARED_OR_SKIP(path, "data/bilbao_es/bilbao.gpkg");
    std::int64_t repaired = 0;
    EXPECT_EQ(outlines_in(path, "buildings", repaired), 2224);
}

TEST(VectorSource, VancouversTwoFormatsHoldTheSame124Buildings) {
    EAVESHED_SHARED_OR_SKIP(gpkg, "data/vancouver_ca/vancouver.gpkg");
    EAVESHED_SHARED_OR_SKIP(json, "data/vancouver_ca/buildings_wgs84.geojson");
    const Crs zone = crs_from_text("EPSG:26910", "test");
    GeometryKit kit;
    const auto areas = [&kit, &zone](const fs::path& path, const std::string& layer) {
        Findings findings;
        VectorSource source = VectorSource::open("footprints", {path.string(), layer}, {"object_id"}, "", findings);
        const Transform to_zone(source.info().crs, zone, "test");
        std::vector<std::pair<std::string, double>> found;
        Feature feature;
        while (source.next(feature)) {
            const auto outline = kit.polygons(feature.wkb);
            const auto metres = outline ? to_zone(outline->outline) : std::nullopt;
            EXPECT_TRUE(metres);
            found.emplace_back(feature.values[0].value_or("none"), metres ? planar_area(*metres) : 0.0);
        }
        std::sort(found.begin(), found.end());
        return found;
    };
    const auto first = areas(gpkg, "buildings");
    const auto second = areas(json, "");
    ASSERT_THAT(first, SizeIs(124));
    ASSERT_THAT(second, SizeIs(124));
    for (std::size_t i = 0; i < first.size(); ++i) {
        EXPECT_EQ(first[i].first, second[i].first);
        EXPECT_NEAR(first[i].second, second[i].second, 1e-3 * first[i].second);
    }
}

}  // namespace
}  // namespace eaveshed
