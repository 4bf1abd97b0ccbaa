#include "eaveshed/facts/fields.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "eaveshed/facts/walk.hpp"

namespace eaveshed {
namespace {

template <typename Facts>
class Fields : public ::testing::Test {};
using AllLayers = ::testing::Types<RoofFacts, ParcelFacts, ReachFacts>;
TYPED_TEST_SUITE(Fields, AllLayers);

// Settings that give every field the name "its " and the key.
template <typename Facts>
Settings with_fields() {
    Settings settings;
    for (const Setting& setting : settings_table()) {
        if (setting.section != FactsOf<Facts>::section || !names_field(setting)) {
            continue;
        }
        const std::string name = "its " + std::string(setting.key);
        if (setting.kind == Kind::quantity) {
            std::get<Reach<QuantityField>>(setting.access).edit(settings, 0).field = name;
        } else {
            std::get<Reach<std::string>>(setting.access).edit(settings, 0) = name;
        }
    }
    return settings;
}

TYPED_TEST(Fields, AreThoseThatTheSettingsName) {
    const LayerFields<TypeParam> fields(with_fields<TypeParam>());
    const std::vector<std::string> names = fields.names();
    EXPECT_EQ(names.at(fields.place("id")), "its id");
    for (const auto& fact : FactsOf<TypeParam>::table) {
        if (fact.field.empty()) {
            EXPECT_EQ(field_name(fact, with_fields<TypeParam>()), "");
            continue;
        }
        EXPECT_EQ(names.at(fields.place(fact.field)), "its " + std::string(fact.field));
        EXPECT_EQ(field_name(fact, with_fields<TypeParam>()), "its " + std::string(fact.field));
        EXPECT_EQ(std::ranges::count(fields.facts(), &fact), 1) << fact.name;
    }
    for (const std::string& name : LayerFields<TypeParam>(Settings()).names()) {
        EXPECT_EQ(name, "");
    }
}

// One field at a time.
TYPED_TEST(Fields, GiveEachFactItsOwnValueAndNoOther) {
    const LayerFields<TypeParam> fields{Settings()};
    std::size_t read = 0;
    for (const auto& fact : FactsOf<TypeParam>::table) {
        if (fact.field.empty()) {
            continue;
        }
        std::vector<std::optional<std::string>> values(fields.names().size());
        values.at(fields.place(fact.field)) = "0.25";
        TypeParam expected;
        if (const auto* const text = std::get_if<std::optional<std::string> TypeParam::*>(&fact.member)) {
            expected.*(*text) = "0.25";
        } else {
            expected.*std::get<std::optional<double> TypeParam::*>(fact.member) = 0.25;
        }
        NumberTexts seen;
        EXPECT_EQ(fields.read(values, seen), expected) << fact.name;
        EXPECT_TRUE(seen.unread.empty()) << fact.name;
        ++read;
    }
    EXPECT_EQ(read, fields.facts().size());
}

TYPED_TEST(Fields, WithoutANumberGiveNoFact) {
    const LayerFields<TypeParam> fields{Settings()};
    std::vector<std::optional<std::string>> values(fields.names().size(), "two");
    NumberTexts seen;
    const TypeParam facts = fields.read(values, seen);
    visit_facts<TypeParam>(facts, [&](const auto& fact, const auto& value) {
        const bool text = std::is_same_v<decltype(value), const std::optional<std::string>&>;
        EXPECT_EQ(value.has_value(), text && !fact.field.empty()) << fact.name;
        if (!text && !fact.field.empty()) {
            EXPECT_EQ(seen.unread[fields.place(fact.field)].first, "two") << fact.name;
        }
    });
}

TYPED_TEST(Fields, OfQuantitiesHaveTheUnitOfTheirFacts) {
    for (const auto& fact : FactsOf<TypeParam>::table) {
        const Setting* const setting =
            fact.field.empty() ? nullptr : find_setting(FactsOf<TypeParam>::section, fact.field);
        EXPECT_EQ(setting != nullptr && setting->kind == Kind::quantity,
                  setting != nullptr && find_unit(fact.unit) != nullptr)
            << fact.name;
        EXPECT_TRUE(setting == nullptr || setting->kind != Kind::quantity || setting->unit == fact.unit) << fact.name;
    }
}

constexpr double kGallonM3 = 0.003785411784;

std::optional<double> use_of(const Settings& settings, const std::optional<std::string>& text, NumberTexts& seen) {
    const LayerFields<ParcelFacts> fields(settings);
    std::vector<std::optional<std::string>> values(fields.names().size());
    values.at(fields.place("season_use_m3")) = text;
    return fields.read(values, seen).season_use_m3;
}

TEST(Fields, OfQuantitiesAreInTheStatedUnitUnlessTheTextHasItsOwn) {
    Settings settings;
    NumberTexts seen;
    settings.parcels.season_use_m3 = {.field = "use", .unit = ""};
    EXPECT_EQ(use_of(settings, "250", seen), 250.0);
    EXPECT_EQ(use_of(settings, " 5 ", seen), 5.0);
    EXPECT_DOUBLE_EQ(*use_of(settings, "250000 gal", seen), 250000.0 * kGallonM3);
    EXPECT_DOUBLE_EQ(*use_of(settings, "1000L", seen), 1.0);
    settings.parcels.season_use_m3.unit = "gal";
    EXPECT_DOUBLE_EQ(*use_of(settings, "250000", seen), 250000.0 * kGallonM3);
    EXPECT_DOUBLE_EQ(*use_of(settings, "1", seen), kGallonM3);
    EXPECT_EQ(use_of(settings, "250 m3", seen), 250.0);
    EXPECT_EQ(use_of(settings, "\t2.5e2 m3\r\n", seen), 250.0);
    EXPECT_TRUE(seen.unread.empty());
}

TEST(Fields, OfQuantitiesCountTextsWithoutOneAndKeepTheFirst) {
    Settings settings;
    settings.parcels.season_use_m3 = {.field = "use", .unit = "gal"};
    NumberTexts seen;
    for (const auto& blank :
         {std::optional<std::string>(), std::optional<std::string>(""), std::optional<std::string>(" \t")}) {
        EXPECT_EQ(use_of(settings, blank, seen), std::nullopt);
    }
    EXPECT_TRUE(seen.unread.empty());
    const std::vector<std::string> hostile{"12 parsecs", "1e999 gal",      "1,00,0 gal", "1 000 gal", "gal",
                                           "5ft",        "5 m2",           "nan",        "inf gal",   "5 gal 2",
                                           "0x10 gal",   "1e308 acre-ft2", "--5",        "5 gal gal"};
    for (const std::string& text : hostile) {
        EXPECT_EQ(use_of(settings, text, seen), std::nullopt) << text;
    }
    const auto& field = seen.unread.at(LayerFields<ParcelFacts>(settings).place("season_use_m3"));
    EXPECT_EQ(field.count, hostile.size());
    EXPECT_EQ(field.first, "12 parsecs");
}

// Every setting of the three sections that names a field leads to a fact, but for the ids.
TEST(Fields, OfTheSettingsAreAllFactsButForTheIds) {
    const auto others = [](std::string_view section, const auto& facts) {
        std::vector<std::string_view> keys;
        for (const Setting& setting : settings_table()) {
            const auto of_setting = [&](const auto* fact) { return fact->field == setting.key; };
            if (setting.section == section && names_field(setting) && std::ranges::none_of(facts, of_setting)) {
                keys.push_back(setting.key);
            }
        }
        return keys;
    };
    EXPECT_EQ(others("footprints", LayerFields<RoofFacts>(Settings()).facts()),
              (std::vector<std::string_view>{"id", "parcel"}));
    EXPECT_EQ(others("parcels", LayerFields<ParcelFacts>(Settings()).facts()), (std::vector<std::string_view>{"id"}));
    EXPECT_EQ(others("streams", LayerFields<ReachFacts>(Settings()).facts()), (std::vector<std::string_view>{"id"}));
}

template <typename Facts>
std::optional<double> number_of(const std::string& key, const std::string& text, NumberTexts& seen,
                                std::optional<double> Facts::*member) {
    const LayerFields<Facts> fields{Settings()};
    std::vector<std::optional<std::string>> values(fields.names().size());
    values.at(fields.place(key)) = text;
    return fields.read(values, seen).*member;
}

TEST(Fields, OfNumbersAreReadWithADecimalCommaWhereThatIsClear) {
    NumberTexts seen;
    EXPECT_EQ(number_of("eave_height", "3,2", seen, &RoofFacts::eave_height_m), 3.2);
    EXPECT_DOUBLE_EQ(number_of("eave_height", "12,5 ft", seen, &RoofFacts::eave_height_m).value(), 3.81);
    EXPECT_EQ(seen.restored.at(LayerFields<RoofFacts>(Settings()).place("eave_height")).count, 2U);
    EXPECT_TRUE(seen.two_ways.empty());
    EXPECT_EQ(number_of("eave_height", "1,234", seen, &RoofFacts::eave_height_m), std::nullopt);
    EXPECT_EQ(seen.two_ways.at(LayerFields<RoofFacts>(Settings()).place("eave_height")).first, "1,234");
    NumberTexts of_parcels;
    EXPECT_EQ(number_of("season_use_m3", "1.234,5", of_parcels, &ParcelFacts::season_use_m3), 1234.5);
    EXPECT_TRUE(seen.unread.empty());
}

TEST(Fields, OfSharesMayBeWrittenInPercent) {
    NumberTexts seen;
    EXPECT_EQ(number_of("connected_share", "75%", seen, &RoofFacts::connected_share), 0.75);
    EXPECT_EQ(number_of("source_share", " 12,5 % ", seen, &ParcelFacts::source_share), 0.125);
    EXPECT_EQ(number_of("people", "75%", seen, &ParcelFacts::people), std::nullopt);
    EXPECT_TRUE(seen.beyond.empty());
}

// Zero stands for nothing known in many a table; the rules of the method decide what it means.
TEST(Fields, OfNumbersBeyondWhatTheyCanBeAreNotUsedAndCounted) {
    NumberTexts seen;
    for (const char* const text : {"1e9", "-5", "1000.1", "3300 ft"}) {
        EXPECT_EQ(number_of("eave_height", text, seen, &RoofFacts::eave_height_m), std::nullopt) << text;
    }
    EXPECT_EQ(number_of("eave_height", "1000", seen, &RoofFacts::eave_height_m), 1000.0);
    EXPECT_EQ(number_of("eave_height", "0", seen, &RoofFacts::eave_height_m), 0.0);
    EXPECT_EQ(number_of("storeys", "163", seen, &RoofFacts::storeys), 163.0);  // the tallest building (from memory)
    EXPECT_EQ(number_of("storeys", "400", seen, &RoofFacts::storeys), std::nullopt);
    EXPECT_EQ(number_of("connected_share", "75", seen, &RoofFacts::connected_share), std::nullopt);
    const LayerFields<RoofFacts> fields{Settings()};
    EXPECT_EQ(seen.beyond.at(fields.place("eave_height")).count, 4U);
    EXPECT_EQ(seen.beyond.at(fields.place("eave_height")).first, "1e9");
    EXPECT_EQ(seen.beyond.at(fields.place("storeys")).first, "400");
    EXPECT_EQ(seen.beyond.at(fields.place("connected_share")).first, "75");
}

std::optional<double> low_flow_of(const Settings& settings, const std::string& text, NumberTexts& seen) {
    const LayerFields<ReachFacts> fields(settings);
    std::vector<std::optional<std::string>> values(fields.names().size());
    values.at(fields.place("low_flow_lps")) = text;
    return fields.read(values, seen).low_flow_lps;
}

TEST(Fields, OfReachesHoldLowFlowsInAnyUnitOfFlow) {
    constexpr double kCubicFootL = 28.316846592;  // 0.3048^3 m3
    constexpr double kGallonL = 3.785411784;
    Settings settings;
    NumberTexts seen;
    EXPECT_EQ(low_flow_of(settings, "12.5", seen), 12.5);
    EXPECT_DOUBLE_EQ(low_flow_of(settings, "2 cfs", seen).value(), 2.0 * kCubicFootL);
    EXPECT_DOUBLE_EQ(low_flow_of(settings, "90gpm", seen).value(), 90.0 * kGallonL / 60.0);
    EXPECT_EQ(low_flow_of(settings, "0", seen), 0.0);
    settings.streams.low_flow_lps = {.field = "low", .unit = "cfs"};
    EXPECT_DOUBLE_EQ(low_flow_of(settings, "0.5", seen).value(), 0.5 * kCubicFootL);
    EXPECT_EQ(low_flow_of(settings, "3 L/s", seen), 3.0);
    settings.streams.low_flow_lps.unit = "gpm";
    EXPECT_DOUBLE_EQ(low_flow_of(settings, "60", seen).value(), kGallonL);
    EXPECT_TRUE(seen.unread.empty() && seen.beyond.empty() && seen.restored.empty());
}

TEST(Fields, OfReachesCountLowFlowsThatAreOdd) {
    const Settings settings;
    const std::size_t place = LayerFields<ReachFacts>(settings).place("low_flow_lps");
    NumberTexts seen;
    EXPECT_EQ(low_flow_of(settings, "2,5", seen), 2.5);
    EXPECT_EQ(seen.restored.at(place).first, "2,5");
    EXPECT_EQ(low_flow_of(settings, "1,234", seen), std::nullopt);
    EXPECT_EQ(seen.two_ways.at(place).count, 1U);
    for (const char* const text : {"dry", "4 m2", "nan"}) {
        EXPECT_EQ(low_flow_of(settings, text, seen), std::nullopt) << text;
    }
    EXPECT_EQ(seen.unread.at(place).count, 3U);
    EXPECT_EQ(seen.unread.at(place).first, "dry");
    // The Amazon at its mouth comes to 2.1e8 L/s (from memory).
    EXPECT_EQ(low_flow_of(settings, "2.1e8", seen), 2.1e8);
    for (const char* const text : {"-0.1", "3e8", "1e4 m3/s", "1e7 cfs"}) {
        EXPECT_EQ(low_flow_of(settings, text, seen).has_value(), std::string(text) == "1e4 m3/s") << text;
    }
    EXPECT_EQ(seen.beyond.at(place).count, 3U);
    EXPECT_EQ(seen.beyond.at(place).first, "-0.1");
}

// A value that may be measured is never one that a field cannot hold.
TYPED_TEST(Fields, HoldEveryValueThatCanBeMeasured) {
    for (const auto& fact : FactsOf<TypeParam>::table) {
        const Setting* const setting =
            fact.field.empty() ? nullptr : find_setting(FactsOf<TypeParam>::section, fact.field);
        const bool number = std::holds_alternative<std::optional<double> TypeParam::*>(fact.member);
        if (setting != nullptr) {
            EXPECT_EQ(setting->values.limited(), number) << fact.name;
        }
        if (setting != nullptr && fact.range.limited()) {
            EXPECT_TRUE(setting->values.holds(fact.range.low) && setting->values.holds(fact.range.high)) << fact.name;
        }
    }
}

}  // namespace
}  // namespace eaveshed
