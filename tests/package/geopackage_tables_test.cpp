#include "eaveshed/package/geopackage_tables.hpp"

#include <gtest/gtest.h>

#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;

// The tables of the standard that are asked for here, with two layers of which one has a geometry.
class Tables : public ::testing::Test {
protected:
    Tables() : m_database(m_folder.write("a.db", "")) {
        m_database.run(
            "CREATE TABLE gpkg_geometry_columns (table_name, column_name, srs_id);"
            "INSERT INTO gpkg_geometry_columns VALUES ('roofs', 'geom', 32610), ('o''dd', 'geom', -1);"
            "CREATE TABLE gpkg_contents (table_name, data_type, identifier, description, last_change, srs_id, min_x, "
            "min_y, max_x, max_y);"
            "INSERT INTO gpkg_contents (table_name) VALUES ('roofs'), ('notes');");
    }
    std::string text(const std::string& sql) {
        Statement query(m_database, sql);
        return query.step() && !query.is_null(0) ? query.text(0) : "";
    }
    TempFolder m_folder;
    Database m_database;
};

TEST_F(Tables, TheSrsOfALayerIsFound) {
    EXPECT_EQ(srs_id_of(m_database, "roofs"), 32610);
    EXPECT_EQ(srs_id_of(m_database, "o'dd"), -1);
    EXPECT_EQ(srs_id_of(m_database, "notes"), 0);
}

TEST_F(Tables, AnEmptyExtentIsLeftOut) {
    write_extent(m_database, "roofs", {1.0, 2.0, 3.0, 4.0});
    write_extent(m_database, "notes", {});
    EXPECT_EQ(text("SELECT min_x || ',' || min_y || ',' || max_x || ',' || max_y FROM gpkg_contents"),
              "1.0,2.0,3.0,4.0");
    EXPECT_EQ(text("SELECT min_x FROM gpkg_contents WHERE table_name = 'notes'"), "");
}

TEST_F(Tables, EveryMetadataTextIsAboutTheWholeFile) {
    write_metadata(m_database, {}, "t");
    EXPECT_EQ(text("SELECT COUNT(*) FROM sqlite_master WHERE name = 'gpkg_metadata'"), "0");
    write_metadata(m_database, {"first", "second"}, "t");
    EXPECT_EQ(text("SELECT group_concat(metadata || mime_type || md_scope) FROM gpkg_metadata"),
              "firsttext/plaindataset,secondtext/plaindataset");
    EXPECT_EQ(text("SELECT group_concat(md_file_id || reference_scope || timestamp) FROM gpkg_metadata_reference"),
              "1geopackaget,2geopackaget");
    EXPECT_EQ(text("SELECT COUNT(*) FROM gpkg_extensions WHERE extension_name = 'gpkg_metadata'"), "2");
}

}  // namespace
}  // namespace eaveshed
