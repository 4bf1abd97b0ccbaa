#include "eaveshed/settings/table.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <charconv>
#include <set>
#include <string>

#include "eaveshed/core/choices.hpp"

namespace eaveshed {
namespace {

bool ends_with_unit(std::string_view key) {
    if (key.find("_per_") != std::string_view::npos && key != "litres_per_person_day") {
        return false;
    }
    for (const std::string_view ending : {"_m", "_mm", "_m2", "_km2", "_m3", "_kpa", "_lps", "_mm_h", "_mm_day",
                                          "_m2_day", "_pct", "_days", "_years"}) {
        if (key.ends_with(ending)) {
            return true;
        }
    }
    return key.starts_with("litres_");
}

TEST(SettingsTable, NamesEverySettingOnce) {
    std::set<std::string> names;
    for (const Setting& setting : settings_table()) {
        EXPECT_TRUE(names.insert(name_of(setting)).second) << name_of(setting);
        EXPECT_NE(find_section(setting.section), nullptr) << name_of(setting);
        EXPECT_EQ(find_setting(setting.section, setting.key), &setting);
        EXPECT_EQ(find_setting(name_of(setting)), &setting);
    }
}

TEST(SettingsTable, NamesEveryWaterSourceWhereItAsksForTheirField) {
    const Setting* const field = find_setting("parcels.water_source");
    ASSERT_NE(field, nullptr);
    for (const Term& source : terms_of<WaterSource>()) {
        EXPECT_NE(field->meaning.find(source.name), std::string_view::npos) << source.name;
    }
}

TEST(SettingsTable, FindsNothingUnderHalfAName) {
    for (const char* name : {"", "max_slope_pct", "siting", "siting.", ".max_slope_pct", "siting.max_slope"}) {
        EXPECT_EQ(find_setting(name), nullptr) << name;
    }
}

TEST(SettingsTable, HasEverySectionOfTheContract) {
    const std::set<std::string_view> expected{
        "basin",       "footprints", "terrain",   "rain",     "evapotranspiration",
        "temperature", "parcels",    "streams",   "roads",    "canopy",
        "use_points",  "exclusions", "overrides", "contacts", "season",
        "harvest",     "demand",     "tanks",     "storage",  "siting",
        "notes",       "cost",       "rank",      "output",   "scenarios",
        "subbasins",   "diversions", "check"};  // the last two are our own
    std::set<std::string_view> found;
    for (const Section& section : settings_sections()) {
        found.insert(section.name);
        EXPECT_TRUE(std::ranges::any_of(settings_table(), [&section](const Setting& setting) {
            return setting.section == section.name;
        })) << section.name;
        EXPECT_EQ(section.repeated,
                  section.name == "exclusions" || section.name == "tanks" || section.name == "scenarios");
    }
    EXPECT_EQ(found, expected);
}

TEST(SettingsTable, KeepsTheOrderOfTheSections) {
    EXPECT_TRUE(std::ranges::is_sorted(settings_table(), {},
                                       [](const Setting& setting) { return find_section(setting.section); }));
}

TEST(SettingsTable, ExplainsEverySettingInASentence) {
    for (const Setting& setting : settings_table()) {
        EXPECT_GT(setting.meaning.size(), 10U) << name_of(setting);
        EXPECT_TRUE(setting.meaning.ends_with('.')) << name_of(setting);
        EXPECT_FALSE(setting.source.ends_with('.')) << name_of(setting);
        EXPECT_FALSE(default_text(setting).empty()) << name_of(setting);
        EXPECT_FALSE(allowed_text(setting).empty()) << name_of(setting);
    }
}

TEST(SettingsTable, SaysWhereEveryNumberComesFrom) {
    for (const Setting& setting : settings_table()) {
        const bool has_default = std::holds_alternative<Reach<double>>(setting.access) && !setting.required;
        if (has_default && setting.section != "exclusions") {
            EXPECT_FALSE(setting.source.empty()) << name_of(setting);
        }
    }
}

TEST(SettingsTable, LimitsEveryNumber) {
    for (const Setting& setting : settings_table()) {
        const bool number = setting.kind == Kind::number || setting.kind == Kind::whole_number ||
                            setting.kind == Kind::twelve || setting.kind == Kind::coefficients;
        const bool any = setting.key == "nodata" || setting.key == "surface_nodata";  // whatever marks a missing cell
        EXPECT_EQ(number && !any, setting.range.limited()) << name_of(setting);
    }
}

TEST(SettingsTable, GivesEveryQuantityWithAUnitInItsNameThatUnit) {
    for (const Setting& setting : settings_table()) {
        const bool number = setting.kind == Kind::number || setting.kind == Kind::whole_number;
        EXPECT_EQ((number && ends_with_unit(setting.key)) || setting.kind == Kind::quantity,
                  convertible_unit(setting) != nullptr)
            << name_of(setting);
    }
}

TEST(SettingsTable, FitsKindsToPlaces) {
    for (const Setting& setting : settings_table()) {
        const bool number = std::holds_alternative<Reach<double>>(setting.access) ||
                            std::holds_alternative<Reach<std::optional<double>>>(setting.access);
        EXPECT_EQ(number, setting.kind == Kind::number) << name_of(setting);
        EXPECT_EQ(std::holds_alternative<Reach<int>>(setting.access), setting.kind == Kind::whole_number)
            << name_of(setting);
        EXPECT_EQ(std::holds_alternative<Reach<bool>>(setting.access), setting.kind == Kind::flag) << name_of(setting);
        EXPECT_EQ(std::holds_alternative<ChoiceReach>(setting.access), setting.kind == Kind::choice)
            << name_of(setting);
        EXPECT_EQ(std::holds_alternative<Reach<std::vector<std::string>>>(setting.access),
                  setting.kind == Kind::paths || setting.kind == Kind::fields || setting.kind == Kind::words)
            << name_of(setting);
        EXPECT_EQ(std::holds_alternative<Reach<QuantityField>>(setting.access), setting.kind == Kind::quantity)
            << name_of(setting);
    }
}

TEST(SettingsTable, WritesEveryChoiceAndReadsItBack) {
    for (const Setting& setting : settings_table()) {
        if (setting.kind != Kind::choice) {
            continue;
        }
        const auto& choice = std::get<ChoiceReach>(setting.access);
        Settings settings;
        for (std::size_t i = 0; i < choice.terms.size(); ++i) {
            choice.set(settings, 0, i);
            EXPECT_EQ(choice.get(settings, 0), i);
            EXPECT_EQ(value_text(setting, settings), choice.terms[i].name);
        }
    }
}

TEST(SettingsTable, SaysRangesInWords) {
    EXPECT_EQ(to_text(Range{0.0, 1.0}), "0 to 1");
    EXPECT_EQ(to_text(Range{0.0, 0.5, true}), "above 0, up to 0.5");
    EXPECT_EQ(to_text(Range{.low = 2.0}), "2 or more");
    EXPECT_EQ(to_text(Range{.low = 2.0, .low_open = true}), "above 2");
    EXPECT_EQ(to_text(Range{.high = 3.0}), "up to 3");
    EXPECT_EQ(to_text(Range{}), "");
}

TEST(SettingsTable, WritesNumbersThatReadBackTheSame) {
    for (const double value : {0.0, 0.1, 1.0 / 3.0, 1e5, 1e6, 123456789.0, 1e15, 1e-5, 1e-6, 1e300, -2.5, 5e-324}) {
        const std::string text = number_text(value);
        double read = -1.0;
        EXPECT_EQ(std::from_chars(text.data(), text.data() + text.size(), read).ptr, text.data() + text.size()) << text;
        EXPECT_EQ(read, value) << text;
    }
    EXPECT_EQ(number_text(100000.0), "100000");
    EXPECT_EQ(number_text(0.2), "0.2");
}

TEST(SettingsTable, ListsLongValuesForTheRunRecord) {
    Settings settings;
    settings.rain.source = {"a.tif", "b.tif"};
    settings.parcels.carry = {"owner"};
    settings.scenarios.resize(2);
    settings.scenarios[1].name = "dry";
    settings.scenarios[1].rain_factor[0] = 0.5;
    settings.exclusions.resize(1);
    settings.exclusions[0].from.source = "wells.gpkg";
    settings.tanks.resize(1);
    const auto list = effective_settings(settings);
    const auto value = [&list](std::string_view name) {
        const auto found = std::ranges::find(list, name, &std::pair<std::string, std::string>::first);
        return found == list.end() ? std::string("absent") : found->second;
    };
    EXPECT_EQ(value("rain.source"), "[\"a.tif\", \"b.tif\"]");
    EXPECT_EQ(value("parcels.carry"), "[\"owner\"]");
    EXPECT_EQ(value("exclusions.1.source"), "wells.gpkg");
    EXPECT_EQ(value("scenarios.1.rain_factor"), "1");
    EXPECT_EQ(value("scenarios.2.name"), "dry");
    EXPECT_EQ(value("scenarios.2.rain_factor"), "[0.5, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1]");
    EXPECT_EQ(value("tanks.1.volume_m3"), "1.9");
    EXPECT_EQ(value("tanks.2.volume_m3"), "absent");
    EXPECT_EQ(value("cost.pump"), "");
}

}  // namespace
}  // namespace eaveshed
