// What each input of a project has to be: a row for each, beside the setting that names it (table.hpp, Setting::role).
// Resolving of paths, opening, the checks against the footprints, fingerprints, the protection from being overwritten,
// what `check` says was understood, `eaveshed help inputs` and docs/inputs.md come from these rows.
#pragma once

#include <cstddef>
#include <cstdint>
#include <iosfwd>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace eaveshed {

struct Setting;
struct Settings;

// By what reads it. Inputs are opened and listed in this order.
enum class InputKind : std::uint8_t {
    layer,            // features of a vector file
    measured_values,  // rows for roofs and parcels, with or without a shape
    earlier_result,   // a GeoPackage of this program
    call_list,        // a table that people have filled in, by parcel
    raster,           // one quantity, one band
    rain,             // a record of steps, or twelve normals
    gauge_places,     // where the gauges of a table stand; read with that table
    normals,          // rain of a mean year; read with a table of gauges
    et0,              // twelve months
    temperature,      // twelve months
};

// What geometry a layer needs. `shape`: one of any kind; `any`: none is needed, and any is allowed.
enum class GeometryNeed : std::uint8_t { polygon, line, point, line_or_polygon, shape, any };
[[nodiscard]] std::string_view to_text(GeometryNeed need);

enum class CrsDuty : std::uint8_t {
    stated,        // a file that does not state its coordinate reference system is an error
    as_footprints  // that of the footprints where the file states none
};

// What is asked of an input's place, and what comes of one that lies wholly elsewhere. Told in this order.
enum class Overlap : std::uint8_t {
    measure,  // of the footprints: the others are held against them
    all,      // an error: no roof could be computed
    parts,    // an error: nothing of it would belong to a roof
    effect,   // a warning that says what follows: it may well lie beside the basin
    as_read,  // an error of the reader, when the cells around the footprints are read
    none,
};

// Another input without which this one is not used.
struct OnlyWith {
    std::string_view setting{};
    std::string_view found{};   // told where that one is not given; empty: nothing is
    std::string_view remedy{};  // beside it
};

struct InputRole {
    InputKind kind = InputKind::layer;
    std::string_view label{};                   // of its line in "Understood"; empty: it has none of its own
    GeometryNeed geometry = GeometryNeed::any;  // of a layer
    CrsDuty crs = CrsDuty::stated;
    Overlap overlap = Overlap::none;
    std::string_view elsewhere{};  // Overlap::effect: what follows
    OnlyWith only_with{};
    std::string_view without{};  // what its absence means; empty where it is required
    std::uint8_t late = 0;       // of a kind, those with a higher number are opened later, and their findings told so
};

// What a kind of input may be written in.
struct InputFormats {
    std::string_view noun;                   // "a layer"
    std::string_view words;                  // for people
    std::span<const char* const> drivers{};  // names of GDAL's drivers: no other is let near a file
};
[[nodiscard]] const InputFormats& formats_of(InputKind kind);

// The settings that name inputs: by kind, within a kind by what is asked of their place, else in the table's order.
[[nodiscard]] const std::vector<const Setting*>& input_settings();
// "roads.source"; a name that is none is a broken invariant.
[[nodiscard]] const Setting& input_setting(std::string_view name);
// "roads.source"; of one of several tables "exclusions.2.source", `item` from 0.
[[nodiscard]] std::string name_of(const Setting& setting);
[[nodiscard]] std::string name_of(const Setting& setting, std::size_t item);

// The paths that a setting of kind path or paths gives, not one empty; `item` as in Reach.
[[nodiscard]] std::vector<std::string> paths_of(const Setting& setting, const Settings& settings, std::size_t item = 0);
// Whether a climate's path names a table of gauges by the end of its name: .csv, .tsv, .tab, .txt.
[[nodiscard]] bool names_gauge_table(std::string_view path);
// In how many tables the input may be given: 1 unless its section is a repeated one.
[[nodiscard]] std::size_t items_of(const Setting& setting, const Settings& settings);
[[nodiscard]] bool is_given(const Setting& setting, const Settings& settings);
// Of another setting of its section; none where the section has no such setting or nothing is given.
[[nodiscard]] std::string text_beside(const Setting& setting, std::string_view key, const Settings& settings,
                                      std::size_t item = 0);
// The fields of a layer that its section names, in the table's order; empty names where none is given.
[[nodiscard]] std::vector<std::string> fields_beside(const Setting& setting, const Settings& settings,
                                                     std::size_t item = 0);

}  // namespace eaveshed
