// Everything that a sheet about one property states, as data: recomputed from the inputs, in SI, without any drawing or
// markup. What is not known is left out, never guessed.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/season.hpp"
#include "eaveshed/crs/map_place.hpp"
#include "eaveshed/notes/fire.hpp"
#include "eaveshed/notes/upkeep.hpp"
#include "eaveshed/parcel/explain_parcel.hpp"
#include "eaveshed/property/hand_sum.hpp"
#include "eaveshed/property/map.hpp"
#include "eaveshed/property/section.hpp"
#include "eaveshed/property/year.hpp"
#include "eaveshed/rank/questions.hpp"
#include "eaveshed/record/tile_rows.hpp"

namespace eaveshed {

// One roof of the property.
struct PropertyRoof {
    std::string roof_id;
    RoofRow row;
    bool connected = false;                 // fills the storage
    std::optional<MapPlace> place;          // its interior point
    std::optional<double> fill_distance_m;  // to the pad, where it is within reach
    std::optional<double> fill_margin_m;    // there
    std::optional<FillLine> fill_line;      // of the line from a connected roof, where it is known
    std::optional<double> eave_height_m;    // of the gutter above the ground beside it
    bool leaves = false;                    // gutters and screens more often than once a year
    std::optional<FireWater> fire_water;    // where its storeys are known
};

// A tank on its ground: of a cluster one place for all.
struct PropertyTank {
    Point middle;  // in the terrain's CRS
    std::optional<MapPlace> place;
    std::optional<double> ground_elev_m;  // uncut
};

// The pad: the row's numbers, and where it is.
struct PropertyPad {
    PadRow row;
    TankOption tank;  // one of row.tank_count
    double reserve_m3 = 0.0;
    std::optional<MapPlace> place;
    std::optional<MapPlace> use_place;
    bool use_assumed = false;
    std::vector<PropertyTank> tanks;
    std::optional<double> row_true_bearing_deg;  // clockwise from true north, 0 to below 180; of a row
    // What a line that stays full loses in the storm, of the connected roofs' lines the most; none where all are dry.
    // method.md 10.5.
    std::optional<double> wet_line_loss_m;
};

// A size that could stand on the pad, and what it leaves.
struct PropertySize {
    ParcelOptionRow row;
    double unmet_mean_m3 = 0.0;  // of a season's demand, in the mean
    // No more than this is unmet in the share `reliability` of seasons: a quantile of what each season leaves unmet.
    // Of a mean year that of the assumed dry one; none without one. method.md 5.14.
    std::optional<double> unmet_dependable_m3;
};

// Between these an outcome lies in eight cases of ten as far as the draws of the ranking know (what is known roughly
// drawn anew, method.md 8.5), or between the answers to the questions.
struct ValueRange {
    double low = 0.0;
    double high = 0.0;
};
struct RangedValue {
    double value = 0.0;
    std::optional<ValueRange> drawn;  // 10 % and 90 % of the draws
    std::optional<ValueRange>
        by_answer;  // least and most over the low and high answers to the questions, and the value
};
// Each where the row has the value.
struct PropertyHeadlines {
    std::optional<RangedValue> forbearance_m3;
    std::optional<RangedValue> stream_gain_lps;
    std::optional<RangedValue> harvest_m3;    // dependable, or mean where nothing is known of dry winters
    std::optional<RangedValue> pressure_kpa;  // the store at its reserve
    std::optional<RangedValue> fill_margin_m;
};

// Frost, fire and the year's work.
struct PropertyNotes {
    std::optional<MonthSet> freezing;  // none where temperatures are not known
    bool leaves = false;               // of some connected roof
    std::vector<UpkeepTask> calendar;  // of a parcel with a pad
};

// What to look at on site because a number rests on it.
struct SiteCheck {
    std::optional<Question> question;  // that the owner's answer would settle instead
    std::string text;
};

struct Property {
    std::string parcel_id;
    ParcelRow row;     // as in the layer parcels
    ParcelRow ranked;  // with the volumes by which it is ranked
    ParcelFacts facts;
    std::vector<PropertyRoof> roofs;  // in input order
    std::size_t pad_roof = 0;         // whose pad it is: position among the roofs, where there is a pad
    std::optional<PropertyPad> pad;
    std::optional<PropertyWater> water;
    std::vector<PropertySize> sizes;  // the smallest first
    std::vector<ScenarioRow> scenarios;
    std::optional<PropertySection> section;
    std::optional<PropertyMap> map;
    std::vector<QuestionToAsk> questions;  // the most telling first, with what is at stake
    PropertyHeadlines headlines;
    PropertyNotes notes;
    std::optional<HandSum> hand_sum;  // in the units of the project's output
    std::vector<SiteCheck> checks;
};

// What is evaluated and explained of one parcel, its row and ids complete.
struct PropertyTask {
    const std::string& parcel_id;
    const std::vector<std::string>& roof_ids;
    const ParcelExplanation& explanation;
    const ParcelRow& ranked;
    const TileParcel* parcel = nullptr;  // null for a parcel without roofs: the rest is then empty
    const std::vector<TileRoof>& roofs;
    const TileInput* tile = nullptr;  // with the ground that property_ground_needed asks for
    const Settings& settings;
};

// The terrain cells that the sheet asks for beyond those of the evaluation.
[[nodiscard]] std::vector<CellRange> property_ground_needed(const PropertyTask& task);

// Pure. Places (MapPlace) are left empty: whoever knows the coordinate systems fills them (property_places).
[[nodiscard]] Property property_of(const PropertyTask& task);

// What goes with every sheet, whatever the parcel: cautions that defer to local rules and licensed practice.
[[nodiscard]] std::span<const std::string_view> property_cautions();

}  // namespace eaveshed
