// What `check`, and `screen` before it starts, ask of inputs that are sound as files but may hardly be meant: one row a
// check. Its code, the bounds, their reasons, the severity and the remedy stand here and nowhere else; the judgement
// (plausible/), the setting check.accepted, `eaveshed help checks` and docs/checks.md take them from this table.
//
// The bounds are wide on purpose: what passes them is not proven right, what they stop is hardly ever meant.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "eaveshed/core/closed_list.hpp"
#include "eaveshed/core/severity.hpp"

namespace eaveshed {

// In the order in which they are told and listed.
enum class CheckCode : std::uint8_t {
    footprint_areas,
    roof_blocks,
    storeys_many,
    eave_per_storey,
    eave_high,
    eave_off_surface,
    connected_small,
    surface_per_storey,
    surface_high,
    surface_flat,
    surface_off_ground,
    terrain_shows_roofs,
    ground_holes,
    steep_sites,
    coarse_cells,
    roofs_excluded,
    eave_unknown,
    parcels_small,
    parcels_large,
    parcels_shifted,
    roofs_across_parcels,
    people_many,
    gardens_small,
    gardens_large,
    season_use_large,
    season_use_deep,
    tanks_large,
    pumps_large,
    stream_distances,
    source_unknown,
    rain_season,
    rain_total,
    rain_future,
    rain_old,
    southern_months,
    et0_year,
    snow_months,
    frost_months,
};

struct CheckRule {
    std::string_view code;
    std::string_view of;       // what it speaks of, in the plural where it is a sample: "roofs", "parcels"
    std::string_view meaning;  // what is told, in a sentence without a full stop
    Severity severity = Severity::warning;
    double low = 0.0;  // told below the one or above the other; 0: there is none
    double high = 0.0;
    std::string_view asked;   // what is held against the bounds, with its unit
    double share = 0.0;       // of those looked at that it takes; 0: the middle one, or the whole basin decides
    std::string_view reason;  // why these bounds, and whether they are common practice or a choice of this program
    std::string_view remedy;
};

inline constexpr std::array kCheckRules{
    CheckRule{
        "footprint_areas", "roofs", "the middle plan area is that of a shed or of a block of houses", Severity::warning,
        15.0, 2000.0, "median plan area, m2", 0.0,
        "common practice: a dwelling's roof has 40 to 500 m2; less are parts of roofs or a wrong unit of the CRS, "
        "more are blocks of houses drawn as one",
        "use a layer with one outline for each building, and check its CRS"},
    CheckRule{"roof_blocks", "roofs", "half of all roof area lies in outlines of blocks of houses", Severity::note, 0.0,
              2000.0, "plan area that half of all roof area reaches, m2", 0.0,
              "as for footprint_areas; the middle outline may be a house where the middle square metre is in a block",
              "use footprints cut at the boundaries of properties: a block has one tank and one owner here"},
    CheckRule{"storeys_many", "roofs", "footprints of a house's size have the storeys of a tower", Severity::warning,
              0.0, 4.0, "median storeys of outlines of 40 to 300 m2", 0.0,
              "common practice: a detached house has one to three storeys; a comma lost (30 for 3.0) or heights in a "
              "field of storeys give more. Old towns may have five",
              "check that footprints.storeys names a count of storeys; accept it for a town of narrow tall houses"},
    CheckRule{
        "eave_per_storey", "roofs", "eave heights do not fit the storeys", Severity::warning, 1.3, 5.0,
        "median of eave height by storeys, m", 0.0,
        "common practice: a storey is 2.4 to 3.5 m high; feet taken for metres give about 9, metres taken for feet "
        "under 1",
        "check the unit of the eave heights: footprints.eave_height = { field = \"...\", unit = \"ft\" }"},
    CheckRule{"eave_high", "roofs",
              "eave heights are those of tall buildings, and no storeys are there to tell whether that is so",
              Severity::warning, 0.0, 7.0, "median eave height, m", 0.0,
              "choice of this program: one or two storeys have gutters at 2.2 to 6 m; the same in feet are 7 to 20",
              "check the unit of the eave heights: footprints.eave_height = { field = \"...\", unit = \"ft\" }"},
    CheckRule{
        "eave_off_surface", "roofs", "eave heights and the surface raster disagree about how high roofs are",
        Severity::warning, 0.0, 2.0, "difference of eave height and surface above ground at a roof, m", 0.25,
        "choice of this program: the errors of both together are a third of a metre and a tree now and then; 2 m "
        "are most of a storey",
        "find out which is right: units, vertical datum, year and kind of the surface (terrain.surface_kind); then "
        "leave the other one out"},
    CheckRule{
        "connected_small", "roofs", "no roof has a tenth of it connected", Severity::warning, 0.1, 0.0,
        "greatest connected share that is given", 0.0,
        "choice of this program: some roof of a basin has one gutter of two; shares divided by 100 once too often "
        "end at 0.01",
        "check footprints.connected_share: 0 to 1, or percent with unit = \"%\""},
    CheckRule{"surface_per_storey", "roofs", "heights of roofs by the surface raster do not fit the storeys",
              Severity::warning, 1.3, 5.0, "median of surface above ground by storeys, m", 0.0,
              "as for eave_per_storey; elevations and surface both in feet and taken for metres give about 9",
              "check terrain.vertical_unit, which holds for elevations and surface, and terrain.surface_kind"},
    CheckRule{"surface_high", "roofs",
              "roofs stand as high as tall buildings by the surface raster, and no storeys are there to tell whether "
              "that is so",
              Severity::warning, 0.0, 7.0, "median of surface above ground under roofs, m", 0.0,
              "as for eave_high; elevations and surface both in feet and taken for metres give 7 to 20",
              "check terrain.vertical_unit, which holds for elevations and surface, and terrain.surface_kind"},
    CheckRule{
        "surface_flat", "roofs", "the surface raster shows hardly any roof", Severity::warning, 1.5, 0.0,
        "surface above ground under a roof, m", 0.9,
        "choice of this program: roofs lower than 1.5 m take no eave from the surface (method.md 1.10)",
        "name a surface with roofs and trees on it, or leave terrain.surface out; check footprints and surface for "
        "a shift, and terrain.surface_kind"},
    CheckRule{"surface_off_ground", "roofs",
              "the surface raster lies off the elevations beside the roofs, where both are bare ground",
              Severity::warning, -1.5, 2.5, "lowest quarter of surface less elevation, 4 m outside a roof, m", 0.6,
              "choice of this program: beside most roofs some ground is open, and both rasters are good to a few "
              "decimetres there; trees and neighbours spare a quarter of the ring",
              "check that both have one vertical datum and unit (terrain.vertical_unit), and terrain.surface_kind"},
    CheckRule{"terrain_shows_roofs", "roofs",
              "the elevations stand up under the roofs: they are a surface with buildings, not bare earth",
              Severity::warning, 0.0, 1.8, "elevation inside a footprint above that 4 m outside it, m", 0.25,
              "choice of this program: a gutter of one storey is at 2.2 m or more; the ground inside an outline hardly "
              "ever stands 1.8 m above the ground around",
              "name a bare-earth model (DTM) as terrain.elevation and this one as terrain.surface"},
    CheckRule{"ground_holes", "roofs", "the ground at a roof lies far below that of its neighbours", Severity::warning,
              0.0, 20.0,
              "lowest ground of the five nearest roofs looked at, less half a metre for each metre of distance, above "
              "its own, m",
              0.0,
              "choice of this program: no street drops 20 m below all neighbours beyond a slope of 50 %; gaps of a "
              "raster filled with 0 do",
              "mark the gaps of the elevations as missing: gdal_edit.py -a_nodata VALUE FILE"},
    CheckRule{
        "steep_sites", "roofs", "the ground at the roofs is steeper than buildings are put on", Severity::warning, 0.0,
        25.0, "median slope of the ground around a roof, %", 0.0,
        "common practice: ground over 25 % is built on now and then; few basins have their middle roof on such ground. "
        "Feet taken for metres make slopes 3.3 times too steep. A gentle basin in feet passes: say its unit",
        "check terrain.vertical_unit and whether the elevations are bare earth"},
    CheckRule{"coarse_cells", "elevations", "cells of the elevations are wider than terrain.coarse_cell_m",
              Severity::warning, 0.0, 0.0, "longer side of a cell, m", 0.0,
              "method.md 6.15: heights from wider cells are a first guess",
              "use finer elevations, or take harvest and storage from the result and look at the places on site"},
    CheckRule{"roofs_excluded", "roofs", "nearly every roof lies in an exclusion", Severity::warning, 0.0, 0.0,
              "middles of roofs inside an area of the exclusions", 0.9,
              "choice of this program: houses stand beside creeks, wells and habitat; an area over all of them is the "
              "basin's outline or a zone",
              "name areas where no tank may stand as [[exclusions]], and leave outlines and zones out"},
    CheckRule{"eave_unknown", "roofs", "no roof has an eave height, storeys or a surface: every eave is the default",
              Severity::note, 0.0, 0.0, "", 1.0,
              "siting.default_eave_height_m decides every answer whether a tank fills by gravity",
              "name footprints.eave_height, footprints.storeys or terrain.surface"},
    CheckRule{"parcels_small", "roofs", "parcels are hardly larger than their roofs", Severity::warning, 0.0, 0.85,
              "median share of a parcel that one roof covers", 0.0,
              "common practice: buildings cover a tenth to six tenths of their plot; parcels of one roof are units or "
              "outlines of buildings",
              "use a layer of properties with their ground"},
    CheckRule{"parcels_large", "roofs", "parcels hold many roofs each", Severity::warning, 0.0, 15.0,
              "roofs on the parcel of the middle roof", 0.0,
              "choice of this program: a farm has 3 to 10 roofs; blocks, sections and zones have dozens",
              "use a layer of single properties: a parcel is taken for one owner with one demand"},
    CheckRule{"parcels_shifted", "roofs", "parcels and footprints would fit far better if one were shifted",
              Severity::warning, 0.0, 3.0,
              "offset that fits best, m; it halves the roofs that lie across a parcel's edge", 0.25,
              "choice of this program: the edge counts as crossed where a corner lies over 1 m outside",
              "check the CRS and datum of both layers, and shift one of them"},
    CheckRule{"roofs_across_parcels", "roofs", "roofs lie across the edges of parcels, and no shift mends it",
              Severity::warning, 0.0, 1.0, "a corner of a roof outside its parcel, m", 0.35,
              "choice of this program: one outline over more properties is given to one of them whole",
              "use footprints cut at the boundaries, or parcels of another source"},
    CheckRule{"people_many", "parcels", "parcels have more people than a household", Severity::warning, 0.0, 15.0,
              "median people of a parcel, of those above 0", 0.0,
              "common practice: 2 to 5 people a household; litres a person a day and assessor codes in that field give "
              "hundreds",
              "check that parcels.people names a count of people"},
    CheckRule{"gardens_small", "parcels", "watered areas are those of a flower bed", Severity::warning, 5.0, 0.0,
              "median watered area, m2, of those above 0", 0.0,
              "common practice: 50 to 2,000 m2 are watered; acres or hectares taken for m2 give under 1",
              "check the unit of the watered area: parcels.irrigated_area_m2 = { field = \"...\", unit = \"acre\" }"},
    CheckRule{"gardens_large", "parcels", "watered areas are larger than the ground that the roofs leave open",
              Severity::warning, 0.0, 1.0, "watered area by the parcel less its roofs", 0.3,
              "choice of this program: a field beside the house is watered now and then; square feet taken for m2 are "
              "10.8 times too large",
              "check the unit of the watered area: parcels.irrigated_area_m2 = { field = \"...\", unit = \"ft2\" }"},
    CheckRule{"season_use_large", "parcels", "water used in a season is that of a farm", Severity::warning, 0.0, 5000.0,
              "median use of a season, m3, of those above 0", 0.0,
              "common practice: a house with a garden uses 50 to 1,000 m3 a season; gallons taken for m3 are 264 "
              "times, litres 1,000 times too many",
              "check the unit of the use: parcels.season_use_m3 = { field = \"...\", unit = \"gal\" }"},
    CheckRule{"season_use_deep", "parcels", "water used in a season would stand metres deep on the gardens",
              Severity::warning, 0.0, 3.0, "median use of a season by the watered area, m", 0.0,
              "common practice: a dry season asks 0.3 to 1 m of water; the house adds some",
              "check the units of parcels.season_use_m3 and of parcels.irrigated_area_m2"},
    CheckRule{"tanks_large", "parcels", "existing tanks are those of a town", Severity::warning, 0.0, 200.0,
              "median existing storage, m3, of those above 0", 0.0,
              "common practice: tanks of a property hold 1 to 100 m3; gallons taken for m3 are 264 times too many",
              "check the unit of the tanks: parcels.existing_storage_m3 = { field = \"...\", unit = \"gal\" }"},
    CheckRule{
        "pumps_large", "parcels", "pumps are those of a farm", Severity::warning, 0.0, 5.0,
        "median rate of a pump, L/s, of those above 0", 0.0,
        "common practice: a pump of a house gives 0.2 to 2 L/s; gallons a minute taken for L/s are 15.9 times too many",
        "check the unit of the pumps: parcels.pump_lps = { field = \"...\", unit = \"gpm\" }"},
    CheckRule{"stream_distances", "parcels", "distances to the stream do not fit the lines of [streams]",
              Severity::warning, 0.4, 2.5,
              "median of the distance given by that from the parcel's middle to the nearest line", 0.0,
              "choice of this program: wells stand beside the middle of a parcel, half as far or twice; feet taken for "
              "metres are 3.28 times too far",
              "check the unit of the distance: parcels.stream_distance_m = { field = \"...\", unit = \"ft\" }, and "
              "that all creeks are in [streams]"},
    CheckRule{"source_unknown", "roofs", "no roof's water source is known: the creek is credited with nothing anywhere",
              Severity::warning, 0.0, 0.0, "", 1.0,
              "method.md 4.10: an unknown source counts as 0, and stream gain, ranking and plan rest on it",
              "name parcels.water_source, or parcels.default_water_source where one source holds for all"},
    CheckRule{"rain_season", "rain",
              "the fill months are drier than the rest of the year, or its wettest month is a forbearance month",
              Severity::warning, 1.0, 0.0, "rain of the fill months by what they would have if it fell evenly", 0.0,
              "choice of this program: winter storage needs a season that fills it; a record begun in the wrong month, "
              "normals that do not begin with January and a basin of summer rain look like this",
              "check rain.start and the order of the months; else set season.fill_months and season.forbear_months"},
    CheckRule{"rain_total", "rain", "the year's rain is more or less than hardly any basin has", Severity::warning,
              150.0, 5000.0, "rain of the mean year, mm", 0.0,
              "common practice: 150 mm is a desert's, 5000 mm the wettest mountains'; inches or centimetres taken for "
              "millimetres, or tenths of them, fall outside",
              "check rain.unit and rain.kind"},
    CheckRule{"rain_future", "rain", "the record goes on after the day on which the newest input file was written",
              Severity::warning, 0.0, 0.0, "last day of the record", 0.0,
              "a measured record ends before its file was written; a projection may go on",
              "check rain.start; accept it for a projection"},
    CheckRule{"rain_old", "rain", "the record ended long ago", Severity::warning, 0.0, 30.0,
              "years from the last day of the record to the newest input file", 0.0,
              "common practice: climate normals cover 30 years (WMO-No. 1203)",
              "check rain.start; else use a newer record"},
    CheckRule{"southern_months", "season", "footprints south of the equator and the months of the northern winter",
              Severity::warning, 0.0, 0.0, "", 0.0, "the defaults are those of the northern winter",
              "set season.fill_months and season.forbear_months, for example [4, 5, 6, 7, 8, 9, 10] and [12, 1, 2, 3]"},
    CheckRule{"et0_year", "evapotranspiration", "the evapotranspiration of a year is none that is measured anywhere",
              Severity::warning, 300.0, 3000.0, "reference evapotranspiration of a year in the middle of the basin, mm",
              0.0,
              "common practice: reference evapotranspiration is 1 to 9 mm a day (FAO 56, table 2), 400 to 3,000 mm a "
              "year; mm "
              "a day taken for mm a month give 12 to 90",
              "check evapotranspiration.unit: mm day-1 or mm month-1"},
    CheckRule{"snow_months", "months",
              "in fill months the mean temperature is below freezing: what falls lies on the roof as snow",
              Severity::warning, 0.0, 0.0, "mean of minimum and maximum in a fill month, degrees C", 0.0,
              "common practice: most of what falls below 0 degrees C is snow; harvest counts it as rain on the day",
              "leave these months out of season.fill_months, or read the harvest as more than there is"},
    CheckRule{"frost_months", "months", "in fill months the mean daily minimum is below freezing", Severity::note, 0.0,
              0.0, "minimum in a fill month, degrees C", 0.0,
              "method.md 10.9: wet lines and pumps are drained down in these months",
              "plan for lines that can be drained"},
};

inline constexpr std::size_t kCheckCount = kCheckRules.size();

template <>
inline constexpr TermList<kCheckCount> kTermList<CheckCode>{
    "check", "what an input that is sound as a file may be told for", [] {
        std::array<Term, kCheckCount> terms{};
        for (std::size_t i = 0; i < kCheckCount; ++i) {
            terms.at(i) = {kCheckRules.at(i).code, kCheckRules.at(i).meaning};
        }
        return terms;
    }()};

[[nodiscard]] constexpr const CheckRule& rule_of(CheckCode code) {
    return kCheckRules.at(static_cast<std::size_t>(code));
}

}  // namespace eaveshed
