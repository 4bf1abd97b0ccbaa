// What makes a file a sound GeoPackage, as judged by SQLite and by the checker that comes with GDAL.
#pragma once

#include <gtest/gtest.h>

#include <string>

#include "support/output_file.hpp"

namespace eaveshed::testing {

// The checker is left out, with a note, where this machine has none.
inline void expect_sound_geopackage(const std::string& path) {
    const OutputFile file(path);
    EXPECT_EQ(file.text("SELECT integrity_check FROM pragma_integrity_check"), "ok");
    EXPECT_TRUE(file.rows("SELECT * FROM pragma_foreign_key_check").empty());
    EXPECT_EQ(file.text("SELECT application_id FROM pragma_application_id"), std::to_string(0x47504B47));  // "GPKG"
    EXPECT_EQ(file.text("SELECT user_version FROM pragma_user_version"), "10300");                         // 1.3.0
    for (const OutputRow& layer : file.rows("SELECT table_name, column_name FROM gpkg_geometry_columns")) {
        const std::string name = text(layer, "table_name");
        const std::string column = text(layer, "column_name");
        EXPECT_EQ(file.count("SELECT COUNT(*) FROM \"rtree_" + name + "_" + column + "\""),
                  file.count("SELECT COUNT(\"" + column + "\") FROM \"" + name + "\""))
            << name;
        EXPECT_EQ(file.text("SELECT rtreecheck('rtree_" + name + "_" + column + "')"), "ok");
    }
    const std::string checker = "/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg";
    if (said("/usr/bin/python3 -c 'import osgeo_utils.samples.validate_gpkg'").first != 0) {
        std::fputs("no GeoPackage checker here: its part of the test is left out\n", stderr);
        return;
    }
    const auto [code, words] = said(checker + " --extra --warning-as-error -k " + path);
    EXPECT_EQ(code, 0) << words;
}

}  // namespace eaveshed::testing
