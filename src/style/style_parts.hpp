// What the styles of the layers are made from. Private to the module.
#pragma once

#include <string>
#include <type_traits>
#include <utility>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/us_units.hpp"
#include "eaveshed/style/map_style.hpp"

namespace eaveshed::style_parts {

// Scales, as 1 : this and closer.
inline constexpr double kBasin = 60'000.0;  // single roofs are dots
inline constexpr double kStreet = 12'000.0;
inline constexpr double kProperty = 5'000.0;
inline constexpr double kNamed = 2'000.0;  // ids and numbers have room
inline constexpr double kClose = 1'500.0;

template <typename Row, typename Member>
std::string name(Member Row::*member) {
    return std::string(column_name(member));
}

template <typename Row, typename Member>
Condition at_least(Member Row::*member, double value) {
    return {name(member), Relation::at_least, value};
}
template <typename Row, typename Member>
Condition below(Member Row::*member, double value) {
    return {name(member), Relation::below, value};
}
template <typename Row, typename Enum>
Condition is(std::optional<Enum> Row::*member, Enum word) {
    return {name(member), Relation::equals, to_text(word)};
}
template <typename Row, typename Enum>
Condition is(Enum Row::*member, Enum word) {
    return {name(member), Relation::equals, to_text(word)};
}
template <typename Row>
Condition is(bool Row::*member, bool value) {
    return {name(member), value ? Relation::is_true : Relation::is_false};
}

// --- Texts about a feature

inline constexpr int kFigures = 3;

// A quantity as the file's users read it.
struct Shown {
    std::string column;
    std::string unit;

    [[nodiscard]] TextPart value() const { return {.column = true, .text = column, .figures = kFigures}; }
};

template <typename Row>
Shown shown(std::optional<double> Row::*member, bool us) {
    Shown found;
    const auto look = [&]<typename Other>(const MemberColumn<Row, Other>& column) {
        if constexpr (std::is_same_v<Other, std::optional<double>>) {
            if (column.member == member) {
                const auto twin = us ? us_twin(column.field) : std::nullopt;
                const auto unit = us ? us_unit(column.field.unit) : std::nullopt;
                found = {twin ? twin->name : std::string(column.field.name),
                         std::string(twin && unit ? unit->shown : column.field.unit)};
            }
        }
    };
    visit_columns<Row>(look);
    return found;
}

inline TextPart words(std::string text) {
    return {.column = false, .text = std::move(text)};
}

template <typename Row, typename Member>
TextPart value(Member Row::*member) {
    return {.column = true, .text = name(member)};
}

// What a coded word means.
template <typename Row, typename Member>
// NOLINTNEXTLINE(performance-unnecessary-value-param): moved from
TextLine meaning(std::string before, Member Row::*member, std::vector<Conditions> when = {}) {
    return {.parts = {words(std::move(before)),
                      {.column = true, .text = name(member), .meanings = closed_list_of<Member>()}},
            .when = std::move(when)};
}

// A word other than the usual one.
template <typename Row, typename Enum>
std::vector<Conditions> other_than(Enum Row::*member, Enum usual) {
    std::vector<Conditions> when;
    for (const Term& term : terms_of<Enum>()) {
        if (term.name != to_text(usual)) {
            when.push_back({{name(member), Relation::equals, term.name}});
        }
    }
    return when;
}

inline TextLine quantity(std::string before, const Shown& shown, const std::string& after = "") {
    return {.parts = {words(std::move(before)), shown.value(), words(" " + shown.unit + after)}};
}

// That of a roof where it lies in no parcel.
template <typename Row>
// NOLINTNEXTLINE(performance-unnecessary-value-param): moved from
FeatureTexts by_place(std::vector<TextLine> tip, std::vector<std::string> columns) {
    std::vector<TextLine> lines{{.parts = {words("Parcel "), value(&Row::parcel_id)}},
                                {.parts = {words("Roof "), value(&Row::roof_id)}}};
    lines.insert(lines.end(), tip.begin(), tip.end());
    return {
        .title = {name(&Row::parcel_id), name(&Row::roof_id)}, .tip = std::move(lines), .columns = std::move(columns)};
}

// The level on which people decide, and the other.
struct Levels {
    PadLevel deciding;
    PadLevel other;
};
inline constexpr Levels kByParcel{PadLevel::parcel, PadLevel::roof};
inline constexpr Levels kByRoof{PadLevel::roof, PadLevel::parcel};

// Of pads, the ground below them, pipes and use points (tank_styles.cpp).
[[nodiscard]] MapStyle pad_style(const Levels& level, bool us);
[[nodiscard]] MapStyle pad_ground_style(const Levels& level, bool us);
[[nodiscard]] MapStyle pipe_style(const Levels& level, bool us);
[[nodiscard]] MapStyle use_point_style();
// Of parcels and roofs (property_styles.cpp).
[[nodiscard]] MapStyle parcel_style(bool us);
[[nodiscard]] MapStyle roof_style_by_roofs(bool us);
[[nodiscard]] MapStyle roof_style_by_parcels(bool us);
// Of reaches and sub-basins (stream_styles.cpp).
[[nodiscard]] MapStyle reach_style(bool us);
[[nodiscard]] MapStyle subbasin_style(bool us);

}  // namespace eaveshed::style_parts
