#include "eaveshed/style/layer_styles.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/pad_ground_row.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/pipe_row.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/record/use_point_row.hpp"

namespace eaveshed {

namespace {

// Scales, as 1 : this and closer.
constexpr double kBasin = 60'000.0;  // single roofs are dots
constexpr double kStreet = 12'000.0;
constexpr double kProperty = 5'000.0;
constexpr double kClose = 1'500.0;

template <typename Row, typename Member>
Condition at_least(Member Row::*member, double value) {
    return {column_name(member), Relation::at_least, value};
}
template <typename Row, typename Member>
Condition below(Member Row::*member, double value) {
    return {column_name(member), Relation::below, value};
}
template <typename Row, typename Enum>
Condition is(std::optional<Enum> Row::*member, Enum word) {
    return {column_name(member), Relation::equals, to_text(word)};
}
template <typename Row, typename Enum>
Condition is(Enum Row::*member, Enum word) {
    return {column_name(member), Relation::equals, to_text(word)};
}

// The level on which people decide, and the other.
struct Levels {
    PadLevel deciding;
    PadLevel other;
};
constexpr Levels kByParcel{PadLevel::parcel, PadLevel::roof};
constexpr Levels kByRoof{PadLevel::roof, PadLevel::parcel};

// --- Parcels

// Where the classes of the rank end; a choice of ours for reading a map: what one can call in a week, a season, a year.
struct RankClass {
    double from;
    double below;
    const char* label;
    const char* fill;
};
// Four steps of an orange-brown sequence (ColorBrewer YlOrBr, Harrower and Brewer 2003, Apache licence), most first.
constexpr std::array kRankClasses{
    RankClass{1.0, 11.0, "rank 1 to 10: ask first", "#993404"},
    RankClass{11.0, 26.0, "rank 11 to 25", "#d95f0e"},
    RankClass{26.0, 101.0, "rank 26 to 100", "#fe9929"},
    RankClass{101.0, 1e15, "ranked, 101 and on", "#fed98e"},
};
constexpr double kLeastGainLps = 0.00005;  // what a label of four decimals can show
constexpr double kParcelOpacity = 0.45;    // what lies below must show

MapStyle parcel_style() {
    MapStyle style{.name = "Whom to ask first",
                   .description = "Parcels by their rank; what is not ranked by its reason.",
                   .rules = {}};
    style.rules.push_back({.label = "not ranked: see why_not_ranked",
                           .when = {},
                           .paint = {.fill = kNoResultGrey, .fill_opacity = 0.25, .line = "#595959", .line_px = 0.8}});
    style.rules.push_back({.label = "declined, or not to be asked",
                           .when = {{is(&ParcelRow::contact_status, ContactStatus::declined)},
                                    {is(&ParcelRow::contact_status, ContactStatus::do_not_contact)}},
                           .paint = {.line = "#595959", .line_px = 1.2, .dashed = true}});
    style.rules.push_back(
        {.label = "enrolled already",
         .when = {{is(&ParcelRow::contact_status, ContactStatus::enrolled)}},
         .paint = {.fill = "#0072b2", .fill_opacity = kParcelOpacity, .line = "#00405f", .line_px = 2.0}});
    const LabelPart number{true, column_name(&ParcelRow::rank)};
    for (std::size_t i = kRankClasses.size(); i-- > 0;) {
        const RankClass& rank = kRankClasses.at(i);
        MapRule rule{
            .label = rank.label,
            .when = {{at_least(&ParcelRow::rank, rank.from), below(&ParcelRow::rank, rank.below)}},
            .paint = {
                .fill = rank.fill, .fill_opacity = kParcelOpacity, .line = "#5a2d0c", .line_px = i == 0 ? 2.0 : 0.8}};
        if (i < 2) {
            rule.text = {{false, "no. "}, number};
        }
        style.rules.push_back(std::move(rule));
    }
    const LabelPart gain{true, column_name(&ParcelRow::added_gain_lps), 4};
    style.labels = {
        {.when = {{at_least(&ParcelRow::rank, 1.0), below(&ParcelRow::rank, 11.0)}},
         .parts = {{false, "no. "}, number},
         .from = kProperty,
         .up_to = kBasin},
        {.when = {{at_least(&ParcelRow::rank, 11.0), below(&ParcelRow::added_gain_lps, kLeastGainLps)}},
         .parts = {{false, "no. "}, number},
         .up_to = kProperty},
        {.when = {{at_least(&ParcelRow::rank, 1.0), at_least(&ParcelRow::added_gain_lps, kLeastGainLps)}},
         .parts = {{false, "no. "}, number, {false, ": "}, gain, {false, " L/s"}},
         .up_to = kProperty},
    };
    return style;
}

// --- Roofs

// Five steps of the viridis scale (CC0; readable in grey and with any colour vision), least first.
constexpr std::array kSequence{"#440154", "#3b528b", "#21918c", "#5ec962", "#fde725"};

// Where the classes of forbearance volume begin, m3 a season: about a rain barrel, one household tank, a pair, a row
// of tanks. A choice of ours for reading a map; nothing is computed from it.
constexpr std::array kForbearanceSteps{0.0, 5.0, 15.0, 40.0, 80.0};

MapRule roof_class(std::size_t i) {
    constexpr double kAnything = 1e-9;  // what replaces nothing is in no class
    const bool last = i + 1 == kForbearanceSteps.size();
    Conditions when{at_least(&RoofRow::forbearance_m3, std::max(kAnything, kForbearanceSteps.at(i)))};
    std::string label = fmt::format("{:g} m3 a season and more", kForbearanceSteps.at(i));
    if (!last) {
        when.push_back(below(&RoofRow::forbearance_m3, kForbearanceSteps.at(i + 1)));
        label = fmt::format("{:g} to below {:g} m3 a season", kForbearanceSteps.at(i), kForbearanceSteps.at(i + 1));
    }
    return {.label = label, .when = {when}, .paint = {.fill = kSequence.at(i)}, .up_to = kBasin};
}

const MapRule kNoRoofResult{.label = "no result: see status and delivery",
                            .when = {},
                            .paint = {.fill = kNoResultGrey, .line = "#737373"},
                            .up_to = kBasin};

MapStyle roof_style_by_roofs() {
    MapStyle style{.name = "What each roof replaces",
                   .description = "Roofs by the dependable take that they replace.",
                   .rules = {kNoRoofResult}};
    for (std::size_t i = kForbearanceSteps.size(); i-- > 0;) {
        style.rules.push_back(roof_class(i));
    }
    return style;
}

MapStyle roof_style_by_parcels() {
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
                       .up_to = kBasin}}};
}

// --- Pads, their ground, pipes, use points

// Hues of Okabe and Ito (Color Universal Design, 2008).
struct DeliveryLook {
    Delivery delivery;
    const char* fill;
    Mark mark;
};
constexpr std::array kDeliveryLooks{DeliveryLook{Delivery::gravity, "#009e73", Mark::circle},
                                    DeliveryLook{Delivery::low_pressure, "#56b4e9", Mark::square},
                                    DeliveryLook{Delivery::pumped_feed, "#e69f00", Mark::triangle},
                                    DeliveryLook{Delivery::pumped_fill, "#d55e00", Mark::star}};

MapStyle pad_style(const Levels& level) {
    MapStyle style{
        .name = "Where tanks can stand",
        .description = "Pads by how the water gets in and out; those of single roofs of a parcel small, and only near.",
        .rules = {}};
    style.rules.push_back({.label = "pad of one roof of a parcel",
                           .when = {{is(&PadRow::level, level.other)}},
                           .paint = {.fill = "#ffffff", .line = "#404040", .mark = Mark::circle, .mark_px = 5.0},
                           .up_to = kClose});
    for (const DeliveryLook& look : kDeliveryLooks) {
        const Term& term = term_of(look.delivery);
        style.rules.push_back(
            {.label = fmt::format("{}: {}", term.name, term.meaning),
             .when = {{is(&PadRow::level, level.deciding), is(&PadRow::delivery, look.delivery)}},
             .paint = {.fill = look.fill, .line = "#000000", .line_px = 1.0, .mark = look.mark, .mark_px = 10.0},
             .up_to = kStreet});
    }
    return style;
}

MapStyle pad_ground_style(const Levels& level) {
    return {.name = "Ground of the tanks",
            .description = "The level ground that the tanks take, to scale.",
            .rules = {{.label = "ground of the tanks, to scale",
                       .when = {{is(&PadGroundRow::level, level.deciding)}},
                       .paint = {.fill = "#c2a878", .fill_opacity = 0.7, .line = "#4d3b1f", .line_px = 1.2},
                       .up_to = kProperty},
                      {.label = "ground for one roof of a parcel",
                       .when = {{is(&PadGroundRow::level, level.other)}},
                       .paint = {.line = "#4d3b1f", .line_px = 0.6, .dashed = true},
                       .up_to = kClose}}};
}

MapStyle pipe_style(const Levels& level) {
    const auto rule = [&](const char* label, PipeKind kind, const char* line, bool dashed) {
        return MapRule{.label = label,
                       .when = {{is(&PipeRow::level, level.deciding), is(&PipeRow::kind, kind)}},
                       .paint = {.line = line, .line_px = 2.0, .dashed = dashed},
                       .up_to = kProperty};
    };
    return {
        .name = "Pipes",
        .description = "Straight lines from roof to tank and from tank to garden: what belongs together, no design.",
        .rules = {rule("fills: from the gutter", PipeKind::fill, "#0072b2", false),
                  rule("feeds: to the garden", PipeKind::feed, "#117733", true),
                  {.label = "of one roof of a parcel",
                   .when = {{is(&PipeRow::level, level.other)}},
                   .paint = {.line = "#808080", .line_px = 0.6, .dashed = true},
                   .up_to = kClose}}};
}

MapStyle use_point_style() {
    const Condition given{column_name(&UsePointRow::assumed), Relation::is_false};
    const Condition assumed{column_name(&UsePointRow::assumed), Relation::is_true};
    return {
        .name = "Use points",
        .description = "Where the water is wanted.",
        .rules = {{.label = "use point, given",
                   .when = {{given}},
                   .paint = {.fill = "#000000", .line = "#000000", .line_px = 2.0, .mark = Mark::cross, .mark_px = 9.0},
                   .up_to = kProperty},
                  {.label = "use point, assumed in the garden",
                   .when = {{assumed}},
                   .paint = {.line = "#595959", .line_px = 1.0, .mark = Mark::cross, .mark_px = 7.0},
                   .up_to = kProperty}}};
}

struct TableStyle {
    std::string_view table;
    MapStyle style;
};

}  // namespace

const MapStyle* style_of(std::string_view table, bool with_parcels) {
    const auto styles = [](const Levels& level, MapStyle&& roofs) {
        return std::array{TableStyle{RoofRow::kTable.name, std::move(roofs)},
                          TableStyle{PadRow::kTable.name, pad_style(level)},
                          TableStyle{PadGroundRow::kTable.name, pad_ground_style(level)},
                          TableStyle{PipeRow::kTable.name, pipe_style(level)},
                          TableStyle{UsePointRow::kTable.name, use_point_style()},
                          TableStyle{ParcelRow::kTable.name, parcel_style()}};
    };
    static const auto kByParcels = styles(kByParcel, roof_style_by_parcels());
    static const auto kByRoofs = styles(kByRoof, roof_style_by_roofs());
    const auto& all = with_parcels ? kByParcels : kByRoofs;
    const auto found = std::ranges::find(all, table, &TableStyle::table);
    return found == all.end() ? nullptr : &found->style;
}

}  // namespace eaveshed
