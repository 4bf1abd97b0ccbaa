#include "eaveshed/package/geopackage_writer.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <array>
#include <filesystem>

#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "support/expect_error.hpp"
#include "support/geopackage_checks.hpp"
#include "support/output_file.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::IsEmpty;
using testing::number;
using testing::OutputFile;
using testing::TempFolder;
using testing::text;
namespace fs = std::filesystem;

constexpr const char* kTime = "2026-11-25T10:13:00.000Z";

constexpr std::array<Term, 2> kStatuses{{{"ok", "computed"}, {"too_small", "under the limit"}}};

GeoPackageSpec plain_spec() {
    LayerSpec roofs{.name = "roofs",
                    .title = "Roofs",
                    .meaning = "Every roof.",
                    .shape = LayerShape::multipolygon,
                    .columns = {{"roof_id", "", "Roof", "Its id.", ColumnType::text, ""},
                                {"area_m2", "m2", "Area", "How large.", ColumnType::real, ""},
                                {"tanks", "1", "Tanks", "How many.", ColumnType::integer, ""},
                                {"status", "", "Status", "How it went.", ColumnType::text, "status"}},
                    .style = LayerStyle{"plain", "Grey.", "<sld/>", "<qgis/>"}};
    LayerSpec points{.name = "points",
                     .title = "Points",
                     .meaning = "Places.",
                     .shape = LayerShape::point_z,
                     .columns = {{"assumed", "", "Assumed", "Or given.", ColumnType::boolean, ""}},
                     .style = std::nullopt};
    LayerSpec notes{.name = "notes",
                    .title = "Notes",
                    .meaning = "Words.",
                    .shape = LayerShape::none,
                    .columns = {{"words", "", "Words", "Any.", ColumnType::text, ""}},
                    .style = std::nullopt};
    return {.crs = crs_from_text("EPSG:32610", "test"),
            .timestamp = kTime,
            .layers = {roofs, points, notes},
            .closed_lists = {{"status", "how it went", kStatuses}},
            .relations = {},
            .build_in = {}};
}

MultiPolygon square(double x, double y, double side) {
    return {{{{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}, {x, y}}, {}}}};
}

std::vector<Value> roof(const std::string& id, const Value& area) {
    return {id, area, std::int64_t{2}, std::string("ok")};
}

void fill(GeoPackageWriter& writer) {
    writer.add(0, square(500000, 4000000, 10), roof("a", 100.0));
    writer.add(0, MultiPolygon{}, roof("b", Value()));
    writer.add(0, square(500100, 4000200, 5), roof("c", 25.0));
    writer.add(1, Point{500050.0, 4000060.0}, 12.5, std::vector<Value>{std::int64_t{1}});
    writer.add(2, std::vector<Value>{std::string("it's \"quoted\"")});
    writer.add_metadata("key = value\n");
}

class Writer : public ::testing::Test {
protected:
    [[nodiscard]] std::string output() const { return m_folder.file("out.gpkg"); }
    [[nodiscard]] GeoPackageSpec spec() const {
        GeoPackageSpec own = plain_spec();
        own.build_in = m_work.path();
        return own;
    }
    void write() const {
        GeoPackageWriter writer(output(), spec());
        fill(writer);
        writer.finish();
    }
    TempFolder m_folder;
    TempFolder m_work;
};

TEST_F(Writer, RowsAreNumberedInOrderAndANullGeometryIsNull) {
    write();
    const OutputFile file(output());
    const auto rows = file.rows("SELECT fid, roof_id, area_m2, tanks, status, geom IS NULL AS bare FROM roofs");
    ASSERT_EQ(rows.size(), 3U);
    for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_EQ(number(rows[i], "fid"), static_cast<double>(i + 1));
        EXPECT_EQ(text(rows[i], "roof_id"), std::string(1, static_cast<char>('a' + static_cast<char>(i))));
        EXPECT_EQ(number(rows[i], "bare"), i == 1 ? 1.0 : 0.0);
    }
    EXPECT_EQ(number(rows[0], "area_m2"), 100.0);
    EXPECT_FALSE(number(rows[1], "area_m2"));
    EXPECT_EQ(file.text("SELECT words FROM notes"), "it's \"quoted\"");
}

TEST_F(Writer, ALayerCompletedEarlyHasItsIndexAndTakesNoMoreRows) {
    {
        GeoPackageWriter writer(output(), spec());
        writer.add(0, square(500000, 4000000, 10), roof("a", 100.0));
        writer.add(0, square(500100, 4000200, 5), roof("c", 25.0));
        writer.complete(0);
        EXPECT_THROW(writer.add(0, square(500100, 4000200, 5), roof("d", 25.0)), Error);
        writer.add(1, Point{500050.0, 4000060.0}, 12.5, std::vector<Value>{std::int64_t{1}});
        writer.finish();
    }
    const OutputFile file(output());
    EXPECT_EQ(file.text("SELECT group_concat(id) FROM (SELECT id FROM rtree_roofs_geom ORDER BY id)"), "1,2");
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM rtree_points_geom"), 1);
    EXPECT_EQ(file.text("SELECT rtreecheck('rtree_roofs_geom')"), "ok");
}

TEST_F(Writer, ExtentsAndIndexHoldTheGeometries) {
    write();
    const OutputFile file(output());
    EXPECT_EQ(file.text("SELECT min_x || ' ' || min_y || ' ' || max_x || ' ' || max_y FROM gpkg_contents "
                        "WHERE table_name = 'roofs'"),
              "500000.0 4000000.0 500105.0 4000205.0");
    EXPECT_EQ(file.text("SELECT min_x || ' ' || max_y FROM gpkg_contents WHERE table_name = 'points'"),
              "500050.0 4000060.0");
    EXPECT_EQ(file.text("SELECT group_concat(id) FROM (SELECT id FROM rtree_roofs_geom ORDER BY id)"), "1,3");
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM rtree_points_geom"), 1);
    EXPECT_EQ(file.text("SELECT min_x FROM gpkg_contents WHERE table_name = 'notes'"), "");
}

TEST_F(Writer, ColumnsAreDescribedWithUnitsAndClosedLists) {
    write();
    const OutputFile file(output());
    const auto row = file.rows("SELECT * FROM gpkg_data_columns WHERE column_name = 'area_m2'").at(0);
    EXPECT_EQ(text(row, "table_name"), "roofs");
    EXPECT_EQ(text(row, "title"), "Area (m2)");
    EXPECT_EQ(text(row, "description"), "How large.");
    EXPECT_EQ(file.text("SELECT title FROM gpkg_data_columns WHERE column_name = 'tanks'"), "Tanks");  // unit 1
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM gpkg_data_columns"), 6);
    EXPECT_EQ(file.text("SELECT group_concat(value || '=' || description, ';') FROM gpkg_data_column_constraints "
                        "WHERE constraint_name = (SELECT constraint_name FROM gpkg_data_columns "
                        "WHERE column_name = 'status') AND constraint_type = 'enum'"),
              "ok=computed;too_small=under the limit");
}

TEST_F(Writer, MetadataStylesAndTitlesAreThere) {
    write();
    const OutputFile file(output());
    EXPECT_EQ(file.text("SELECT metadata FROM gpkg_metadata"), "key = value\n");
    EXPECT_EQ(file.text("SELECT reference_scope || ' ' || timestamp FROM gpkg_metadata_reference"),
              std::string("geopackage ") + kTime);
    EXPECT_EQ(file.text("SELECT f_table_name || f_geometry_column || styleSLD || styleQML || useAsDefault FROM "
                        "layer_styles"),
              "roofsgeom<sld/><qgis/>1");
    EXPECT_EQ(file.text("SELECT identifier || '|' || description FROM gpkg_contents WHERE table_name = 'roofs'"),
              "Roofs|Every roof.");
    EXPECT_EQ(file.text("SELECT group_concat(DISTINCT last_change) FROM gpkg_contents"), kTime);
    EXPECT_EQ(file.text("SELECT group_concat(DISTINCT extension_name) FROM (SELECT * FROM gpkg_extensions ORDER BY "
                        "extension_name)"),
              "gpkg_metadata,gpkg_rtree_index,gpkg_schema");
}

TEST_F(Writer, ThePackageIsSound) {
    write();
    testing::expect_sound_geopackage(output());
}

TEST_F(Writer, AnEmptyPackageIsSoundToo) {
    GeoPackageWriter writer(output(), spec());
    writer.finish();
    testing::expect_sound_geopackage(output());
    EXPECT_EQ(OutputFile(output()).count("SELECT COUNT(*) FROM roofs"), 0);
}

TEST_F(Writer, GdalReadsLayersTypesAndCrs) {
    write();
    const DatasetHandle dataset(GDALDataset::Open(output().c_str(), GDAL_OF_VECTOR));
    OGRLayer* const roofs = dataset->GetLayerByName("roofs");
    ASSERT_NE(roofs, nullptr);
    EXPECT_EQ(roofs->GetGeomType(), wkbMultiPolygon);
    EXPECT_TRUE(crs_from_handle(roofs->GetSpatialRef()).same_as(crs_from_text("EPSG:32610", "test")));
    const OGRFeatureDefn* const fields = roofs->GetLayerDefn();
    EXPECT_EQ(fields->GetFieldDefn(1)->GetType(), OFTReal);
    EXPECT_EQ(fields->GetFieldDefn(2)->GetType(), OFTInteger64);
    OGRLayer* const points = dataset->GetLayerByName("points");
    EXPECT_EQ(points->GetGeomType(), wkbPoint25D);
    EXPECT_EQ(points->GetLayerDefn()->GetFieldDefn(0)->GetSubType(), OFSTBoolean);
    EXPECT_EQ(dataset->GetLayerByName("notes")->GetGeomType(), wkbNone);
    const std::unique_ptr<OGRFeature> first(roofs->GetNextFeature());
    EXPECT_EQ(first->GetGeometryRef()->toMultiPolygon()->get_Area(), 100.0);
    const std::unique_ptr<OGRFeature> second(roofs->GetNextFeature());
    EXPECT_EQ(second->GetGeometryRef(), nullptr);
}

TEST_F(Writer, LinesOfManyPointsAreALayerOfTheirOwn) {
    GeoPackageSpec own = spec();
    own.layers[1].shape = LayerShape::line;
    const Line line{{500000.5, 4000000.0}, {500010.0, 4000020.0}, {500030.0, 4000005.0}};
    {
        GeoPackageWriter writer(output(), own);
        RowBatch batch;
        for (const bool with_line : {true, false}) {
            batch.begin(1);
            batch.put(std::int64_t{with_line ? 1 : 0});
            if (with_line) {
                writer.put(line, batch);
            }
        }
        writer.add(batch);
        writer.finish();
    }
    testing::expect_sound_geopackage(output());
    EXPECT_EQ(OutputFile(output()).text("SELECT group_concat(id) FROM rtree_points_geom"), "1");
    const DatasetHandle dataset(GDALDataset::Open(output().c_str(), GDAL_OF_VECTOR));
    OGRLayer* const lines = dataset->GetLayerByName("points");
    EXPECT_EQ(lines->GetGeomType(), wkbLineString);
    const std::unique_ptr<OGRFeature> first(lines->GetNextFeature());
    const OGRLineString* const found = first->GetGeometryRef()->toLineString();
    ASSERT_EQ(found->getNumPoints(), 3);
    EXPECT_EQ(found->getX(0), 500000.5);
    EXPECT_EQ(found->getY(2), 4000005.0);
    const std::unique_ptr<OGRFeature> second(lines->GetNextFeature());
    EXPECT_EQ(second->GetGeometryRef(), nullptr);
}

TEST_F(Writer, EqualRunsGiveEqualBytes) {
    write();
    const std::string first = testing::bytes_of(output());
    write();
    EXPECT_TRUE(testing::bytes_of(output()) == first);
    GeoPackageWriter writer(m_folder.file("other.gpkg"), spec());
    fill(writer);
    writer.finish();
    EXPECT_TRUE(testing::bytes_of(m_folder.file("other.gpkg")) == first);  // the name does not count
}

TEST_F(Writer, NothingStandsUnderTheNameUntilItIsFinished) {
    {
        GeoPackageWriter writer(output(), spec());
        fill(writer);
        EXPECT_FALSE(fs::exists(output()));
    }
    EXPECT_TRUE(fs::is_empty(m_folder.path()));
    EXPECT_TRUE(fs::is_empty(m_work.path()));
}

TEST_F(Writer, AnOldFileStandsUntilTheNewOneIsFinished) {
    m_folder.write("out.gpkg", "old");
    {
        GeoPackageWriter writer(output(), spec());
        fill(writer);
        EXPECT_EQ(testing::bytes_of(output()), "old");
    }
    EXPECT_EQ(testing::bytes_of(output()), "old");
    write();
    EXPECT_GT(fs::file_size(output()), 1000U);
}

TEST_F(Writer, ARowOfTheWrongWidthIsABrokenInvariant) {
    GeoPackageWriter writer(output(), spec());
    testing::expect_error([&] { writer.add(2, std::vector<Value>{}); }, Fault::internal, {"values"});
}

TEST_F(Writer, AFolderThatIsMissingIsAWorkingError) {
    GeoPackageSpec own = spec();
    own.build_in = m_work.path() / "no";
    testing::expect_error([&] { GeoPackageWriter(output(), own); }, Fault::working, {"no/draft.gpkg"});
    GeoPackageWriter writer(m_folder.file("no/out.gpkg"), spec());
    testing::expect_error([&] { writer.finish(); }, Fault::working, {"no/out.gpkg"});
}

TEST_F(Writer, ADraftIsNeverWrittenThroughALinkOrIntoAFileThatSomebodyPutThere) {
    const std::string others = m_folder.write("others", "theirs");
    fs::create_symlink(others, m_work.file("draft.gpkg"));
    testing::expect_error([&] { GeoPackageWriter(output(), spec()); }, Fault::working, {"draft.gpkg"});
    EXPECT_EQ(testing::bytes_of(others), "theirs");
}

// Two owners of the same name: the first counts, as in the input. GDAL is the general reference: it finds the relation.
TEST_F(Writer, WhatBelongsTogetherIsRelatedAsTheStandardSays) {
    GeoPackageSpec own = spec();
    const LayerColumn key{"key", "", "Key", "What they share.", ColumnType::text, ""};
    own.layers[0].columns = {key};
    own.layers[2].columns = {key};
    own.relations = {{"roofs", "notes", "key"}};
    {
        GeoPackageWriter writer(output(), own);
        for (const char* const name : {"a", "b", "a"}) {
            writer.add(0, square(500000, 4000000, 10), std::vector<Value>{std::string(name)});
        }
        for (const Value& name : {Value("b"), Value("a"), Value(), Value("stranger"), Value("a")}) {
            writer.add(2, std::vector<Value>{name});
        }
        writer.finish();
    }
    testing::expect_sound_geopackage(output());
    const OutputFile file(output());
    EXPECT_EQ(file.text("SELECT group_concat(base_id || '-' || related_id) FROM roofs_notes"), "2-1,1-2,1-5");
    const DatasetHandle dataset(GDALDataset::Open(output().c_str(), GDAL_OF_VECTOR));
    const std::vector<std::string> names = dataset->GetRelationshipNames();
    ASSERT_EQ(names.size(), 1U);
    const GDALRelationship* const found = dataset->GetRelationship(names.front());
    EXPECT_EQ(found->GetLeftTableName(), "roofs");
    EXPECT_EQ(found->GetRightTableName(), "notes");
    EXPECT_EQ(found->GetMappingTableName(), "roofs_notes");
    EXPECT_EQ(found->GetRelatedTableType(), "attributes");
}

TEST_F(Writer, AnyCrsIsKept) {
    for (const char* const crs : {"EPSG:4326", "EPSG:25830", "EPSG:2227"}) {
        GeoPackageSpec own = spec();
        own.crs = crs_from_text(crs, "test");
        {
            GeoPackageWriter writer(output(), own);
            writer.add(0, square(1, 2, 3), roof("a", 1.0));
            writer.finish();
        }
        const DatasetHandle dataset(GDALDataset::Open(output().c_str(), GDAL_OF_VECTOR));
        EXPECT_TRUE(crs_from_handle(dataset->GetLayerByName("roofs")->GetSpatialRef()).same_as(own.crs)) << crs;
    }
}

}  // namespace
}  // namespace eaveshed
