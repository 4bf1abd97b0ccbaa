#include "eaveshed/package/package_check.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <fstream>

#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/outside/sqlite.hpp"
#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

namespace fs = std::filesystem;
constexpr const char* kCheckTime = "2026-11-25T10:13:00.000Z";
constexpr std::array<Term, 1> kOneStatus{{{"ok", "computed"}}};

GeoPackageSpec spec_in(const fs::path& folder) {
    const LayerColumn key{"key", "", "Key", "What they share.", ColumnType::text, "status"};
    LayerSpec roofs{.name = "roofs",
                    .title = "Roofs",
                    .meaning = "Every roof.",
                    .shape = LayerShape::multipolygon,
                    .columns = {key, {"area_m2", "m2", "Area", "How large.", ColumnType::real, ""}},
                    .style = LayerStyle{"plain", "Grey.", "<sld/>", "<qgis/>"}};
    LayerSpec pads{.name = "pads",
                   .title = "Pads",
                   .meaning = "Places.",
                   .shape = LayerShape::point_z,
                   .columns = {key},
                   .style = std::nullopt};
    LayerSpec notes{.name = "notes",
                    .title = "Notes",
                    .meaning = "Words.",
                    .shape = LayerShape::none,
                    .columns = {key},
                    .style = std::nullopt};
    return {.crs = crs_from_text("EPSG:32610", "test"),
            .timestamp = kCheckTime,
            .layers = {roofs, pads, notes},
            .closed_lists = {{"status", "how it went", kOneStatus}},
            .relations = {{"roofs", "pads", "key"}},
            .build_in = folder};
}

// A sound package, and what was handed to its writer.
class Check : public ::testing::Test {
protected:
    Check() : m_spec(spec_in(m_work.path())) {
        GeoPackageWriter writer(file(), m_spec);
        for (const double x : {500000.0, 500100.0, 500200.0}) {
            const MultiPolygon outline{{{{{x, 4e6}, {x + 9, 4e6}, {x + 9, 4e6 + 7}, {x, 4e6 + 7}, {x, 4e6}}, {}}}};
            writer.add(0, outline, std::vector<Value>{std::to_string(x), 63.0});
        }
        writer.add(0, MultiPolygon{}, std::vector<Value>{std::string("bare"), Value()});
        writer.add(1, Point{500050.0, 4000060.0}, 12.5, std::vector<Value>{std::to_string(500000.0)});
        writer.add(2, std::vector<Value>{std::string("word")});
        writer.add_metadata("key = value\xE2\x80\xAE\x1b[2J\n");
        writer.finish();
        m_content.layers = {
            {4, 3, {500000.0, 4e6, 500209.0, 4e6 + 7}}, {1, 1, {500050.0, 4000060.0, 500050.0, 4000060.0}}, {1, 0, {}}};
        m_content.pairs = {1};
        m_content.metadata = {"key = value\\u202e\\u001b[2J\n"};
    }
    [[nodiscard]] fs::path file() const { return m_folder.file("out.gpkg"); }
    void look() const { require_sound_package(file(), m_folder.file("result.gpkg"), m_spec, m_content); }
    void spoil(const std::string& sql) const {
        Database database(file());
        database.allow_shadow_tables();
        database.run(sql);
        database.close();
    }
    void expect_amiss(const std::string& part) const {
        testing::expect_error([&] { look(); }, Fault::working, {"result.gpkg", part, "nothing was put in place"});
    }

    testing::TempFolder m_folder;
    testing::TempFolder m_work;
    GeoPackageSpec m_spec;
    PackageContent m_content;
};

TEST_F(Check, APackageAsItWasWrittenPasses) {
    EXPECT_NO_THROW(look());
}

// Each: what a lost write may leave, and the words that tell it.
struct Damage {
    const char* name;
    const char* sql;
    const char* told;
};

class Damaged : public Check, public ::testing::WithParamInterface<Damage> {};

TEST_P(Damaged, IsToldByTheTableThatIsAmiss) {
    spoil(GetParam().sql);
    expect_amiss(GetParam().told);
}

INSTANTIATE_TEST_SUITE_P(
    Packages, Damaged,
    ::testing::Values(
        Damage{"no_table", "DROP TABLE notes", "no table notes"}, Damage{"no_layer", "DROP TABLE roofs", "roofs"},
        Damage{"no_index", "DROP TABLE rtree_pads_geom", "no table rtree_pads_geom"},
        Damage{"no_node_of_an_index", "DELETE FROM rtree_roofs_geom_node", "index of roofs"},
        Damage{"a_row_less", "DROP TRIGGER rtree_roofs_geom_delete; DELETE FROM roofs WHERE fid = 4",
               "3 rows in roofs"},
        Damage{"a_row_without_its_entry", "DELETE FROM rtree_roofs_geom WHERE id = 2",
               "2 entries in the index of roofs"},
        Damage{
            "an_entry_of_another_row",
            "UPDATE rtree_roofs_geom_rowid SET rowid = 4 WHERE rowid = 3; UPDATE rtree_roofs_geom_node SET data = data",
            "index of roofs"},
        Damage{"an_index_of_other_rows",
               "INSERT INTO rtree_pads_geom SELECT id + 6, minx, maxx, miny, maxy FROM rtree_pads_geom; "
               "DELETE FROM rtree_pads_geom WHERE id = 1",
               "0 geometries of pads that are in its index"},
        Damage{"a_column_more", "ALTER TABLE pads ADD COLUMN more TEXT", "the columns of pads"},
        Damage{"another_type",
               "PRAGMA writable_schema = ON; UPDATE sqlite_master SET sql = replace(sql, 'REAL', 'TEXT')",
               "columns of roofs"},
        Damage{"not_listed", "DELETE FROM gpkg_contents WHERE table_name = 'notes'", "entry of notes in gpkg_contents"},
        Damage{"no_geometry_column",
               "PRAGMA foreign_keys = OFF; DELETE FROM gpkg_geometry_columns WHERE table_name = 'roofs'",
               "entry of roofs in gpkg_geometry_columns"},
        Damage{"no_reference_system",
               "PRAGMA foreign_keys = OFF; DELETE FROM gpkg_spatial_ref_sys WHERE srs_id = 32610", "refers to none"},
        Damage{"an_undefined_reference_system",
               "UPDATE gpkg_contents SET srs_id = 0; UPDATE gpkg_geometry_columns SET srs_id = 0", "reference systems"},
        Damage{"another_extent", "UPDATE gpkg_contents SET max_y = 1 WHERE table_name = 'pads'", "extent of pads"},
        Damage{"no_extent", "UPDATE gpkg_contents SET min_x = NULL WHERE table_name = 'pads'", "extent of pads"},
        Damage{"no_extension", "DELETE FROM gpkg_extensions WHERE extension_name = 'gpkg_rtree_index'",
               "gpkg_rtree_index"},
        Damage{"no_trigger", "DROP TRIGGER rtree_pads_geom_insert", "triggers of pads"},
        Damage{"no_titles", "DELETE FROM gpkg_data_columns WHERE table_name = 'pads'", "gpkg_data_columns"},
        Damage{"no_words", "DELETE FROM gpkg_data_column_constraints", "gpkg_data_column_constraints"},
        Damage{"no_record", "UPDATE gpkg_metadata SET metadata = ''", "gpkg_metadata"},
        Damage{"no_reference", "DELETE FROM gpkg_metadata_reference", "gpkg_metadata_reference"},
        Damage{"no_pairs", "DELETE FROM roofs_pads", "pairs in roofs_pads"},
        Damage{"no_style", "DELETE FROM layer_styles", "layer_styles"},
        Damage{"another_application", "PRAGMA application_id = 1", "application"},
        Damage{"another_version", "PRAGMA user_version = 10200", "version of the standard"}),
    [](const ::testing::TestParamInfo<Damage>& damage) { return damage.param.name; });

TEST_F(Check, AFileCutShortIsTold) {
    for (std::uintmax_t size = fs::file_size(file()); size >= 4096; size -= std::min<std::uintmax_t>(size, 4096 * 7)) {
        if (size < fs::file_size(file())) {
            fs::resize_file(file(), size);
            testing::expect_error([&] { look(); }, Fault::working, {"result.gpkg", "nothing was put in place"});
        }
    }
}

TEST_F(Check, APageOfZeroesIsTold) {
    std::ifstream in(file(), std::ios::binary);
    const std::string sound{std::istreambuf_iterator<char>(in), {}};
    constexpr std::size_t kPage = 4096;
    std::size_t told = 0;
    for (std::size_t page = 0; page * kPage < sound.size(); ++page) {
        std::string spoilt = sound;
        std::fill_n(spoilt.begin() + static_cast<std::ptrdiff_t>(page * kPage), kPage, '\0');
        std::ofstream(file(), std::ios::binary) << spoilt;
        try {
            look();
        } catch (const Error& error) {
            EXPECT_EQ(error.fault(), Fault::working) << error.what();
            ++told;
        }
    }
    EXPECT_EQ(told, sound.size() / kPage);
}

}  // namespace
}  // namespace eaveshed
