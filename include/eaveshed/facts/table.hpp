// The tables of facts: one row for each that can be known of a roof, a parcel and a reach. Work files, reading from
// fields, measured values with their ranges and columns, `eaveshed help overrides`, the table `overrides` of the
// output, explanations and the questions to ask first all come from these rows.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/facts/facts.hpp"
#include "eaveshed/rank/questions.hpp"
#include "eaveshed/settings/table.hpp"
#include "eaveshed/settings/value_ranges.hpp"

namespace eaveshed {

// The member of a fact: a number, or a text.
template <typename Facts>
using FactMember = std::variant<std::optional<double> Facts::*, std::optional<std::string> Facts::*>;

struct SettingName {
    std::string_view section{};
    std::string_view key{};
};

template <typename Facts>
struct KnownFact {
    std::string_view name;  // of the member, and of the column of the output's table `overrides`
    FactMember<Facts> member;
    std::string_view unit{};          // as in record/field.hpp
    std::string_view field{};         // key of the setting that names its field, in FactsOf::section; empty: no field
    SettingName standard{};           // the setting that stands in where nothing is known
    std::optional<Flag> assumed{};    // the flag of a row where something stood in
    std::optional<Question> asked{};  // the question that settles it
    bool measurable = true;           // it may stand in the table of measured values
    std::string_view heading{};       // there, where it is not the name
    bool coordinate = false;          // x of a place, or y: both are given or none; x is followed by y in the table
    Range range{};                    // of a measured number
    std::string_view title{};         // of what is measurable, like `meaning`
    std::string_view meaning{};
    std::string_view words{};      // of a text: the closed list that its words are held against; empty: any text
    std::string_view when_none{};  // what to do where the field has no known value for any roof; empty: nothing is told

    [[nodiscard]] constexpr std::string_view column() const { return heading.empty() ? name : heading; }
};

// Ranges of measured numbers are wide: they catch slips of the pen and of the unit, not unusual houses. Coordinates:
// what lies outside the basin is found when it is matched.
inline constexpr Range kAnyCoordinate{-1.0e9, 1.0e9};

// In the order of the columns of the output's table `overrides`.
inline constexpr std::array kRoofFacts{
    KnownFact<RoofFacts>{.name = "eave_height_m",
                         .member = &RoofFacts::eave_height_m,
                         .unit = "m",
                         .field = "eave_height",
                         .standard = {"siting", "default_eave_height_m"},
                         .assumed = Flag::default_eave,
                         .asked = Question::eave_height,
                         .range = {0.0, value_ranges::kEaveHeightM.high, true},
                         .title = "Eave height",
                         .meaning = "Height of the gutter above the ground."},
    KnownFact<RoofFacts>{.name = "eave_elev_m",
                         .member = &RoofFacts::eave_elev_m,
                         .unit = "m",
                         .range = {-450.0, 9000.0},
                         .title = "Eave elevation",
                         .meaning = "Elevation of the gutter; it wins over eave_height_m."},
    KnownFact<RoofFacts>{.name = "connected_share",
                         .member = &RoofFacts::connected_share,
                         .unit = "1",
                         .field = "connected_share",
                         .standard = {"harvest", "default_connected_share"},
                         .assumed = Flag::default_connected,
                         .asked = Question::connected_share,
                         .range = value_ranges::kShare,
                         .title = "Connected share",
                         .meaning = "Share of the roof that drains to collected downspouts.",
                         .when_none = "name another field, with numbers from 0 to 1"},
    KnownFact<RoofFacts>{.name = "material",
                         .member = &RoofFacts::material,
                         .field = "material",
                         .standard = {"harvest", "default_runoff_coefficient"},
                         .assumed = Flag::default_material,
                         .asked = Question::material,
                         .title = "Material",
                         .meaning = "Material of the roof.",
                         .when_none = "name another field, or list its values under [harvest.runoff_coefficient]"},
    KnownFact<RoofFacts>{.name = "runoff_coefficient",
                         .member = &RoofFacts::runoff_coefficient,
                         .unit = "1",
                         .range = value_ranges::kShare,
                         .title = "Runoff coefficient",
                         .meaning = "Share of the rain that leaves the roof's surface; it wins over the material."},
    KnownFact<RoofFacts>{.name = "pad_x",
                         .member = &RoofFacts::pad_x,
                         .coordinate = true,
                         .range = kAnyCoordinate,
                         .title = "Pad, x",
                         .meaning = "Where the tank can stand, in the table's coordinate reference system."},
    KnownFact<RoofFacts>{.name = "pad_y",
                         .member = &RoofFacts::pad_y,
                         .coordinate = true,
                         .range = kAnyCoordinate,
                         .title = "Pad, y",
                         .meaning = "Where the tank can stand, in the table's coordinate reference system."},
    KnownFact<RoofFacts>{.name = "storeys", .member = &RoofFacts::storeys, .field = "storeys", .measurable = false},
};

inline constexpr std::array kParcelFacts{
    KnownFact<ParcelFacts>{.name = "people",
                           .member = &ParcelFacts::people,
                           .unit = "1",
                           .field = "people",
                           .standard = {"demand", "people"},
                           .assumed = Flag::default_demand,
                           .asked = Question::people_and_garden,
                           .range = value_ranges::kPeople,
                           .title = "People",
                           .meaning = "People who live on the parcel."},
    KnownFact<ParcelFacts>{.name = "irrigated_area_m2",
                           .member = &ParcelFacts::irrigated_area_m2,
                           .unit = "m2",
                           .field = "irrigated_area_m2",
                           .standard = {"demand", "garden_m2"},
                           .assumed = Flag::default_demand,
                           .asked = Question::people_and_garden,
                           .range = value_ranges::kIrrigatedAreaM2,
                           .title = "Irrigated area",
                           .meaning = "Garden that is watered."},
    KnownFact<ParcelFacts>{.name = "season_use_m3",
                           .member = &ParcelFacts::season_use_m3,
                           .unit = "m3",
                           .field = "season_use_m3",
                           .range = value_ranges::kSeasonUseM3,
                           .title = "Season use",
                           .meaning = "Metered take of the forbearance months."},
    KnownFact<ParcelFacts>{.name = "water_source",
                           .member = &ParcelFacts::water_source,
                           .field = "water_source",
                           .standard = {"parcels", "default_water_source"},
                           .assumed = Flag::unknown_source,
                           .asked = Question::water_source,
                           .title = "Water source",
                           .meaning = "Where the parcel's summer water comes from.",
                           .when_none = "name another field, with creek, spring, shallow_well, deep_well or mains; "
                                        "until then no stream gains anything"},
    KnownFact<ParcelFacts>{.name = "source_share",
                           .member = &ParcelFacts::source_share,
                           .unit = "1",
                           .field = "source_share",
                           .range = value_ranges::kShare,
                           .title = "Source share",
                           .meaning = "Share of the take that the creek feels within the season."},
    KnownFact<ParcelFacts>{.name = "stream_distance_m",
                           .member = &ParcelFacts::stream_distance_m,
                           .unit = "m",
                           .field = "stream_distance_m",
                           .range = value_ranges::kStreamDistanceM,
                           .title = "Stream distance",
                           .meaning = "Distance from the well to the nearest stream."},
    KnownFact<ParcelFacts>{
        .name = "nearest_reach_m", .member = &ParcelFacts::nearest_reach_m, .unit = "m", .measurable = false},
    KnownFact<ParcelFacts>{.name = "existing_storage_m3",
                           .member = &ParcelFacts::existing_storage_m3,
                           .unit = "m3",
                           .field = "existing_storage_m3",
                           .range = value_ranges::kStorageM3,
                           .title = "Existing storage",
                           .meaning = "Storage that stands on the parcel already."},
    KnownFact<ParcelFacts>{.name = "pump_lps",
                           .member = &ParcelFacts::pump_lps,
                           .unit = "L/s",
                           .field = "pump_lps",
                           .range = value_ranges::kPumpLps,
                           .title = "Pump",
                           .meaning = "Peak flow of the pump that would stay off."},
    KnownFact<ParcelFacts>{.name = "contact_status",
                           .member = &ParcelFacts::contact_status,
                           .field = "status",
                           .heading = "status",
                           .title = "Contact status",
                           .meaning = "State of talks, as the table says (its column `status`).",
                           .words = closed_list<ContactStatus>().name},
    // Without a measured one it comes from a layer of its own (use_points).
    KnownFact<ParcelFacts>{.name = "use_x",
                           .member = &ParcelFacts::use_x,
                           .standard = {"siting", "garden_percentile"},
                           .assumed = Flag::assumed_use_point,
                           .asked = Question::use_point,
                           .coordinate = true,
                           .range = kAnyCoordinate,
                           .title = "Use point, x",
                           .meaning = "Where the water is wanted, in the table's coordinate reference system."},
    KnownFact<ParcelFacts>{.name = "use_y",
                           .member = &ParcelFacts::use_y,
                           .standard = {"siting", "garden_percentile"},
                           .assumed = Flag::assumed_use_point,
                           .asked = Question::use_point,
                           .coordinate = true,
                           .range = kAnyCoordinate,
                           .title = "Use point, y",
                           .meaning = "Where the water is wanted, in the table's coordinate reference system."},
    KnownFact<ParcelFacts>{
        .name = "owner_key", .member = &ParcelFacts::owner_key, .field = "owner_key", .measurable = false},
};

inline constexpr std::array kReachFacts{
    KnownFact<ReachFacts>{.name = "name", .member = &ReachFacts::name, .field = "name", .measurable = false},
    KnownFact<ReachFacts>{.name = "low_flow_lps",
                          .member = &ReachFacts::low_flow_lps,
                          .unit = "L/s",
                          .field = "low_flow_lps",
                          .measurable = false},
};

// Whose facts they are: the section of the settings that names their layer and fields, and the word for one of them.
template <typename Facts>
struct FactsOf;
template <>
struct FactsOf<RoofFacts> {
    static constexpr std::string_view section = "footprints";
    static constexpr std::string_view noun = "roof";
    static constexpr std::span<const KnownFact<RoofFacts>> table = kRoofFacts;
};
template <>
struct FactsOf<ParcelFacts> {
    static constexpr std::string_view section = "parcels";
    static constexpr std::string_view noun = "parcel";
    static constexpr std::span<const KnownFact<ParcelFacts>> table = kParcelFacts;
};
template <>
struct FactsOf<ReachFacts> {
    static constexpr std::string_view section = "streams";
    static constexpr std::string_view noun = "stream line";
    static constexpr std::span<const KnownFact<ReachFacts>> table = kReachFacts;
};

// The flag that says that a question's answer was assumed; an internal error where no fact leads to the question.
[[nodiscard]] Flag assumed_flag(Question question);

}  // namespace eaveshed
