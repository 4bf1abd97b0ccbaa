// How pads, the ground below them, pipes and use points look.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "eaveshed/record/pad_ground_row.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/pipe_row.hpp"
#include "eaveshed/record/use_point_row.hpp"
#include "eaveshed/style/looks.hpp"
#include "style_parts.hpp"

namespace eaveshed::style_parts {

namespace {

// What stands on one level and is drawn in full: nobody opted out, and the elevations are fine enough.
template <typename Row>
Conditions in_full(PadLevel level) {
    return {is(&Row::level, level), is(&Row::opted_out, false), is(&Row::coarse_elevation, false)};
}
// The same where the elevations are coarse.
template <typename Row>
Conditions in_outline(PadLevel level) {
    return {is(&Row::level, level), is(&Row::opted_out, false), is(&Row::coarse_elevation, true)};
}
// On the level on which nobody decides.
template <typename Row>
Conditions aside(PadLevel level) {
    return {is(&Row::level, level), is(&Row::opted_out, false)};
}

Conditions with(Conditions conditions, Condition another) {
    conditions.push_back(std::move(another));
    return conditions;
}

// Numbers of parcels stand beside the tanks. Not so of roofs: one that fills its parcel would leave it without a
// number.
const MapLabel kKeepClear{.when = {}, .lines = {}, .up_to = kProperty};

constexpr std::string_view kFaint = "#6b6b6b";
constexpr std::string_view kCoarseNote = "a first guess: the elevations are coarse";

FeatureTexts pad_texts(bool us) {
    const Shown storage = shown(&PadRow::storage_m3, us);
    const Shown pressure = shown(&PadRow::pressure_kpa, us);
    const Shown fill = shown(&PadRow::fill_distance_m, us);
    const Shown feed = shown(&PadRow::pipe_m, us);
    TextLine without_pump = quantity("Pressure ", pressure, " at the use point, the store down to its reserve");
    without_pump.when = {{is(&PadRow::delivery, Delivery::gravity)}, {is(&PadRow::delivery, Delivery::low_pressure)}};
    return by_place<PadRow>({{.parts = {words("Tanks: "), value(&PadRow::tank_count), words(", together "),
                                        storage.value(), words(" " + storage.unit)}},
                             meaning("Water: ", &PadRow::delivery),
                             meaning("Without a pump? ", &PadRow::gravity_check),
                             without_pump,
                             {.parts = {words("Place and heights are " + std::string(kCoarseNote))},
                              .when = {{is(&PadRow::coarse_elevation, true)}}}},
                            {name(&PadRow::parcel_id), name(&PadRow::roof_id), name(&PadRow::level),
                             name(&PadRow::delivery), name(&PadRow::gravity_check), name(&PadRow::gravity_probability),
                             storage.column, name(&PadRow::tank_count), name(&PadRow::arrangement), pressure.column,
                             fill.column, feed.column, name(&PadRow::opted_out), name(&PadRow::coarse_elevation)});
}

}  // namespace

MapStyle pad_style(const Levels& level, bool us) {
    MapStyle style{.name = "Where tanks can stand",
                   .description =
                       "Pads by how the water gets in and out, hollow where the heights cannot tell; those of "
                       "single roofs of a parcel small, and only near.",
                   .rules = {},
                   .labels = {kKeepClear},
                   .feature = pad_texts(us)};
    style.rules.push_back({.label = "pad of one roof of a parcel",
                           .when = {aside<PadRow>(level.other)},
                           .paint = {.fill = "#8c8c8c", .line = "#ffffff", .mark = Mark::circle, .mark_px = 4.0},
                           .up_to = kClose});
    style.rules.push_back({.label = std::string(kCoarseNote),
                           .when = {in_outline<PadRow>(level.deciding)},
                           .paint = {.line = kFaint, .line_px = 1.0, .mark = Mark::circle, .mark_px = 7.0},
                           .up_to = kStreet});
    const Conditions drawn = in_full<PadRow>(level.deciding);
    for (const DeliveryLook& look : kDeliveryLooks) {
        const Conditions delivered = with(drawn, is(&PadRow::delivery, look.delivery));
        const Term& term = term_of(look.delivery);
        style.rules.push_back(
            {.label = fmt::format("{}: {}", term.name, term.meaning),
             .when = {with(delivered, is(&PadRow::gravity_check, GravityCheck::yes)),
                      with(delivered, is(&PadRow::gravity_check, GravityCheck::no))},
             .paint = {.fill = look.fill, .line = "#000000", .line_px = 1.0, .mark = look.mark, .mark_px = 10.0},
             .up_to = kStreet});
        style.rules.push_back(
            {.label = fmt::format("{}, hollow: the heights cannot tell", term.name),
             .when = {with(delivered, is(&PadRow::gravity_check, GravityCheck::cannot_tell))},
             .paint = {.fill = "#ffffff", .line = look.fill, .line_px = 2.5, .mark = look.mark, .mark_px = 9.0},
             .up_to = kStreet});
    }
    return style;
}

MapStyle pad_ground_style(const Levels& level, bool us) {
    const Shown radius = shown(&PadGroundRow::pad_radius_m, us);
    return {.name = "Ground of the tanks",
            .description = "The level ground that the tanks take, to scale.",
            .rules = {{.label = "ground of the tanks, to scale",
                       .when = {in_full<PadGroundRow>(level.deciding)},
                       .paint = {.fill = "#c2a878", .fill_opacity = 0.7, .line = "#4d3b1f", .line_px = 1.2},
                       .up_to = kProperty},
                      {.label = std::string(kCoarseNote),
                       .when = {in_outline<PadGroundRow>(level.deciding)},
                       .paint = {.line = kFaint, .line_px = 0.8, .dashed = true},
                       .up_to = kProperty},
                      {.label = "ground for one roof of a parcel",
                       .when = {aside<PadGroundRow>(level.other)},
                       .paint = {.line = "#4d3b1f", .line_px = 0.6, .dashed = true},
                       .up_to = kClose}},
            .labels = {kKeepClear},
            .feature = by_place<PadGroundRow>(
                {{.parts = {words("Tanks: "), value(&PadGroundRow::tank_count)}},
                 meaning("They stand as ", &PadGroundRow::arrangement)},
                {name(&PadGroundRow::parcel_id), name(&PadGroundRow::roof_id), name(&PadGroundRow::level),
                 name(&PadGroundRow::tank_count), name(&PadGroundRow::arrangement), radius.column})};
}

MapStyle pipe_style(const Levels& level, bool us) {
    const auto rule = [&](const char* label, PipeKind kind, const char* line, bool dashed) {
        return MapRule{.label = label,
                       .when = {with(in_full<PipeRow>(level.deciding), is(&PipeRow::kind, kind))},
                       .paint = {.line = line, .line_px = 2.0, .dashed = dashed},
                       .up_to = kProperty};
    };
    const Shown length = shown(&PipeRow::length_m, us);
    return {
        .name = "Pipes",
        .description = "Straight lines from roof to tank and from tank to garden: what belongs together, no design.",
        .rules = {rule("fills: from the gutter", PipeKind::fill, "#0072b2", false),
                  rule("feeds: to the garden", PipeKind::feed, "#117733", true),
                  {.label = std::string(kCoarseNote),
                   .when = {in_outline<PipeRow>(level.deciding)},
                   .paint = {.line = kFaint, .line_px = 0.8, .dashed = true},
                   .up_to = kProperty},
                  {.label = "of one roof of a parcel",
                   .when = {aside<PipeRow>(level.other)},
                   .paint = {.line = "#808080", .line_px = 0.6, .dashed = true},
                   .up_to = kClose}},
        .feature = by_place<PipeRow>(
            {meaning("Carries ", &PipeRow::kind), quantity("Length ", length), meaning("", &PipeRow::fill_line)},
            {name(&PipeRow::parcel_id), name(&PipeRow::roof_id), name(&PipeRow::level), name(&PipeRow::kind),
             length.column, name(&PipeRow::fill_line)})};
}

MapStyle use_point_style() {
    const auto of = [](bool assumed) {
        return Conditions{is(&UsePointRow::assumed, assumed), is(&UsePointRow::opted_out, false)};
    };
    return {
        .name = "Use points",
        .description = "Where the water is wanted.",
        .rules = {{.label = "use point, given",
                   .when = {of(false)},
                   .paint = {.fill = "#000000", .line = "#000000", .line_px = 2.0, .mark = Mark::cross, .mark_px = 9.0},
                   .up_to = kProperty},
                  {.label = "use point, assumed in the garden",
                   .when = {of(true)},
                   .paint = {.line = "#595959", .line_px = 1.0, .mark = Mark::cross, .mark_px = 7.0},
                   .up_to = kProperty}},
        .feature = by_place<UsePointRow>(
            {{.parts = {words("Use point, given")}, .when = {{is(&UsePointRow::assumed, false)}}},
             {.parts = {words("Use point, assumed in the garden")}, .when = {{is(&UsePointRow::assumed, true)}}}},
            {name(&UsePointRow::parcel_id), name(&UsePointRow::roof_id)})};
}

}  // namespace eaveshed::style_parts
