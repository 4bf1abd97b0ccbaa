// How parcels and roofs look.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "eaveshed/record/ask_first.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/style/looks.hpp"
#include "style_parts.hpp"

namespace eaveshed::style_parts {

namespace {

// The least gain that is worth a line on a map; below it stands none.
constexpr double kLeastGainLps = 0.00005;
constexpr double kLeastGainGpm = 0.001;
constexpr double kParcelOpacity = 0.45;  // what lies below must show

FeatureTexts parcel_texts(bool us) {
    const Shown replaced = shown(&ParcelRow::forbearance_m3, us);
    const Shown gain = shown(&ParcelRow::added_gain_lps, us);
    const Shown storage = shown(&ParcelRow::storage_m3, us);
    FeatureTexts texts{.title = {name(&ParcelRow::parcel_id)}, .tip = {}, .columns = {}};
    texts.tip = {
        {.parts = {words("Parcel "), value(&ParcelRow::parcel_id)}},
        {.parts = {words("Rank "), value(&ParcelRow::rank)}},
        meaning("Owner: ", &ParcelRow::contact_status,
                other_than(&ParcelRow::contact_status, ContactStatus::candidate)),
        meaning("Nothing computed: ", &ParcelRow::parcel_status,
                other_than(&ParcelRow::parcel_status, ParcelStatus::ok)),
        quantity("Replaces ", replaced, " of the summer take each season"),
        quantity("The stream gains ", gain),
        {.parts = {words("Tanks: "), value(&ParcelRow::tank_count), words(", together "), storage.value(),
                   words(" " + storage.unit)}},
        meaning("What limits it: ", &ParcelRow::limited_by),
        meaning("Water: ", &ParcelRow::delivery),
        meaning("Without a pump? ", &ParcelRow::gravity_check),
        meaning("No place for a tank: ", &ParcelRow::no_pad_reason),
        {.parts = {{.column = true, .text = name(&ParcelRow::ask_first), .until = std::string(kNextQuestion)}}},
    };
    texts.columns = {name(&ParcelRow::parcel_id),
                     name(&ParcelRow::rank),
                     name(&ParcelRow::contact_status),
                     name(&ParcelRow::parcel_status),
                     replaced.column,
                     gain.column,
                     storage.column,
                     name(&ParcelRow::tank_count),
                     name(&ParcelRow::limited_by),
                     name(&ParcelRow::delivery),
                     name(&ParcelRow::gravity_check),
                     name(&ParcelRow::no_pad_reason),
                     name(&ParcelRow::cost),
                     name(&ParcelRow::rank_stability),
                     name(&ParcelRow::ask_first),
                     name(&ParcelRow::flags)};
    return texts;
}

std::vector<MapLabel> parcel_labels(bool us) {
    const Shown gain = shown(&ParcelRow::added_gain_lps, us);
    const TextLine number{.parts = {words("no. "), value(&ParcelRow::rank)}};
    const TextLine id{.parts = {value(&ParcelRow::parcel_id)}};
    const TextLine flow{.parts = {gain.value(), words(" " + gain.unit)},
                        .when = {{{gain.column, Relation::at_least, us ? kLeastGainGpm : kLeastGainLps}}}};
    const Condition ranked = at_least(&ParcelRow::rank, 1.0);
    return {
        {.when = {{ranked, below(&ParcelRow::rank, static_cast<double>(kRankClasses.front().below))}},
         .lines = {number},
         .from = kProperty,
         .up_to = kBasin},
        {.when = {{ranked}}, .lines = {number}, .from = kNamed, .up_to = kProperty},
        {.when = {{ranked}}, .lines = {number, id, flow}, .up_to = kNamed},
    };
}

}  // namespace

MapStyle parcel_style(bool us) {
    MapStyle style{.name = "Whom to ask first",
                   .description = "Parcels by their rank; what is not ranked by its reason.",
                   .rules = {}};
    style.rules.push_back(
        {.label = "not ranked: nothing to gain or no place for a tank, see parcel_status and delivery",
         .when = {},
         .paint = {.fill = kNoResultGrey, .fill_opacity = 0.25, .line = "#595959", .line_px = 0.8}});
    style.rules.push_back(
        {.label = "declined, or not to be asked: leave alone",
         .when = {{is(&ParcelRow::contact_status, ContactStatus::declined)},
                  {is(&ParcelRow::contact_status, ContactStatus::do_not_contact)}},
         .paint = {.fill = "#ffffff", .fill_opacity = 0.6, .line = "#404040", .line_px = 1.2, .crossed = true}});
    style.rules.push_back(
        {.label = "enrolled already",
         .when = {{is(&ParcelRow::contact_status, ContactStatus::enrolled)}},
         .paint = {.fill = kEnrolledFill, .fill_opacity = kParcelOpacity, .line = kEnrolledEdge, .line_px = 2.0}});
    for (std::size_t i = kRankClasses.size(); i-- > 0;) {
        const RankClass& rank = kRankClasses.at(i);
        MapRule rule{
            .label = std::string(rank.label),
            .when = {{at_least(&ParcelRow::rank, static_cast<double>(rank.from)),
                      below(&ParcelRow::rank, static_cast<double>(rank.below))}},
            .paint = {
                .fill = rank.fill, .fill_opacity = kParcelOpacity, .line = kRankedEdge, .line_px = i == 0 ? 2.0 : 0.8}};
        if (i < 2) {
            rule.text = {words("no. "), value(&ParcelRow::rank)};
        }
        style.rules.push_back(std::move(rule));
    }
    style.labels = parcel_labels(us);
    style.feature = parcel_texts(us);
    return style;
}

namespace {

FeatureTexts roof_texts(bool us) {
    const Shown replaced = shown(&RoofRow::forbearance_m3, us);
    const Shown storage = shown(&RoofRow::storage_m3, us);
    const Shown area = shown(&RoofRow::plan_area_m2, us);
    FeatureTexts texts{.title = {name(&RoofRow::roof_id)}, .tip = {}, .columns = {}};
    texts.tip = {{.parts = {words("Roof "), value(&RoofRow::roof_id)}},
                 {.parts = {words("Parcel "), value(&RoofRow::parcel_id)}},
                 meaning("Nothing computed: ", &RoofRow::status, other_than(&RoofRow::status, Status::ok)),
                 quantity("Area ", area),
                 quantity("By itself it replaces ", replaced, " of the summer take each season"),
                 {.parts = {words("Tanks: "), value(&RoofRow::tank_count), words(", together "), storage.value(),
                            words(" " + storage.unit)}},
                 meaning("What limits it: ", &RoofRow::limited_by),
                 meaning("Water: ", &RoofRow::delivery),
                 meaning("Without a pump? ", &RoofRow::gravity_check),
                 meaning("No place for a tank: ", &RoofRow::no_pad_reason)};
    texts.columns = {name(&RoofRow::roof_id),
                     name(&RoofRow::parcel_id),
                     name(&RoofRow::status),
                     replaced.column,
                     storage.column,
                     name(&RoofRow::tank_count),
                     name(&RoofRow::limited_by),
                     name(&RoofRow::delivery),
                     name(&RoofRow::gravity_check),
                     name(&RoofRow::no_pad_reason),
                     area.column,
                     name(&RoofRow::flags)};
    return texts;
}

// Where the classes of the forbearance volume of a season begin: a choice of ours for reading a map, fixed so that two
// towns compare; nothing is computed from it. What a household takes in a summer lies in the fourth.
struct RoofClass {
    double from_m3;
    double from_gal;
    std::string_view fill;
};
// Six steps of the viridis scale (CC0; readable in grey and with any colour vision), light for little: as on the ranks'
// and the report's maps the darkest is the most.
constexpr std::array kRoofClasses{
    RoofClass{0.0, 0.0, "#fde725"},       RoofClass{10.0, 2'500.0, "#7ad151"},  RoofClass{20.0, 5'000.0, "#22a884"},
    RoofClass{40.0, 10'000.0, "#2a788e"}, RoofClass{80.0, 20'000.0, "#414487"}, RoofClass{160.0, 40'000.0, "#440154"},
};

MapRule roof_class(std::size_t i, bool us) {
    constexpr double kAnything = 1e-9;  // what replaces nothing is in no class
    const Shown replaced = shown(&RoofRow::forbearance_m3, us);
    const auto from = [&](std::size_t k) { return us ? kRoofClasses.at(k).from_gal : kRoofClasses.at(k).from_m3; };
    Conditions when{{replaced.column, Relation::at_least, std::max(kAnything, from(i))}};
    std::string label = fmt::format("{:.0f} {} a season and more", from(i), replaced.unit);
    if (i + 1 < kRoofClasses.size()) {
        when.push_back({replaced.column, Relation::below, from(i + 1)});
        label = fmt::format("{:.0f} to below {:.0f} {} a season", from(i), from(i + 1), replaced.unit);
    }
    // Edged in its own colour: far out a roof is as large as its edge.
    const std::string_view fill = kRoofClasses.at(i).fill;
    return {.label = label, .when = {when}, .paint = {.fill = fill, .line = fill, .line_px = 1.0}};
}

const MapRule kNoRoofResult{.label = "no result: see status and delivery",
                            .when = {},
                            .paint = {.fill = kNoResultGrey, .line = "#737373"},
                            .up_to = kBasin};

}  // namespace

// At any scale: without parcels the roofs are all that a map of the basin has.
MapStyle roof_style_by_roofs(bool us) {
    MapStyle style{.name = "What each roof replaces",
                   .description = "Roofs by the dependable take that they replace.",
                   .rules = {kNoRoofResult}};
    style.rules.front().paint.line = kNoResultGrey;
    style.rules.front().up_to = 0.0;
    for (std::size_t i = kRoofClasses.size(); i-- > 0;) {
        style.rules.push_back(roof_class(i, us));
    }
    style.rules.push_back(
        {.label = "outline of a roof", .when = {}, .paint = {.line = "#262626", .line_px = 0.6}, .up_to = kStreet});
    style.feature = roof_texts(us);
    return style;
}

MapStyle roof_style_by_parcels(bool us) {
    const auto delivered = [](Delivery delivery) { return Conditions{is(&RoofRow::delivery, delivery)}; };
    return {.name = "Roofs",
            .description = "Plain: the parcels say what their roofs give together.",
            .rules = {kNoRoofResult,
                      {.label = "no place for a tank of its own, or nothing to replace",
                       .when = {delivered(Delivery::no_pad), delivered(Delivery::no_use)},
                       .paint = {.fill = "#d9d9d9", .line = "#262626", .line_px = 0.8, .dashed = true},
                       .up_to = kBasin},
                      {.label = "with a place for a tank",
                       .when = {delivered(Delivery::gravity), delivered(Delivery::low_pressure),
                                delivered(Delivery::pumped_feed), delivered(Delivery::pumped_fill)},
                       .paint = {.fill = "#ffffff", .line = "#262626", .line_px = 0.8},
                       .up_to = kBasin}},
            .feature = roof_texts(us)};
}

}  // namespace eaveshed::style_parts
