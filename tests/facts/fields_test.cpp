#include "eaveshed/facts/fields.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "eaveshed/facts/walk.hpp"

namespace eaveshed {
namespace {

template <typename Facts>
class Fields : public ::testing::Test {};
using BothLayers = ::testing::Types<RoofFacts, ParcelFacts>;
TYPED_TEST_SUITE(Fields, BothLayers);

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

// One field at a time, with a number outside every range: it is taken as it is.
TYPED_TEST(Fields, GiveEachFactItsOwnValueAndNoOther) {
    const LayerFields<TypeParam> fields{Settings()};
    std::size_t read = 0;
    for (const auto& fact : FactsOf<TypeParam>::table) {
        if (fact.field.empty()) {
            continue;
        }
        std::vector<std::optional<std::string>> values(fields.names().size());
        values.at(fields.place(fact.field)) = "-1e12";
        TypeParam expected;
        if (const auto* const text = std::get_if<std::optional<std::string> TypeParam::*>(&fact.member)) {
            expected.*(*text) = "-1e12";
        } else {
            expected.*std::get<std::optional<double> TypeParam::*>(fact.member) = -1e12;
        }
        UnreadTexts unread;
        EXPECT_EQ(fields.read(values, unread), expected) << fact.name;
        EXPECT_TRUE(unread.by_place.empty()) << fact.name;
        ++read;
    }
    EXPECT_EQ(read, fields.facts().size());
}

TYPED_TEST(Fields, WithoutANumberGiveNoFact) {
    const LayerFields<TypeParam> fields{Settings()};
    std::vector<std::optional<std::string>> values(fields.names().size(), "two");
    UnreadTexts unread;
    const TypeParam facts = fields.read(values, unread);
    visit_facts<TypeParam>(facts, [&](const auto& fact, const auto& value) {
        const bool text = std::is_same_v<decltype(value), const std::optional<std::string>&>;
        EXPECT_EQ(value.has_value(), text && !fact.field.empty()) << fact.name;
        if (!text && !fact.field.empty()) {
            EXPECT_EQ(unread.by_place[fields.place(fact.field)].first, "two") << fact.name;
        }
    });
}

TEST(Fields, OfQuantitiesHaveTheUnitOfTheirFacts) {
    for (const auto& fact : kRoofFacts) {
        const Setting* const setting = fact.field.empty() ? nullptr : find_setting("footprints", fact.field);
        EXPECT_EQ(setting != nullptr && setting->kind == Kind::quantity,
                  setting != nullptr && find_unit(fact.unit) != nullptr)
            << fact.name;
        EXPECT_TRUE(setting == nullptr || setting->kind != Kind::quantity || setting->unit == fact.unit) << fact.name;
    }
    for (const auto& fact : kParcelFacts) {
        const Setting* const setting = fact.field.empty() ? nullptr : find_setting("parcels", fact.field);
        EXPECT_EQ(setting != nullptr && setting->kind == Kind::quantity,
                  setting != nullptr && find_unit(fact.unit) != nullptr)
            << fact.name;
        EXPECT_TRUE(setting == nullptr || setting->kind != Kind::quantity || setting->unit == fact.unit) << fact.name;
    }
}

constexpr double kGallonM3 = 0.003785411784;

std::optional<double> use_of(const Settings& settings, const std::optional<std::string>& text, UnreadTexts& unread) {
    const LayerFields<ParcelFacts> fields(settings);
    std::vector<std::optional<std::string>> values(fields.names().size());
    values.at(fields.place("season_use_m3")) = text;
    return fields.read(values, unread).season_use_m3;
}

TEST(Fields, OfQuantitiesAreInTheStatedUnitUnlessTheTextHasItsOwn) {
    Settings settings;
    UnreadTexts unread;
    settings.parcels.season_use_m3 = {.field = "use", .unit = ""};
    EXPECT_EQ(use_of(settings, "250", unread), 250.0);
    EXPECT_EQ(use_of(settings, " 5 ", unread), 5.0);
    EXPECT_DOUBLE_EQ(*use_of(settings, "250000 gal", unread), 250000.0 * kGallonM3);
    EXPECT_DOUBLE_EQ(*use_of(settings, "1000L", unread), 1.0);
    settings.parcels.season_use_m3.unit = "gal";
    EXPECT_DOUBLE_EQ(*use_of(settings, "250000", unread), 250000.0 * kGallonM3);
    EXPECT_DOUBLE_EQ(*use_of(settings, "-1", unread), -kGallonM3);
    EXPECT_EQ(use_of(settings, "250 m3", unread), 250.0);
    EXPECT_EQ(use_of(settings, "\t2.5e2 m3\r\n", unread), 250.0);
    EXPECT_TRUE(unread.by_place.empty());
}

TEST(Fields, OfQuantitiesCountTextsWithoutOneAndKeepTheFirst) {
    Settings settings;
    settings.parcels.season_use_m3 = {.field = "use", .unit = "gal"};
    UnreadTexts unread;
    for (const auto& blank :
         {std::optional<std::string>(), std::optional<std::string>(""), std::optional<std::string>(" \t")}) {
        EXPECT_EQ(use_of(settings, blank, unread), std::nullopt);
    }
    EXPECT_TRUE(unread.by_place.empty());
    const std::vector<std::string> hostile{"12 parsecs", "1e999 gal",      "1,000 gal", "1 000 gal", "gal",
                                           "5ft",        "5 m2",           "nan",       "inf gal",   "5 gal 2",
                                           "0x10 gal",   "1e308 acre-ft2", "--5",       "5 gal gal"};
    for (const std::string& text : hostile) {
        EXPECT_EQ(use_of(settings, text, unread), std::nullopt) << text;
    }
    const auto& field = unread.by_place.at(LayerFields<ParcelFacts>(settings).place("season_use_m3"));
    EXPECT_EQ(field.count, hostile.size());
    EXPECT_EQ(field.first, "12 parsecs");
}

// Every setting of the two sections that names a field leads to a fact, but for the ids.
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
}

}  // namespace
}  // namespace eaveshed
