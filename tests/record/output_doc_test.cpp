#include <gtest/gtest.h>

#include <fstream>
#include <sstream>
#include <string>

#include "eaveshed/record/columns.hpp"

namespace eaveshed {
namespace {

std::string output_document() {
    std::ifstream in(std::string(EAVESHED_SOURCE_DIR) + "/docs/output.md");
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

TEST(OutputDocument, DescribesEveryColumnWithItsUnit) {
    const std::string document = output_document();
    ASSERT_FALSE(document.empty());
    for (const auto& columns : {roof_columns(), pad_columns(), use_point_columns(), parcel_columns(), curve_columns(),
                                scenario_columns(), override_columns(), run_record_columns()}) {
        for (const Column& column : columns) {
            const std::string line = "| `" + std::string(column.field.name) + "` | " + std::string(column.field.unit) +
                                     " | " + std::string(column.field.meaning) + " |";
            EXPECT_NE(document.find(line), std::string::npos) << line;
        }
    }
}

TEST(OutputDocument, ColumnNamesCarryTheirUnits) {
    for (const Column& column : roof_columns()) {
        const std::string name(column.field.name);
        if (column.field.unit == "m3") {
            EXPECT_TRUE(name.ends_with("_m3")) << name;
        } else if (column.field.unit == "m") {
            EXPECT_TRUE(name.ends_with("_m")) << name;
        } else if (column.field.unit == "L/s") {
            EXPECT_TRUE(name.ends_with("_lps")) << name;
        }
    }
}

}  // namespace
}  // namespace eaveshed
