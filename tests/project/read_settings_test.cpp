#include "eaveshed/project/read_settings.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "project/project_text.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using testing::error_text;
using ::testing::HasSubstr;
using testing::loaded;
using ::testing::Not;
using testing::project_and;
using testing::project_with;

TEST(LoadSettings, ReadsEveryKindOfValue) {
    const Settings settings = loaded(R"(
[basin]
name = "Mattole"
output = "out.gpkg"
[footprints]
source = "roofs.gpkg"
layer = "buildings"
where = "use <> 'greenhouse'"
outline = "walls"
min_area_m2 = 12.5
[terrain]
elevation = ["a.tif", "b.tif"]
vertical_unit = "us-ft"
[rain]
source = "rain/*.tif"
kind = "daily"
unit = "kg m-2 s-1"
start = 1991-10-01
calendar = "365_day"
[parcels]
source = "parcels.gpkg"
default_water_source = "shallow_well"
carry = ["owner", "phone"]
[season]
forbear_months = ["July", "aug", "Sept", 10]
[harvest]
dry_days = 3
[output]
storage_curve = false
[[scenarios]]
name = "dry"
rain_factor = 0.8
et0_factor = [1, 1, 1, 1, 1, 1, 1.1, 1.1, 1.1, 1, 1, 1]
)");
    EXPECT_EQ(settings.basin.name, "Mattole");
    EXPECT_EQ(settings.footprints.from.layer, "buildings");
    EXPECT_EQ(settings.footprints.where, "use <> 'greenhouse'");
    EXPECT_EQ(settings.footprints.outline, Outline::walls);
    EXPECT_EQ(settings.footprints.min_area_m2, 12.5);
    EXPECT_THAT(settings.terrain.elevation, ElementsAre("a.tif", "b.tif"));
    EXPECT_EQ(settings.terrain.vertical_unit, VerticalUnit::us_survey_foot);
    EXPECT_THAT(settings.rain.source, ElementsAre("rain/*.tif"));
    EXPECT_EQ(settings.rain.kind, RainKind::daily);
    EXPECT_EQ(settings.rain.unit, RainUnit::kg_per_m2_s);
    EXPECT_EQ(settings.rain.start, "1991-10-01");
    EXPECT_EQ(settings.rain.calendar, "365_day");
    EXPECT_EQ(settings.parcels.default_water_source, WaterSource::shallow_well);
    EXPECT_THAT(settings.parcels.carry, ElementsAre("owner", "phone"));
    EXPECT_THAT(settings.season.forbear_months, ElementsAre(7, 8, 9, 10));
    EXPECT_EQ(settings.harvest.dry_days, 3);
    EXPECT_FALSE(settings.output.storage_curve);
    EXPECT_EQ(settings.scenarios.at(0).rain_factor[11], 0.8);
    EXPECT_EQ(settings.scenarios.at(0).et0_factor[6], 1.1);
    EXPECT_EQ(settings.scenarios.at(0).et0_factor[9], 1.0);
}

TEST(LoadSettings, ReadsEveryChoice) {
    for (const Setting& setting : settings_table()) {
        if (setting.kind != Kind::choice) {
            continue;
        }
        const auto& choice = std::get<ChoiceReach>(setting.access);
        for (std::size_t i = choice.first; i < choice.terms.size(); ++i) {
            std::string lines(setting.key);
            lines += " = \"" + std::string(choice.terms[i].name) + "\"";
            EXPECT_EQ(value_text(setting, loaded(project_with(setting.section, lines))), choice.terms[i].name);
        }
    }
}

// 200 ft = 60.96 m, 5000 gal = 18.92705892 m3, 0.5 acre = 2023.4282112 m2, 10 psi = 68.94757293 kPa,
// 47 gal = 177.91 L (R4.8), 4 gpm = 0.2523607856 L/s: exact definitions of the international units.
TEST(LoadSettings, ReadsTextWithAUnit) {
    const Settings settings = loaded(project_and(R"(
[harvest]
first_flush_mm = "0.02 in"
dry_days = "2 days"
[demand]
litres_per_person_day = "47 gal"
garden_m2 = "0.5 acre"
et0_mm_day = "0.2 in/day"
[siting]
max_fill_m = "200 ft"
minimum_kpa = "1.5psi"
required_kpa = "10 psi"
design_flow_lps = "4 gpm"
max_slope_pct = "12 %"
pipe_bore_mm = "1.25 IN"
[[tanks]]
volume_m3 = "5000 gal"
diameter_m = "10 ft"
height_m = "118 in"
)"));
    EXPECT_NEAR(settings.harvest.first_flush_mm, 0.508, 1e-12);
    EXPECT_EQ(settings.harvest.dry_days, 2);
    EXPECT_NEAR(settings.demand.litres_per_person_day, 177.91, 0.005);
    EXPECT_NEAR(settings.demand.garden_m2, 2023.4282112, 1e-9);
    EXPECT_NEAR(settings.demand.et0_mm_day, 5.08, 1e-12);
    EXPECT_NEAR(settings.siting.max_fill_m, 60.96, 1e-12);
    EXPECT_NEAR(settings.siting.required_kpa, 68.94757293, 1e-8);
    EXPECT_NEAR(settings.siting.design_flow_lps, 0.2523607856, 1e-10);
    EXPECT_EQ(settings.siting.max_slope_pct, 12.0);
    EXPECT_NEAR(settings.siting.pipe_bore_mm, 31.75, 1e-12);
    EXPECT_NEAR(settings.tanks.at(0).volume_m3, 18.92705892, 1e-12);
    EXPECT_NEAR(settings.tanks.at(0).height_m, 2.9972, 1e-12);
}

TEST(LoadSettings, TakesTheOwnUnitInTextForEverySettingThatHasOne) {
    int count = 0;
    for (const Setting& setting : settings_table()) {
        if (convertible_unit(setting) == nullptr || setting.kind == Kind::quantity || setting.required) {
            continue;
        }
        ++count;
        std::string lines(setting.key);
        lines += " = \"1 " + std::string(setting.unit) + "\"\n";
        lines += setting.section == "exclusions" ? "source = \"a.gpkg\"\n" : "";
        lines += setting.key == "transmissivity_m2_day" ? "storage_coefficient = 0.1\n" : "";
        lines += setting.key == "required_kpa" ? "minimum_kpa = 1\n" : "";
        const Settings settings = loaded(project_with(setting.section, lines));
        EXPECT_EQ(value_text(setting, settings), "1") << setting.key;
    }
    EXPECT_GT(count, 40);
}

TEST(LoadSettings, RefusesAUnitOfAnotherKindAndListsTheRightOnes) {
    EXPECT_THAT(error_text(project_with("siting", "max_fill_m = \"5 gal\"")),
                AllOf(HasSubstr("basin.toml:8:14: siting.max_fill_m"), HasSubstr("found \"5 gal\""),
                      HasSubstr("m, mm, cm, km, ft, in"), HasSubstr("above 0, up to 1000")));
    EXPECT_THAT(error_text(project_with("siting", "max_fill_m = \"5000 ft\"")),
                HasSubstr("found \"5000 ft\" (1524 m)"));
    EXPECT_THAT(error_text(project_with("demand", "people = \"3 m\"")), Not(HasSubstr("with a number and a unit")));
}

TEST(LoadSettings, MergesRunoffCoefficientsIntoTheShippedOnes) {
    const Settings settings = loaded(project_and("[harvest.runoff_coefficient]\nmetal = 0.9\n\"wood shake\" = 0.7\n"));
    EXPECT_EQ(settings.harvest.runoff_coefficient.at("metal"), 0.9);
    EXPECT_EQ(settings.harvest.runoff_coefficient.at("wood shake"), 0.7);
    EXPECT_EQ(settings.harvest.runoff_coefficient.at("tile"), 0.84);
    EXPECT_EQ(settings.harvest.runoff_coefficient.size(), 7U);
    EXPECT_THAT(error_text(project_and("[harvest.runoff_coefficient]\nmetal = 0\n")),
                HasSubstr("harvest.runoff_coefficient.metal"));
    EXPECT_THAT(error_text(project_and("[harvest]\nrunoff_coefficient = 0.9\n")),
                HasSubstr("a table, [harvest.runoff_coefficient]"));
}

TEST(LoadSettings, ReplacesTheShippedCatalogueByTheGivenTanks) {
    const Settings settings = loaded(project_and(R"(
[[tanks]]
volume_m3 = 10
diameter_m = 2.5
height_m = 2.4
[[tanks]]
volume_m3 = 5
diameter_m = 2
height_m = 2
count = 3
cost = 900
)"));
    ASSERT_EQ(settings.tanks.size(), 2U);
    EXPECT_EQ(settings.tanks[0].count, 1);
    EXPECT_FALSE(settings.tanks[0].cost);
    EXPECT_EQ(settings.tanks[1].nominal_m3(), 15.0);
    EXPECT_EQ(settings.tanks[1].cost, 900.0);
}

TEST(LoadSettings, NamesEveryRequiredSettingThatIsMissing) {
    EXPECT_THAT(error_text(""),
                AllOf(HasSubstr("3 errors"), HasSubstr("basin.toml: footprints.source"),
                      HasSubstr("basin.toml: terrain.elevation"), HasSubstr("basin.toml: rain.source")));
    EXPECT_THAT(error_text(project_and("[[tanks]]\nvolume_m3 = 3\n")),
                AllOf(HasSubstr("basin.toml:7:1: tanks.1: found no diameter_m"), HasSubstr("no height_m"),
                      Not(HasSubstr("no volume_m3"))));
    EXPECT_THAT(error_text(project_and("[[exclusions]]\n")), HasSubstr("exclusions.1: found no source"));
}

TEST(LoadSettings, SuggestsTheNearestKnownName) {
    EXPECT_THAT(error_text(project_with("siting", "max_fil_m = 50")),
                AllOf(HasSubstr("basin.toml:8:1: siting.max_fil_m: found an unknown setting"),
                      HasSubstr("did you mean max_fill_m?")));
    EXPECT_THAT(error_text(project_with("rain", "max_fill_m = 50")), HasSubstr("it belongs to [siting]"));
    EXPECT_THAT(error_text(project_with("rain", "max_fil_m = 50")), HasSubstr("did you mean max_fill_m of [siting]?"));
    EXPECT_THAT(error_text(project_with("terrain", "source = \"x.tif\"")),
                HasSubstr("it has elevation, vertical_unit"));
    EXPECT_THAT(error_text(project_with("siting", "zzzzzz = 1")), HasSubstr("`eaveshed settings` lists all settings"));
    EXPECT_THAT(error_text(project_and("[sitting]\nmax_fill_m = 50")), HasSubstr("did you mean [siting]?"));
    EXPECT_THAT(error_text(project_and("[tank]\n")), HasSubstr("did you mean [[tanks]]?"));
    EXPECT_THAT(error_text(project_and("[colours]\n")), HasSubstr("`eaveshed settings` lists all sections"));
    EXPECT_THAT(error_text("max_fill_m = 50\n" + project_and("")),
                AllOf(HasSubstr("outside any section"), HasSubstr("write it below [siting]")));
    EXPECT_THAT(error_text("zzzzzz = 50\n" + project_and("")), HasSubstr("below a section, such as [rain]"));
    EXPECT_THAT(error_text(project_with("rain", "kind = \"dayly\"")),
                AllOf(HasSubstr("monthly-normals, monthly, daily"), HasSubstr("did you mean \"daily\"?")));
}

TEST(LoadSettings, TellsOneTableFromMany) {
    EXPECT_THAT(error_text(project_and("[tanks]\nvolume_m3 = 3\n")), HasSubstr("write [[tanks]]"));
    EXPECT_THAT(error_text(project_and("[[siting]]\nmax_fill_m = 3\n")), HasSubstr("write [siting]"));
    EXPECT_THAT(error_text("tanks = []\n" + project_and("")), HasSubstr("one or more tables, [[tanks]]"));
    EXPECT_THAT(error_text("roads = \"x.gpkg\"\n" + project_and("")), HasSubstr("one table, [roads]"));
}

TEST(LoadSettings, ReportsAllErrorsInTheOrderOfTheFile) {
    const std::string error =
        error_text(project_and("[storage]\nrule = \"never\"\nreliability = 2\n[demand]\npeople = -1\n"));
    EXPECT_THAT(error, HasSubstr("basin.toml: found 3 errors; correct each of these:\n"));
    const auto first = error.find("basin.toml:8:8: storage.rule");
    const auto second = error.find("basin.toml:9:15: storage.reliability");
    const auto third = error.find("basin.toml:11:10: demand.people");
    EXPECT_LT(first, second);
    EXPECT_LT(second, third);
    EXPECT_NE(third, std::string::npos) << error;
}

TEST(LoadSettings, RefusesWrongKindsOfValues) {
    EXPECT_THAT(error_text(project_with("siting", "max_fill_m = [1, 2]")), HasSubstr("found a list of 2 values"));
    EXPECT_THAT(error_text(project_with("siting", "max_fill_m = {a = 1}")), HasSubstr("found a table of 1 entries"));
    EXPECT_THAT(error_text(project_with("output", "storage_curve = \"yes\"")),
                HasSubstr("true or false, without quotes"));
    EXPECT_THAT(error_text(project_with("footprints", "id = 5")), HasSubstr("wanted a field name"));
    EXPECT_THAT(error_text(project_with("footprints", "id = \"\"")),
                HasSubstr("leave the line out (then: the feature id)"));
    EXPECT_THAT(error_text(project_with("footprints", "id = \"a\\u001bb\"")), HasSubstr("found \"a?b\""));
    EXPECT_THAT(error_text(project_with("parcels", "source = \"p\"\ncarry = \"owner\"")),
                HasSubstr("list of field names"));
    EXPECT_THAT(error_text(project_with("canopy", "source = []")), HasSubstr("not empty"));
    EXPECT_THAT(error_text(project_with("canopy", "source = [\"a\", 2]")), HasSubstr("found 2"));
    EXPECT_THAT(error_text(project_and("[[scenarios]]\nname = \"a\"\nrain_factor = [1, 2]\n")),
                HasSubstr("one number or twelve"));
    EXPECT_THAT(error_text(project_with("rain", "kind = \"daily\"\ncalendar = \"julian\"")), HasSubstr("360_day"));
}

TEST(LoadSettings, CutsLongTextsInMessagesBetweenCharacters) {
    std::string name;
    for (int i = 0; i < 100; ++i) {
        name += "\xc3\xa9";
    }
    const std::string error = error_text(project_with("siting", "eave_from = \"x" + name + "\""));
    EXPECT_THAT(error, HasSubstr("\xc3\xa9...\""));
    EXPECT_LT(error.size(), 300U);
}

TEST(LoadSettings, ReadsDatesOfAnyCalendar) {
    const auto start = [](const std::string& value) {
        return loaded(project_with("rain", "kind = \"daily\"\nstart = " + value)).rain.start;
    };
    EXPECT_EQ(start("\"1991-10\""), "1991-10");
    EXPECT_EQ(start("\"1991-02-30\""), "1991-02-30");  // of 360 days
    EXPECT_EQ(start("1992-02-29"), "1992-02-29");
    for (const char* value : {"\"1991-13-01\"", "\"October\"", "1991", "\"1991-02-31\"", "10:00:00", "\"\""}) {
        EXPECT_THAT(error_text(project_with("rain", std::string("kind = \"daily\"\nstart = ") + value)),
                    HasSubstr("a date such as"));
    }
}

TEST(LoadSettings, ReadsMonthsByNumberAndName) {
    const Settings settings = loaded(project_with("season",
                                                  "fill_months = [\"NOV\", \"december\", 1, \"Feb\"]\n"
                                                  "forbear_months = [8, \"sep\"]\ndraw_months = [\"May\"]"));
    EXPECT_THAT(settings.season.fill_months, ElementsAre(11, 12, 1, 2));
    EXPECT_THAT(settings.season.forbear_months, ElementsAre(8, 9));
    EXPECT_THAT(settings.season.draw_months, ElementsAre(5));
    for (const char* value : {"[]", "8", "\"Nov\"", "[0]", "[13]", "[1.5]", "[\"Brumaire\"]", "[\"\"]", "[11, \"Nov\"]",
                              "[9223372036854775807]", "[[1]]"}) {
        EXPECT_THAT(error_text(project_with("season", std::string("fill_months = ") + value)),
                    HasSubstr("a list of different months"))
            << value;
    }
}

TEST(LoadSettings, NamesLineAndColumnOfASyntaxError) {
    EXPECT_THAT(error_text(project_and("[siting]\nmax_fill_m = 50 m\n")),
                AllOf(HasSubstr("basin.toml:8:"), HasSubstr("wanted valid TOML")));
    EXPECT_THAT(error_text(project_and("[siting]\n[siting]\n")), HasSubstr("valid TOML"));
    EXPECT_THAT(error_text("\xff\xfe"), HasSubstr("valid TOML"));
}

TEST(LoadSettings, ReadsAFileWithAByteOrderMarkAndWindowsLineEnds) {
    std::string text = "\xef\xbb\xbf";
    for (const char c : project_with("siting", "max_fill_m = 50")) {
        text += c == '\n' ? "\r\n" : std::string(1, c);
    }
    EXPECT_EQ(loaded(text).siting.max_fill_m, 50.0);
}

TEST(LoadSettings, RefusesKeysThatWouldExhaustTheParser) {
    std::string deep;
    for (int i = 0; i < 200000; ++i) {
        deep += "a.";
    }
    EXPECT_THAT(error_text(deep + "a = 1\n"), HasSubstr("more than 100 parts"));
    std::string quoted;
    for (int i = 0; i < 200000; ++i) {
        quoted += "\"a\" . ";
    }
    EXPECT_THAT(error_text(quoted + "a = 1\n"), HasSubstr("more than 100 parts"));
    EXPECT_THAT(error_text("x = " + std::string(100000, '[')), HasSubstr("valid TOML"));
    EXPECT_THAT(error_text(std::string(std::size_t{5} << 20U, '\n')), HasSubstr("more than 4 MiB"));
}

TEST(LoadSettings, TakesManyFilesOnOneLine) {
    std::string list;
    for (int i = 0; i < 2000; ++i) {
        list += (i == 0 ? "\"rain." : ", \"rain.") + std::to_string(i) + ".tif\"";
    }
    EXPECT_EQ(loaded(project_with("canopy", "source = [" + list + "]")).canopy.size(), 2000U);
}

TEST(LoadSettings, NeverFailsInAnyOtherWayThanAnInputError) {
    const std::string whole = project_and(R"(
[parcels]
source = "p.gpkg"
carry = ["owner", "phone"]
[season]
forbear_months = ["Aug", 9, 10]
[harvest.runoff_coefficient]
"wood shake" = 0.7
[[tanks]]
volume_m3 = "5000 gal"
diameter_m = 3.0
height_m = 2.5
[[scenarios]]
name = "dry"
rain_factor = [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1]
[rank]
seed = 7
)");
    EXPECT_EQ(error_text(whole), "");
    for (std::size_t size = 0; size < whole.size(); ++size) {
        EXPECT_NE(error_text(whole.substr(0, size)), "not an input error") << size;
    }
    constexpr std::string_view kBytes = "\"[]{}=.,#\n\\ \t\r0a-\x00\xc3\x7f";
    for (std::size_t at = 0; at < whole.size(); ++at) {
        std::string changed = whole;
        changed[at] = kBytes[at % kBytes.size()];
        EXPECT_NE(error_text(changed), "not an input error") << at;
    }
}

TEST(LoadSettings, ResolvesPathsAgainstTheProjectFile) {
    EXPECT_EQ(resolved_path("basin.toml", "dem.tif"), "dem.tif");
    EXPECT_EQ(resolved_path("work/basin.toml", "dem/*.tif"), "work/dem/*.tif");
    EXPECT_EQ(resolved_path("/basins/basin.toml", "../dem.tif"), "/basins/../dem.tif");
    EXPECT_EQ(resolved_path("/basins/basin.toml", "/data/dem.tif"), "/data/dem.tif");
}

std::string with_use(const std::string& value) {
    return project_with("parcels", "source = \"p.gpkg\"\nseason_use_m3 = " + value);
}

TEST(LoadSettings, AFieldOfQuantitiesIsANameOrANameWithItsUnit) {
    const auto use = [](const std::string& value) { return loaded(with_use(value)).parcels.season_use_m3; };
    EXPECT_EQ(use("\"use\"").field, "use");
    EXPECT_EQ(use("\"use\"").unit, "");
    EXPECT_EQ(use("{ field = \"use_gal\", unit = \"gal\" }").field, "use_gal");
    EXPECT_EQ(use("{ field = \"use_gal\", unit = \"Gallons\" }").unit, "gal");
    EXPECT_EQ(use("{ unit = \"acre-ft\", field = \"use\" }").unit, "acre-ft");
    EXPECT_EQ(use("{ field = \"use\" }").unit, "");
    const Settings eave = loaded(project_with("footprints", "eave_height = { field = \"eave_ft\", unit = \"ft\" }"));
    EXPECT_EQ(eave.footprints.eave_height.field, "eave_ft");
    EXPECT_EQ(eave.footprints.eave_height.unit, "ft");
}

TEST(LoadSettings, AUnitThatDoesNotFitTheFieldsQuantityIsAnErrorThatListsThoseThatDo) {
    EXPECT_THAT(error_text(with_use("{ field = \"use\", unit = \"ft\" }")),
                AllOf(HasSubstr("parcels.season_use_m3.unit: found \"ft\", a unit of length"),
                      HasSubstr("a unit of volume (m3, L, gal, kgal, ft3, acre-ft)"), HasSubstr("(then: m3)")));
    EXPECT_THAT(error_text(with_use("{ field = \"use\", unit = \"barrels\" }")),
                AllOf(HasSubstr("parcels.season_use_m3.unit: found \"barrels\""), HasSubstr("a unit of volume")));
    EXPECT_THAT(error_text(with_use("{ field = \"use\", unit = 5 }")),
                HasSubstr("parcels.season_use_m3.unit: found 5"));
    EXPECT_THAT(error_text(with_use("{ field = \"use\", unit = \"\" }")), HasSubstr("parcels.season_use_m3.unit"));
    EXPECT_THAT(error_text(with_use("{ field = 7, unit = \"gal\" }")),
                HasSubstr("parcels.season_use_m3.field: found 7"));
    EXPECT_THAT(error_text(with_use("{ unit = \"gal\" }")),
                AllOf(HasSubstr("parcels.season_use_m3: found a table without a field"), HasSubstr("{ field = ")));
    EXPECT_THAT(error_text(with_use("{ field = \"use\", units = \"gal\" }")),
                AllOf(HasSubstr("parcels.season_use_m3.units: found an unknown entry"), HasSubstr("field and unit")));
    EXPECT_THAT(error_text(with_use("5")), HasSubstr("parcels.season_use_m3: found 5"));
    // What holds no quantity takes no unit.
    EXPECT_THAT(error_text(project_with("parcels", "source = \"p.gpkg\"\npeople = { field = \"n\", unit = \"m\" }")),
                HasSubstr("parcels.people: found a table of 2 entries"));
    EXPECT_THAT(error_text(project_with("parcels", "season_use_m3 = { field = \"use\", unit = \"gal\" }")),
                AllOf(HasSubstr("parcels.season_use_m3"), HasSubstr("no source in [parcels]")));
}

}  // namespace
}  // namespace eaveshed
