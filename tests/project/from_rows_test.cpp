#include "eaveshed/project/from_rows.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "eaveshed/project/read_settings.hpp"
#include "eaveshed/settings/table.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;

using Rows = std::vector<std::pair<std::string, std::string>>;

constexpr const char* kPlain =
    "[footprints]\nsource = \"b.gpkg\"\n[terrain]\nelevation = \"dem.tif\"\n[rain]\nsource = \"r.tif\"\nkind = "
    "\"daily\"\nstart = \"1990-11-01\"\n";

Rows rows_of(const std::string& toml) {
    return effective_settings(load_settings(toml, "test.toml"));
}

void expect_returns(const std::string& toml) {
    const Rows rows = rows_of(toml);
    Findings findings;
    const auto settings = settings_from_rows(rows, "out.gpkg", findings);
    ASSERT_TRUE(settings) << to_text(findings.list().at(0).trouble);
    EXPECT_EQ(effective_settings(*settings), rows);
}

// The faults of the rows after one of them was changed.
std::string faults_with(const std::string& name, const std::string& value) {
    Rows rows = rows_of(kPlain);
    const auto found = std::ranges::find(rows, name, &Rows::value_type::first);
    if (found != rows.end()) {
        found->second = value;
    } else {
        rows.emplace_back(name, value);
    }
    Findings findings;
    EXPECT_FALSE(settings_from_rows(rows, "out.gpkg", findings));
    std::string text;
    for (const Finding& finding : findings.list()) {
        text += to_text(finding.trouble) + '\n';
    }
    return text;
}

TEST(FromRows, DefaultsReturnAsTheyWere) {
    expect_returns(kPlain);
}

TEST(FromRows, SettingsOfEveryKindReturnAsTheyWere) {
    expect_returns(std::string(kPlain) + R"(
[harvest]
collection_efficiency = 0.9000000000000001
dry_days = 3
[harvest.runoff_coefficient]
"tile, glazed" = 0.123456789012345
"a.b" = 0.5
[season]
forbear_months = ["Dec", "Jan", "Feb"]
fill_months = [4, 5, 6]
draw_months = [1, 2]
[demand]
transmissivity_m2_day = 60
storage_coefficient = 1e-7
[[tanks]]
volume_m3 = "5000 gal"
diameter_m = 3
height_m = 2.5
[[tanks]]
volume_m3 = 1
diameter_m = 1
height_m = 1.5
count = 4
cost = 100
[[exclusions]]
source = "a\\b \"c\".gpkg"
name = "x = 1 # no comment"
[parcels]
source = "p.gpkg"
carry = ["owner \"quoted\"", "back\\slash"]
default_water_source = "shallow_well"
[streams]
source = "s.gpkg"
turn = true
entry = "nearest"
low_flow_lps = { field = "q", unit = "gpm" }
[diversions]
source = "d.gpkg"
[[scenarios]]
name = "dry"
rain_factor = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 0.5, 0]
[output]
units = "us"
storage_curve = false
)");
}

TEST(FromRows, FieldsOfQuantitiesReturnWithTheirUnits) {
    const std::string project = std::string(kPlain) + R"(
[parcels]
source = "p.gpkg"
people = "{ field = \"a\" }"
season_use_m3 = { field = "use \"gal\"", unit = "US gal" }
irrigated_area_m2 = "true"
pump_lps = "{ field = \"x\", unit = \"gpm\" }"
stream_distance_m = { field = "far" }
existing_storage_m3 = { field = "{tanks", unit = "gal" }
)";
    expect_returns(project);
    Findings findings;
    const auto settings = settings_from_rows(rows_of(project), "out.gpkg", findings);
    ASSERT_TRUE(settings);
    EXPECT_EQ(settings->parcels.season_use_m3.field, "use \"gal\"");
    EXPECT_EQ(settings->parcels.season_use_m3.unit, "gal");
    EXPECT_EQ(settings->parcels.pump_lps.field, "{ field = \"x\", unit = \"gpm\" }");
    EXPECT_EQ(settings->parcels.pump_lps.unit, "");
    EXPECT_EQ(settings->parcels.existing_storage_m3.field, "{tanks");
    EXPECT_THAT(faults_with("parcels.season_use_m3", "{ field = \"u\", unit = \"ft\" }"),
                HasSubstr("parcels.season_use_m3.unit"));
}

TEST(FromRows, SeveralFilesReturnInTheirOrder) {
    expect_returns(
        "[footprints]\nsource = \"b.gpkg\"\n[terrain]\nelevation = [\"z.tif\", \"a 'b'.tif\", "
        "\"*.tif\"]\n[rain]\nsource = \"r.tif\"\nkind = \"monthly-normals\"\ndry_winter_factor = 0.7\n");
}

TEST(FromRows, ValuesAreCheckedAsInAProjectFile) {
    EXPECT_THAT(faults_with("siting.max_fill_m", "-1"), HasSubstr("out.gpkg: siting.max_fill_m: found -1"));
    EXPECT_THAT(faults_with("siting.max_fill_m", "60\n[siting]"), HasSubstr("siting.max_fill_m"));
    EXPECT_THAT(faults_with("siting.max_fill_m", "60\ny = 1"), HasSubstr("siting.max_fill_m"));
    EXPECT_THAT(faults_with("rain.kind", "hourly"), HasSubstr("rain.kind"));
    EXPECT_THAT(faults_with("rain.source", ""), HasSubstr("no source"));
    EXPECT_THAT(faults_with("season.forbear_months", "[1, 5]"), HasSubstr("gap"));
    EXPECT_THAT(faults_with("harvest.runoff_coefficient.metal", "2"), HasSubstr("runoff_coefficient.metal"));
}

TEST(FromRows, NamesThatThisVersionDoesNotKnowAreTold) {
    for (const char* const name : {"siting.no_such", "moon.phase", "siting", "", "tanks.99.volume_m3",
                                   "tanks.x.volume_m3", "tanks.0.volume_m3", "siting.max_fill_m.extra"}) {
        EXPECT_THAT(faults_with(name, "1"), HasSubstr("the setting")) << name;
    }
}

}  // namespace
}  // namespace eaveshed
