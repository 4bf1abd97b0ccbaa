// What settings ask of each other.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "project/project_text.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using testing::error_text;
using testing::findings_of;
using ::testing::HasSubstr;
using testing::loaded;
using ::testing::Not;
using testing::project_and;
using testing::project_with;

std::string text_of(const Findings& findings, Severity severity) {
    std::string text;
    for (const Finding& finding : findings.list()) {
        if (finding.severity == severity) {
            text += to_text(finding.trouble) + "\n";
        }
    }
    return text;
}

TEST(SettingsRules, WantOneRunOfForbearanceMonths) {
    for (const char* months : {"[8]", "[12, 1, 2]", "[2, 12, 1]", "[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]"}) {
        EXPECT_EQ(error_text(project_with("season", std::string("forbear_months = ") + months)), "") << months;
    }
    EXPECT_THAT(error_text(project_with("season", "forbear_months = [8, 10]")),
                AllOf(HasSubstr("basin.toml:8:1: season.forbear_months"), HasSubstr("a gap between them"),
                      HasSubstr("one run of months round the year")));
    EXPECT_THAT(error_text(project_with("season", "forbear_months = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]")),
                HasSubstr("all twelve months"));
}

TEST(SettingsRules, BeginTheTankYearAfterTheLastForbearanceMonthInAnyOrder) {
    const auto first = [](const char* months) {
        return loaded(project_with("season", std::string("forbear_months = ") + months)).season_months().first_month;
    };
    EXPECT_EQ(first("[10, 8, 9]"), 11);
    EXPECT_EQ(first("[1, 12]"), 2);
    EXPECT_EQ(first("[12]"), 1);
}

TEST(SettingsRules, LetDrawMonthsDifferFromTheForbearanceMonths) {
    const std::string part = project_with("season", "draw_months = [7, 8]");
    EXPECT_TRUE(findings_of(part).list().empty());
    const Season season = loaded(part).season_months();
    EXPECT_TRUE(season.draw.has(7));
    EXPECT_FALSE(season.draw.has(9));
    EXPECT_TRUE(season.forbear.has(9));
}

TEST(SettingsRules, WarnWhenNothingIsDrawnInTheForbearanceMonths) {
    EXPECT_THAT(text_of(findings_of(project_with("season", "draw_months = [5, 6]")), Severity::warning),
                HasSubstr("season.draw_months: found no forbearance month"));
}

TEST(SettingsRules, RefuseMonthsThatWereNeverChecked) {
    Settings settings;
    settings.season.forbear_months = {1, 3};
    EXPECT_THROW(static_cast<void>(settings.season_months()), Error);
}

TEST(SettingsRules, WantADryWinterFactorOnlyForMonthlyNormals) {
    EXPECT_EQ(loaded(project_with("rain", "dry_winter_factor = 0.7")).rain.dry_winter_factor, 0.7);
    for (const char* kind : {"monthly", "daily"}) {
        const std::string lines = std::string("dry_winter_factor = 0.7\nkind = \"") + kind + "\"";
        EXPECT_THAT(error_text(project_with("rain", lines)),
                    AllOf(HasSubstr("rain.dry_winter_factor"), HasSubstr("leave the line out")));
    }
}

TEST(SettingsRules, WantBothTemperaturesOrNone) {
    EXPECT_EQ(error_text(project_with("temperature", "minimum = \"n.tif\"\nmaximum = \"x.tif\"")), "");
    EXPECT_THAT(error_text(project_with("temperature", "minimum = \"n.tif\"")),
                HasSubstr("temperature.minimum: found one"));
    EXPECT_THAT(error_text(project_with("temperature", "maximum = \"n.tif\"")),
                HasSubstr("temperature.maximum: found one"));
}

TEST(SettingsRules, WantBothAquiferPropertiesOrNone) {
    EXPECT_EQ(error_text(project_with("demand", "transmissivity_m2_day = 100\nstorage_coefficient = 0.1")), "");
    EXPECT_THAT(error_text(project_with("demand", "transmissivity_m2_day = 100")), HasSubstr("storage_coefficient"));
    EXPECT_THAT(error_text(project_with("demand", "storage_coefficient = 0.1")), HasSubstr("transmissivity_m2_day"));
}

TEST(SettingsRules, WantTanksHigherThanTheirOutlet) {
    const std::string tank = "[[tanks]]\nvolume_m3 = 1\ndiameter_m = 2\nheight_m = 0.1\n";
    EXPECT_THAT(error_text(project_and(tank)),
                AllOf(HasSubstr("basin.toml:10:1: tanks.1.height_m"), HasSubstr("a tank 0.1 m high")));
    EXPECT_EQ(error_text(project_and(tank + "[siting]\noutlet_height_m = 0.05\n")), "");
    EXPECT_THAT(error_text(project_with("siting", "outlet_height_m = 1.52")),
                HasSubstr("basin.toml:8:1: siting.outlet_height_m"));
}

// The largest shipped option holds 10 x 18.9 (1 - 0.1 / 2.95) = 182.593... m3 above its outlets (derived).
TEST(SettingsRules, WantAnOptionThatHoldsMoreThanTheReserve) {
    EXPECT_EQ(error_text(project_with("storage", "reserve_m3 = 182.5")), "");
    EXPECT_THAT(error_text(project_with("storage", "reserve_m3 = 182.6")),
                AllOf(HasSubstr("storage.reserve_m3"), HasSubstr("leaves no storage option")));
    const std::string tank =
        "[[tanks]]\nvolume_m3 = 2\ndiameter_m = 2\nheight_m = 1\n[siting]\noutlet_height_m = 0.5\n";
    EXPECT_EQ(error_text(project_and(tank + "[storage]\nreserve_m3 = 0.99\n")), "");
    EXPECT_NE(error_text(project_and(tank + "[storage]\nreserve_m3 = 1\n")), "");
}

TEST(SettingsRules, WantTheMinimumPressureNoGreaterThanTheRequiredOne) {
    EXPECT_EQ(error_text(project_with("siting", "minimum_kpa = 70")), "");
    EXPECT_THAT(error_text(project_with("siting", "minimum_kpa = 71")),
                AllOf(HasSubstr("siting.minimum_kpa"), HasSubstr("minimum_kpa 71 above required_kpa 70")));
    EXPECT_THAT(error_text(project_with("siting", "required_kpa = 5")), HasSubstr(": siting.required_kpa"));
}

TEST(SettingsRules, WantAWeightAboveZeroAndNamesOfTheirOwn) {
    EXPECT_THAT(error_text(project_with("rank",
                                        "weight_stream_gain = 0\nweight_low_flow_share = 0\nweight_gravity = 0\n"
                                        "weight_cost = 0\nweight_reliability = 0")),
                HasSubstr("all weights 0"));
    EXPECT_THAT(error_text(project_and("[[scenarios]]\nname = \"dry\"\n[[scenarios]]\nname = \"dry\"\n")),
                HasSubstr("scenarios.2.name: found \"dry\" a second time"));
    EXPECT_THAT(error_text(project_and("[[scenarios]]\nname = \"worst\"\n")),
                AllOf(HasSubstr("scenarios.1.name: found \"worst\""), HasSubstr("rank.scenario keeps for itself")));
    const std::string dry = "[[scenarios]]\nname = \"dry\"\n[rank]\nscenario = ";
    for (const char* const by : {"\"dry\"", "\"worst\"", "\"now\""}) {
        EXPECT_EQ(error_text(project_and(dry + by + "\n")), "") << by;
    }
    EXPECT_THAT(error_text(project_and(dry + "\"dri\"\n")),
                AllOf(HasSubstr("rank.scenario: found \"dri\""), HasSubstr("now or worst, or \"dry\"")));
    EXPECT_THAT(error_text(project_and("[rank]\nscenario = \"worst\"\n")),
                AllOf(HasSubstr("no [[scenarios]]"), HasSubstr("add [[scenarios]]")));
}

TEST(SettingsRules, WantASourceForEveryFieldAndLayer) {
    EXPECT_THAT(error_text(project_with("parcels", "people = \"residents\"")),
                AllOf(HasSubstr("parcels.people"), HasSubstr("give parcels.source")));
    EXPECT_THAT(error_text(project_with("roads", "layer = \"roads\"")), HasSubstr("give roads.source"));
    EXPECT_EQ(error_text(project_with("parcels", "default_water_source = \"creek\"")), "");
    EXPECT_EQ(error_text(project_with("parcels", "source = \"p.gpkg\"\npeople = \"residents\"")), "");
}

TEST(SettingsRules, WarnOfSettingsThatNeedAnotherOne) {
    const auto warning = [](std::string_view section, std::string_view lines) {
        return text_of(findings_of(project_with(section, lines)), Severity::warning);
    };
    EXPECT_THAT(warning("footprints", "overhang_m = 0.5"), HasSubstr("footprints.overhang_m"));
    EXPECT_EQ(warning("footprints", "outline = \"walls\"\noverhang_m = 0.5"), "");
    EXPECT_THAT(warning("terrain", "surface_kind = \"height\""), HasSubstr("terrain.surface_kind"));
    EXPECT_EQ(warning("terrain", "surface_kind = \"height\"\nsurface = \"dsm.tif\""), "");
    EXPECT_THAT(warning("evapotranspiration", "unit = \"mm day-1\""), HasSubstr("evapotranspiration.unit"));
    EXPECT_THAT(warning("rain", "start = \"1991-10\""), HasSubstr("rain.start"));
    EXPECT_EQ(warning("rain", "start = \"1991-10\"\nkind = \"monthly\""), "");
    EXPECT_THAT(warning("rain", "calendar = \"noleap\""), HasSubstr("rain.calendar"));
}

TEST(SettingsRules, TakeStreamsThatAreGivenOrDerivedButNotBoth) {
    EXPECT_THAT(error_text(project_with("streams", "source = \"creeks.gpkg\"\nderive = true")),
                AllOf(HasSubstr("streams.derive"), HasSubstr("leave one of the two out")));
    EXPECT_EQ(error_text(project_with("streams", "source = \"creeks.gpkg\"")), "");
    EXPECT_EQ(error_text(project_with("streams", "derive = true")), "");
}

TEST(SettingsRules, WarnOfSettingsThatOnlyTheOtherKindOfStreamsUses) {
    const auto warning = [](std::string_view lines) {
        return text_of(findings_of(project_with("streams", lines)), Severity::warning);
    };
    EXPECT_THAT(warning("stream_area_km2 = 2"), HasSubstr("streams.stream_area_km2"));
    EXPECT_EQ(warning("stream_area_km2 = 2\nderive = true"), "");
    EXPECT_THAT(warning("join_m = 2\nderive = true"), HasSubstr("streams.join_m"));
    EXPECT_EQ(warning("join_m = 2\nsource = \"creeks.gpkg\""), "");
    EXPECT_THAT(warning("routing_cell_m = 5\nentry = \"nearest\"\nsource = \"creeks.gpkg\""),
                HasSubstr("streams.routing_cell_m"));
    EXPECT_EQ(warning("routing_cell_m = 5\nsource = \"creeks.gpkg\""), "");
}

TEST(SettingsRules, AreNotAskedWhereSingleValuesAreWrong) {
    EXPECT_THAT(error_text(project_with("siting", "minimum_kpa = 71\nmax_cut_m = -1")),
                AllOf(HasSubstr("siting.max_cut_m"), Not(HasSubstr("required_kpa"))));
}

TEST(SettingsRules, KeepOtherFindings) {
    Findings findings;
    findings.error({"elsewhere", "trouble", "", ""});
    const auto settings = read_settings(project_and(""), "basin.toml", findings);
    EXPECT_TRUE(settings);
    EXPECT_EQ(findings.count(Severity::error), 1U);
    EXPECT_EQ(std::string(error_of(findings, "basin.toml").what()), "elsewhere: found trouble");
    EXPECT_EQ(error_of(findings, "basin.toml").exit_code(), 2);
}

}  // namespace
}  // namespace eaveshed
