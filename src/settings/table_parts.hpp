// Building blocks of the settings table, private to the module.
#pragma once

#include <array>
#include <type_traits>
#include <utility>
#include <vector>

#include "eaveshed/settings/table.hpp"
#include "eaveshed/settings/value_ranges.hpp"

namespace eaveshed::table_parts {

template <typename T>
inline constexpr bool is_list = false;
template <typename T>
inline constexpr bool is_list<std::vector<T>> = true;

// Follows pointers to members from `object`; where the way leads through a list, to its table number `item`.
template <auto First, auto... Rest, typename Object>
auto& follow(Object& object, std::size_t item) {
    auto& part = object.*First;
    if constexpr (sizeof...(Rest) == 0) {
        return part;
    } else if constexpr (is_list<std::remove_cvref_t<decltype(part)>>) {
        return follow<Rest...>(part[item], item);
    } else {
        return follow<Rest...>(part, item);
    }
}

template <auto... Path>
using ValueAt = std::remove_reference_t<decltype(follow<Path...>(std::declval<Settings&>(), 0))>;

// The value at the end of the pointers to members.
template <auto... Path>
Access at() {
    using Value = ValueAt<Path...>;
    return Reach<Value>{
        [](const Settings& settings, std::size_t item) -> const Value& { return follow<Path...>(settings, item); },
        [](Settings& settings, std::size_t item) -> Value& { return follow<Path...>(settings, item); }};
}

// The enumeration at the end of the pointers, written as one of `terms` from number `first` on.
template <auto... Path>
Access choice_at(std::span<const Term> terms, std::size_t first = 0) {
    return ChoiceReach{terms, first,
                       [](const Settings& settings, std::size_t item) {
                           return static_cast<std::size_t>(follow<Path...>(settings, item));
                       },
                       [](Settings& settings, std::size_t item, std::size_t value) {
                           follow<Path...>(settings, item) = static_cast<ValueAt<Path...>>(value);
                       }};
}

constexpr Range between(double low, double high) {
    return {low, high, false};
}
constexpr Range above(double low, double high) {
    return {low, high, true};
}
constexpr Range at_least(double low) {
    return {low, std::numeric_limits<double>::infinity(), false};
}

inline constexpr Range kShare = between(0.0, 1.0);
inline constexpr Range kPositiveShare = above(0.0, 1.0);

inline constexpr std::string_view kPractice = "common practice";
inline constexpr std::string_view kOwn = "choice of this program";

void append_input_settings(std::vector<Setting>& table);    // table_inputs.cpp: basin and what lies on the ground
void append_climate_settings(std::vector<Setting>& table);  // table_climate.cpp
void append_parcel_settings(std::vector<Setting>& table);   // table_parcels.cpp: people, streams, what keeps tanks away
void append_water_settings(std::vector<Setting>& table);    // table_water.cpp: season, harvest, storage
void append_demand_settings(std::vector<Setting>& table);   // table_demand.cpp
void append_siting_settings(std::vector<Setting>& table);   // table_siting.cpp
void append_planning_settings(
    std::vector<Setting>& table);  // table_planning.cpp: notes, cost, rank, scenarios, output, check

}  // namespace eaveshed::table_parts
