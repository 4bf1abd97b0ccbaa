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
#include "eaveshed/record/us_units.hpp"
#include "eaveshed/record/use_point_row.hpp"
#include "eaveshed/style/looks.hpp"

namespace eaveshed {

namespace {

// Scales, as 1 : this and closer.
constexpr double kBasin = 60'000.0;  // single roofs are dots
constexpr double kStreet = 12'000.0;
constexpr double kProperty = 5'000.0;
constexpr double kNamed = 2'000.0;  // ids and numbers have room
constexpr double kClose = 1'500.0;

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

constexpr int kFigures = 3;

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
    Row::list_columns([&](const auto&... columns) { (look(columns), ...); });
    return found;
}

TextPart words(std::string text) {
    return {.column = false, .text = std::move(text)};
}

template <typename Row, typename Member>
TextPart value(Member Row::*member) {
    return {.column = true, .text = name(member)};
}

// What a coded word means.
template <typename Row, typename Member>
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

TextLine quantity(std::string before, const Shown& shown, const std::string& after = "") {
    return {.parts = {words(std::move(before)), shown.value(), words(" " + shown.unit + after)}};
}

// That of a roof where it lies in no parcel.
template <typename Row>
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
constexpr Levels kByParcel{PadLevel::parcel, PadLevel::roof};
constexpr Levels kByRoof{PadLevel::roof, PadLevel::parcel};

// --- Parcels

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
        {.parts = {{.column = true, .text = name(&ParcelRow::ask_first), .until = ". Ask "}}},
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

// --- Roofs

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

// --- Pads, their ground, pipes, use points

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

struct TableStyle {
    std::string_view table;
    MapStyle style;
};

auto styles_for(const StyleChoice& choice) {
    const Levels& level = choice.with_parcels ? kByParcel : kByRoof;
    return std::array{TableStyle{RoofRow::kTable.name, choice.with_parcels ? roof_style_by_parcels(choice.us)
                                                                           : roof_style_by_roofs(choice.us)},
                      TableStyle{PadRow::kTable.name, pad_style(level, choice.us)},
                      TableStyle{PadGroundRow::kTable.name, pad_ground_style(level, choice.us)},
                      TableStyle{PipeRow::kTable.name, pipe_style(level, choice.us)},
                      TableStyle{UsePointRow::kTable.name, use_point_style()},
                      TableStyle{ParcelRow::kTable.name, parcel_style(choice.us)}};
}

}  // namespace

const MapStyle* style_of(std::string_view table, const StyleChoice& choice) {
    static const std::array kAll{styles_for({false, false}), styles_for({false, true}), styles_for({true, false}),
                                 styles_for({true, true})};
    const auto& styles = kAll.at((choice.with_parcels ? 2U : 0U) + (choice.us ? 1U : 0U));
    const auto found = std::ranges::find(styles, table, &TableStyle::table);
    return found == styles.end() ? nullptr : &found->style;
}

}  // namespace eaveshed
