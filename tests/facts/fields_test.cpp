#include "eaveshed/facts/fields.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <charconv>

#include "eaveshed/facts/walk.hpp"

namespace eaveshed {
namespace {

std::optional<double> plain_number(const std::optional<std::string>& text) {
    double value = 0.0;
    if (!text || std::from_chars(text->data(), text->data() + text->size(), value).ec != std::errc()) {
        return std::nullopt;
    }
    return value;
}

template <typename Facts>
class Fields : public ::testing::Test {};
using BothLayers = ::testing::Types<RoofFacts, ParcelFacts>;
TYPED_TEST_SUITE(Fields, BothLayers);

// Settings that give every field the name "its " and the key.
template <typename Facts>
Settings with_fields() {
    Settings settings;
    for (const Setting& setting : settings_table()) {
        if (setting.section == FactsOf<Facts>::section && setting.kind == Kind::field) {
            std::get<Reach<std::string>>(setting.access).edit(settings, 0) = "its " + std::string(setting.key);
        }
    }
    return settings;
}

TYPED_TEST(Fields, AreThoseThatTheSettingsName) {
    const LayerFields<TypeParam> fields;
    const std::vector<std::string> names = fields.names(with_fields<TypeParam>());
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
    for (const std::string& name : fields.names(Settings())) {
        EXPECT_EQ(name, "");
    }
}

// One field at a time, with a number outside every range: it is taken as it is.
TYPED_TEST(Fields, GiveEachFactItsOwnValueAndNoOther) {
    const LayerFields<TypeParam> fields;
    std::size_t read = 0;
    for (const auto& fact : FactsOf<TypeParam>::table) {
        if (fact.field.empty()) {
            continue;
        }
        std::vector<std::optional<std::string>> values(fields.names(Settings()).size());
        values.at(fields.place(fact.field)) = "-1e12";
        TypeParam expected;
        if (const auto* const text = std::get_if<std::optional<std::string> TypeParam::*>(&fact.member)) {
            expected.*(*text) = "-1e12";
        } else {
            expected.*std::get<std::optional<double> TypeParam::*>(fact.member) = -1e12;
        }
        EXPECT_EQ(fields.read(values, plain_number), expected) << fact.name;
        ++read;
    }
    EXPECT_EQ(read, fields.facts().size());
}

TYPED_TEST(Fields, WithoutANumberGiveNoFact) {
    const LayerFields<TypeParam> fields;
    std::vector<std::optional<std::string>> values(fields.names(Settings()).size(), "two");
    const TypeParam facts = fields.read(values, plain_number);
    visit_facts<TypeParam>(facts, [](const auto& fact, const auto& value) {
        const bool text = std::is_same_v<decltype(value), const std::optional<std::string>&>;
        EXPECT_EQ(value.has_value(), text && !fact.field.empty()) << fact.name;
    });
}

// Every setting of the two sections that names a field leads to a fact, but for the ids.
TEST(Fields, OfTheSettingsAreAllFactsButForTheIds) {
    const auto others = [](std::string_view section, const auto& facts) {
        std::vector<std::string_view> keys;
        for (const Setting& setting : settings_table()) {
            const auto of_setting = [&](const auto* fact) { return fact->field == setting.key; };
            if (setting.section == section && setting.kind == Kind::field && std::ranges::none_of(facts, of_setting)) {
                keys.push_back(setting.key);
            }
        }
        return keys;
    };
    EXPECT_EQ(others("footprints", LayerFields<RoofFacts>().facts()), (std::vector<std::string_view>{"id", "parcel"}));
    EXPECT_EQ(others("parcels", LayerFields<ParcelFacts>().facts()), (std::vector<std::string_view>{"id"}));
}

}  // namespace
}  // namespace eaveshed
