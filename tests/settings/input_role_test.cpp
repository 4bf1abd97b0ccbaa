#include "eaveshed/settings/input_role.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

#include "eaveshed/settings/table.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

// The order of fingerprints in the run record, and of the lines of `check`.
TEST(InputRoles, StandInOneOrder) {
    std::vector<std::string> names;
    for (const Setting* const input : input_settings()) {
        names.push_back(name_of(*input));
    }
    EXPECT_THAT(names,
                ElementsAre("footprints.source", "parcels.source", "diversions.source", "use_points.source",
                            "streams.source", "subbasins.source", "exclusions.source", "roads.source",
                            "overrides.source", "overrides.former", "contacts.source", "terrain.elevation",
                            "terrain.surface", "canopy.source", "rain.source", "rain.stations", "temperature.stations",
                            "rain.normals", "evapotranspiration.source", "temperature.minimum", "temperature.maximum"));
}

TEST(InputRoles, EverySettingOfAFileIsAnInputButTheOutput) {
    for (const Setting& setting : settings_table()) {
        const bool is_path = setting.kind == Kind::path || setting.kind == Kind::paths;
        EXPECT_EQ(setting.role.has_value(), is_path && name_of(setting) != "basin.output") << name_of(setting);
    }
}

TEST(GaugeTables, AreNamedByTheEndsOfTheirNames) {
    for (const char* const path : {"gauge.csv", "a.b/GAUGE.CSV", "g.tsv", "g.tab", "g.txt"}) {
        EXPECT_TRUE(names_gauge_table(path)) << path;
    }
    for (const char* const path : {"", "csv", "rain.tif", "rain.csv.tif", "rain.nc"}) {
        EXPECT_FALSE(names_gauge_table(path)) << path;
    }
}

TEST(InputRoles, SayWhatTheirAbsenceMeansAndWhatFollowsElsewhere) {
    for (const Setting* const input : input_settings()) {
        const InputRole& role = *input->role;
        const bool always = input->required && !find_section(input->section)->repeated;
        EXPECT_EQ(role.without.empty(), always) << name_of(*input);
        EXPECT_EQ(role.elsewhere.empty(), role.overlap != Overlap::effect) << name_of(*input);
        EXPECT_EQ(role.geometry == GeometryNeed::any, role.kind != InputKind::layer) << name_of(*input);
        EXPECT_FALSE(role.without.ends_with('.')) << name_of(*input);
        EXPECT_EQ(role.only_with.found.empty(), role.only_with.remedy.empty()) << name_of(*input);
    }
}

TEST(InputRoles, NameOnlyInputsThatAreOpenedBeforeThem) {
    for (const Setting* const input : input_settings()) {
        if (const std::string_view other = input->role->only_with.setting; !other.empty()) {
            const InputRole& role = *input_setting(other).role;
            EXPECT_LE(std::pair(role.kind, role.late), std::pair(input->role->kind, input->role->late))
                << name_of(*input);
            EXPECT_LT(std::ranges::find(input_settings(), &input_setting(other)),
                      std::ranges::find(input_settings(), input))
                << name_of(*input);
        }
    }
}

TEST(InputRoles, OneInputIsMeasuredAgainst) {
    std::vector<std::string> names;
    for (const Setting* const input : input_settings()) {
        if (input->role->overlap == Overlap::measure) {
            names.push_back(name_of(*input));
        }
    }
    EXPECT_THAT(names, ElementsAre("footprints.source"));
}

TEST(InputRoles, EveryKindHasDriversAndWords) {
    for (const Setting* const input : input_settings()) {
        const InputFormats& formats = formats_of(input->role->kind);
        // Places of gauges are text, which no library reads for us.
        EXPECT_EQ(formats.drivers.empty(), input->role->kind == InputKind::gauge_places);
        EXPECT_FALSE(formats.noun.empty());
        EXPECT_FALSE(formats.words.empty());
    }
}

TEST(InputRoles, GiveTheirPathsAndWhatStandsBesideThem) {
    Settings settings;
    const Setting& exclusions = input_setting("exclusions.source");
    EXPECT_FALSE(is_given(exclusions, settings));
    settings.exclusions.resize(2);
    settings.exclusions[1].from = {"marsh.gpkg", "wet"};
    settings.exclusions[1].name = "marsh";
    EXPECT_TRUE(is_given(exclusions, settings));
    EXPECT_EQ(items_of(exclusions, settings), 2U);
    EXPECT_THAT(paths_of(exclusions, settings, 0), IsEmpty());
    EXPECT_THAT(paths_of(exclusions, settings, 1), ElementsAre("marsh.gpkg"));
    EXPECT_EQ(name_of(exclusions, 1), "exclusions.2.source");
    EXPECT_EQ(text_beside(exclusions, "layer", settings, 1), "wet");
    EXPECT_EQ(text_beside(exclusions, "name", settings, 1), "marsh");
    EXPECT_EQ(text_beside(exclusions, "where", settings, 1), "");
    settings.terrain.elevation = {"a.tif", "", "b.tif"};
    EXPECT_THAT(paths_of(input_setting("terrain.elevation"), settings), ElementsAre("a.tif", "b.tif"));
}

TEST(InputRoles, KnowTheFieldsOfTheirSection) {
    Settings settings;
    settings.parcels.id = "apn";
    settings.parcels.status = "talks";
    settings.parcels.carry = {"owner", "phone"};
    EXPECT_THAT(fields_beside(input_setting("parcels.source"), settings),
                ElementsAre("apn", "", "", "", "", "", "", "", "", "", "talks", "owner", "phone"));
    EXPECT_THAT(fields_beside(input_setting("roads.source"), settings), IsEmpty());
}

}  // namespace
}  // namespace eaveshed
