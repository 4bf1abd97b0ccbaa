// [notes], [cost], [rank], [[scenarios]], [output], [check]: what is made of the results, and what is let pass.
#include "eaveshed/core/check_code.hpp"
#include "table_parts.hpp"

namespace eaveshed::table_parts {

namespace {

constexpr std::array kOutputUnits{
    Term{"si", "SI columns only"},
    Term{"us", "adds columns in gal, ft, psi and gpm beside the SI ones"},
};

constexpr auto kNotes = &Settings::notes;
constexpr auto kCost = &Settings::cost;
constexpr auto kRank = &Settings::rank;
constexpr auto kScenarios = &Settings::scenarios;
constexpr auto kOutput = &Settings::output;
constexpr auto kCheck = &Settings::check;

struct Words {
    std::string_view section;
    std::string_view key;
    std::string_view meaning;
    std::string_view source = kOwn;
};

Setting plain(Words words, std::string_view unit, Range range, Access access, Kind kind = Kind::number) {
    return {.section = words.section,
            .key = words.key,
            .kind = kind,
            .unit = unit,
            .range = range,
            .access = access,
            .meaning = words.meaning,
            .source = words.source};
}

std::vector<Setting> note_settings() {
    using N = NoteSettings;
    return {
        plain(
            {"notes", "dry_line_max_m",
             "A line that fills the tank and is longer than this counts as wet: buried, and full until it is drained.",
             "common practice"},
            "m", at_least(0.0), at<kNotes, &N::dry_line_max_m>()),
        plain({"notes", "canopy_height_m", "Vegetation taller than this counts as canopy over a pad."}, "m",
              between(0.0, 100.0), at<kNotes, &N::canopy_height_m>()),
        plain({"notes", "canopy_ring_m", "How far around a roof canopy counts as leaves in its gutters.", kPractice},
              "m", above(0.0, 100.0), at<kNotes, &N::canopy_ring_m>()),
        plain({"notes", "canopy_share",
               "Share of that ring under canopy beyond which gutters and screens are to be cleaned more than once a "
               "year."},
              "1", kShare, at<kNotes, &N::canopy_share>()),
        plain({"notes", "storm_mm_h", "Rain of the storm that the overflow is made for.",
               "standard: BS 6367, 75 mm/h for roofs"},
              "mm/h", above(0.0, 1000.0), at<kNotes, &N::storm_mm_h>()),
        plain({"notes", "pump_efficiency", "Of a pump with its motor.", kPractice}, "1", kPositiveShare,
              at<kNotes, &N::pump_efficiency>()),
    };
}

std::vector<Setting> cost_settings() {
    using C = CostSettings;
    return {
        plain({"cost", "pad", "Cost of the ground of one tank, levelled: counted for every tank not there yet.", ""},
              "currency", at_least(0.0), at<kCost, &C::pad>()),
        plain({"cost", "pipe_per_m", "Cost of a metre of pipe, laid.", ""}, "currency/m", at_least(0.0),
              at<kCost, &C::pipe_per_m>()),
        plain({"cost", "pump", "Cost of a pump, counted where gravity does not feed.", ""}, "currency", at_least(0.0),
              at<kCost, &C::pump>()),
        plain({"cost", "currency", "Name of the currency, for headings.", ""}, "", {}, at<kCost, &C::currency>(),
              Kind::text),
    };
}

std::vector<Setting> rank_settings() {
    using R = RankSettings;
    constexpr Range kWeight = between(0.0, 1.0);
    constexpr Range kCount = between(1.0, 1.0e6);
    return {
        plain({"rank", "weight_stream_gain", "Weight of the stream gain in the score."}, "", kWeight,
              at<kRank, &R::weight_stream_gain>()),
        plain({"rank", "weight_low_flow_share", "Weight of the gain's share in the reach's low flow."}, "", kWeight,
              at<kRank, &R::weight_low_flow_share>()),
        plain({"rank", "weight_gravity", "Weight of the probability that no pump is needed."}, "", kWeight,
              at<kRank, &R::weight_gravity>()),
        plain({"rank", "weight_cost", "Weight of a low cost per m3 of added forbearance."}, "", kWeight,
              at<kRank, &R::weight_cost>()),
        plain({"rank", "weight_reliability", "Weight of the season reliability."}, "", kWeight,
              at<kRank, &R::weight_reliability>()),
        plain({"rank", "range_stream_gain_lps", "Stream gain that earns the full score."}, "L/s", above(0.0, 1000.0),
              at<kRank, &R::range_stream_gain_lps>()),
        plain({"rank", "range_low_flow_share", "Share of the low flow that earns the full score."}, "", above(0.0, 1.0),
              at<kRank, &R::range_low_flow_share>()),
        plain({"rank", "range_cost_per_m3", "Cost per m3 of added forbearance from which the score is nil."},
              "currency/m3", above(0.0, 1.0e9), at<kRank, &R::range_cost_per_m3>()),
        plain({"rank", "draws", "Random draws for the rank stability; 0: none."}, "", between(0.0, 1.0e6),
              at<kRank, &R::draws>(), Kind::whole_number),
        plain({"rank", "seed", "Seed of these draws: the same seed gives the same draws."}, "",
              between(0.0, 2147483647.0), at<kRank, &R::seed>(), Kind::whole_number),
        plain({"rank", "top", "Length of the list in which a parcel has to stay to count as stable."}, "", kCount,
              at<kRank, &R::top>(), Kind::whole_number),
        plain(
            {"rank", "scenario",
             "By whose volumes parcels are ranked: now, as screened; the name of a scenario; or worst, each parcel by "
             "the one of all these in which it replaces least."},
            "", {}, at<kRank, &R::scenario>(), Kind::text),
    };
}

std::vector<Setting> scenario_settings() {
    using S = ScenarioSettings;
    constexpr Range kFactor = between(0.0, 10.0);
    Setting name = plain({"scenarios", "name", "What the scenario is called.", ""}, "", {}, at<kScenarios, &S::name>(),
                         Kind::text);
    name.required = true;
    return {
        name,
        plain({"scenarios", "rain_factor", "Factor on the rain: one for all months, or twelve, January first.", ""}, "",
              kFactor, at<kScenarios, &S::rain_factor>(), Kind::twelve),
        plain({"scenarios", "et0_factor", "Factor on reference evapotranspiration: one, or twelve, January first.", ""},
              "", kFactor, at<kScenarios, &S::et0_factor>(), Kind::twelve),
    };
}

std::vector<Setting> output_settings() {
    using O = OutputSettings;
    return {
        {.section = "output",
         .key = "crs",
         .kind = Kind::text,
         .access = at<kOutput, &O::crs>(),
         .absent = "that of the footprints",
         .meaning = "Coordinate reference system of the GeoPackage: AUTHORITY:CODE such as \"EPSG:32610\", WKT or "
                    "PROJJSON."},
        {.section = "output",
         .key = "storage_curve",
         .kind = Kind::flag,
         .access = at<kOutput, &O::storage_curve>(),
         .meaning = "Write the table storage_curve: what every storage option of every roof would replace."},
        {.section = "output",
         .key = "units",
         .kind = Kind::choice,
         .access = choice_at<kOutput, &O::units>(kOutputUnits),
         .meaning = "Whether columns in US units stand beside the SI ones."},
    };
}

std::vector<Setting> check_settings() {
    return {{.section = "check",
             .key = "accepted",
             .kind = Kind::words,
             .access = at<kCheck, &CheckSettings::accepted>(),
             .meaning = "Codes of findings that are deliberate: each becomes a note, and --strict lets it pass. "
                        "`eaveshed help checks` lists the codes.",
             .words = terms_of<CheckCode>()}};
}

}  // namespace

void append_planning_settings(std::vector<Setting>& table) {
    for (const auto& part : {note_settings(), cost_settings(), rank_settings(), scenario_settings(), output_settings(),
                             check_settings()}) {
        table.insert(table.end(), part.begin(), part.end());
    }
}

}  // namespace eaveshed::table_parts
