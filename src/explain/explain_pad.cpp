// The chosen place line by line, and the next best ones.
#include <algorithm>
#include <string>

#include "eaveshed/core/constants.hpp"
#include "explain_parts.hpp"

namespace eaveshed {

namespace {

constexpr double kLeastElevationErrorM = 0.15;  // where terrain.rmse_m is not set; method.md 6.15

// What the pages about one place have at hand.
struct PadPage {
    const ExplainedRoof& roof;
    const SitingExplanation& siting;
    const ExplainedPad& place;
    const Tanks& tanks;

    [[nodiscard]] const Settings& settings() const { return roof.run.project.settings; }
    [[nodiscard]] std::string setting(const char* key) const { return from_setting(settings(), "siting", key); }
};

Fact share(std::string key, std::string label, const std::optional<double>& value, std::string from) {
    return amount(' ', std::move(key), std::move(label), value_of(value), "", 3, std::move(from));
}

constexpr std::array<std::string_view, 5> kStages{
    "surely fills from the gutter and feeds without a pump",
    "fills from the gutter by the elevations as they are, and feeds without a pump",
    "surely fills from the gutter; a pump feeds",
    "fills from the gutter by the elevations as they are; a pump feeds",
    "a pump lifts the water into the tank",
};

std::string_view stage_text(int stage) {
    return kStages.at(static_cast<std::size_t>(stage - 1));
}

// What the pad is level with, and what a circle of ground holds.
struct StandWords {
    const char* lowest = "the pad is level with the lowest edge of its cut";
    const char* cut = "slope x the width of the tank's ground";
    const char* circle = "one tank";
};
StandWords stand_words(Arrangement arrangement) {
    switch (arrangement) {
        case Arrangement::cluster:
            return {"the pad is level with the lowest ground under the circle, its edge on the slope included",
                    "highest less lowest ground under the circle", "all tanks side by side"};
        case Arrangement::row:
            return {"all tanks stand level with the lowest edge of their circles",
                    "highest less lowest edge of all circles", "each tank of the row"};
        case Arrangement::single: break;
    }
    return {};
}

// Each tank of a row with its own ground, and the edges of its circle down and up the slope.
void add_row(const PadPage& page, SectionWriter& section) {
    const ExplainedPad& place = page.place;
    section.add(metres(' ', "row_length_m", "Length of the row", value_of(place.row.row_length_m),
                       "from rim to rim, along the contour"));
    section.add(amount(' ', "row_bearing_deg", "Bearing of the row", value_of(place.row.row_bearing_deg), "deg", 1,
                       "clockwise from the grid's north"));
    section.say("The tanks, counted from the middle of the row to the east and to the north:");
    FactTable table{.key = "tanks",
                    .columns = {{.key = "tank", .label = "\ntank"},
                                {.key = "east_m", .label = "east\n{}", .unit = "m", .decimals = 1},
                                {.key = "north_m", .label = "north\n{}", .unit = "m", .decimals = 1},
                                {.key = "ground_elev_m", .label = "ground\n{}", .unit = "m", .decimals = 2},
                                {.key = "slope_pct", .label = "slope\n%", .decimals = 1},
                                {.key = "lowest_edge_m", .label = "lowest\n{}", .unit = "m", .decimals = 2},
                                {.key = "highest_edge_m", .label = "highest\n{}", .unit = "m", .decimals = 2}},
                    .rows = {}};
    std::int64_t number = 0;
    for (const StandingTank& tank : place.tanks) {
        const double rise_m = place.pad.pad_radius_m * tank.slope;
        table.rows.push_back({++number, tank.centre.metres.x - place.pad.place.metres.x,
                              tank.centre.metres.y - place.pad.place.metres.y, tank.elev_m, tank.slope * 100.0,
                              tank.elev_m - rise_m, tank.elev_m + rise_m});
    }
    section.add(std::move(table));
}

void add_ground(const PadPage& page, Document& document) {
    const PadRow& row = page.place.row;
    const StorageOption& option = page.roof.explanation.options.at(page.roof.explanation.chosen);
    const StandWords words = stand_words(*row.arrangement);
    SectionWriter section(document, "pad_ground", "The chosen place: the ground");
    const QuantityText& units = section.units();
    section.text("chosen_storage", "Storage that stands there", storage_text(option, section.units()));
    section.text("arrangement", "How the tanks stand", named(*row.arrangement));
    if (row.arrangement == Arrangement::row) {
        add_row(page, section);
    }
    section.add(
        metres(' ', "ground_elev_m", "Ground in the middle, uncut", value_of(row.ground_elev_m), "terrain.elevation"));
    section.add(
        metres('-', "to_lowest_edge_m", "down to the lowest edge", *row.ground_elev_m - *row.pad_elev_m, words.lowest));
    section.add(metres('=', "pad_elev_m", "Pad", value_of(row.pad_elev_m), ""));
    section.add(amount(
        ' ', "slope_pct", "Slope", value_of(row.slope_pct), "%", 1,
        fmt::format("over {} (siting.slope_window_m); at most {:g} % (siting.max_slope_pct)",
                    units.plain("m", page.settings().siting.slope_window_m), page.settings().siting.max_slope_pct)));
    section.add(metres(' ', "cut_m", "Cut at its highest", value_of(row.cut_m),
                       fmt::format("{}; at most {} (siting.max_cut_m)", words.cut,
                                   units.plain("m", page.settings().siting.max_cut_m))));
    section.add(metres(
        ' ', "pad_radius_m", "Radius of the ground needed", value_of(row.pad_radius_m),
        fmt::format("{}, {} across, with {} around (siting.pad_margin_m)", words.circle,
                    units.plain("m", page.tanks.diameter_m), units.plain("m", page.settings().siting.pad_margin_m))));
    add_pad_notes(row, page.settings(), section);
    add_pad_duty(row, page.settings(), section);
}

void add_fill(const PadPage& page, Document& document) {
    const PadRow& row = page.place.row;
    SectionWriter section(document, "pad_fill", "The chosen place: in from the gutter");
    section.add(metres(' ', "eave_elev_m", "Gutter", page.roof.explanation.eave->elev_m, ""));
    section.add(metres('-', "pad_elev_m", "Pad", value_of(row.pad_elev_m), ""));
    section.add(metres('-', "tank_height_m", "Tank height", page.tanks.height_m, "the option of the catalogue"));
    section.add(
        metres('-', "fill_loss_m", "Loss on the way in", page.siting.rules.fill_loss_m, page.setting("fill_loss_m")));
    section.add(
        metres('-', "fill_fall_m", "Fall of the line", page.place.fill_fall_m,
               fmt::format("{:g} x {}; {}", page.siting.rules.fill_gradient,
                           section.units().fixed("m", *row.fill_distance_m, 2), page.setting("fill_gradient"))));
    section.add(metres('=', "fill_margin_m", "Fill margin", value_of(row.fill_margin_m),
                       *row.fill_margin_m >= 0.0 ? "left over: the gutter is high enough"
                                                 : "missing: a pump has to lift the water by that much"));
    section.add(
        metres(' ', "fill_distance_m", "Distance from the roof", value_of(row.fill_distance_m), "horizontally"));
    section.add(metres(' ', "elevation_sd_m", "Uncertainty of a cell (sd)", page.siting.rules.elevation_sd_m,
                       (page.settings().terrain.rmse_m
                            ? from_setting(page.settings(), "terrain", "rmse_m")
                            : fmt::format("a tenth of the larger cell side, at least {}, as terrain.rmse_m is not set",
                                          section.units().plain("m", kLeastElevationErrorM))) +
                           "; and the steps of a whole-number raster"));
    section.add(metres(' ', "pad_sd_m", "Uncertainty of the pad (sd)", page.place.pad_sd_m,
                       "and of where in its cell it lies"));
    section.add(metres(' ', "eave_sd_m", "Uncertainty of the gutter (sd)", page.roof.explanation.eave->sd_m, ""));
    section.add(metres(' ', "fill_sd_m", "Uncertainty of the margin (sd)", page.place.pad.fill_sd_m,
                       "root of the sum of squares: pad, ground at the roof, gutter"));
    section.add(metres(' ', "sure_margin_m", "Margin that is surely enough", page.place.sure_margin_m,
                       "1.28 standard deviations: nine times in ten"));
    section.add(share("fill_probability", "Probability that it fills", row.fill_probability, ""));
    section.text("fill", "Fill", named(*row.fill));
}

void add_pressure(const PadPage& page, SectionWriter& section) {
    const PadRow& row = page.place.row;
    const double loss_kpa = page.siting.rules.filter_loss_kpa;
    section.add(amount(' ', "net_head_m", "Head less friction", *row.static_head_m - *row.friction_m, "m", 2, ""));
    section.add(amount(' ', "before_filter_kpa", "the same as pressure", *row.pressure_kpa + loss_kpa, "kPa", 1,
                       fmt::format("{} of water", pressure_of_water(section.units()))));
    section.add(amount('-', "filter_loss_kpa", "Filter", loss_kpa, "kPa", 1, page.setting("filter_loss_kpa")));
    section.add(amount('=', "pressure_kpa", "Pressure, store at its reserve", value_of(row.pressure_kpa), "kPa", 1,
                       "the one that decides"));
    section.add(amount(
        ' ', "pressure_full_kpa", "Pressure, full tanks", value_of(row.pressure_full_kpa), "kPa", 1,
        fmt::format("{} of water more",
                    section.units().fixed("m", page.tanks.drawn_depth_m(page.siting.rules.outlet_height_m), 2))));
    section.add(amount(' ', "required_kpa", "Pressure for ordinary drip", page.siting.rules.required_kpa, "kPa", 1,
                       page.setting("required_kpa")));
    section.add(amount(' ', "minimum_kpa", "Least pressure of use", page.siting.rules.minimum_kpa, "kPa", 1,
                       page.setting("minimum_kpa")));
    section.text("feed", "Feed", named(*row.feed));
    section.add(share("gravity_volume_share", "Part of the water without a pump", row.gravity_volume_share,
                      "drawn while the level still gives the least pressure"));
    section.add(amount(' ', "feed_sd_kpa", "Uncertainty of it (sd)", page.place.pad.feed_sd_kpa, "kPa", 1,
                       "pad and ground at the use point"));
    section.add(share("feed_probability", "Probability of the least pressure", row.feed_probability, ""));
}

void add_feed(const PadPage& page, Document& document) {
    const PadRow& row = page.place.row;
    SectionWriter section(document, "pad_feed", "The chosen place: out to the use point");
    const QuantityText& units = section.units();
    section.add(metres(' ', "pad_elev_m", "Pad", value_of(row.pad_elev_m), ""));
    section.add(metres('+', "outlet_height_m", "Outlet above the pad", page.siting.rules.outlet_height_m,
                       page.setting("outlet_height_m")));
    section.add(metres('+', "reserve_depth_m", "Reserve above the outlet", page.tanks.reserve_depth_m,
                       from_setting(page.settings(), "storage", "reserve_m3")));
    section.add(metres('-', "use_elev_m", "Ground at the use point", value_of(row.use_elev_m), ""));
    section.add(
        metres('-', "tap_height_m", "Tap above it", page.siting.rules.tap_height_m, page.setting("tap_height_m")));
    section.add(metres('=', "static_head_m", "Static head", value_of(row.static_head_m),
                       *row.static_head_m >= 0.0 ? "the water stands above the tap" : "the tap is higher"));
    section.add(metres(' ', "use_distance_m", "Use point from the pad", page.place.pad.use_distance_m, "horizontally"));
    section.add(
        metres(' ', "pipe_m", "Feed pipe", value_of(row.pipe_m),
               fmt::format("the straight way x {:g}; {}", page.siting.rules.pipe_slack, page.setting("pipe_slack"))));
    section.add(amount(
        ' ', "friction_m", "Friction", value_of(row.friction_m), "m", 3,
        fmt::format("Hazen-Williams: {}, bore {}, C {:g} (siting.design_flow_lps, "
                    "pipe_bore_mm, hazen_williams_c): {:.5f} {} a {}",
                    units.plain("L/s", page.settings().siting.design_flow_lps),
                    units.plain("mm", page.settings().siting.pipe_bore_mm), page.settings().siting.hazen_williams_c,
                    page.siting.rules.friction_m_per_m, units.unit("m"), units.length_word())));
    add_pressure(page, section);
    section.say(fmt::format("Of {} of garden, {} lie low enough for {}, {} for {} and {} for {}, before friction.",
                            units.fixed("m2", *row.garden_m2, 0), units.fixed("m2", *row.reach_10_m2, 0),
                            units.plain("kPa", 10.0), units.fixed("m2", *row.reach_35_m2, 0), units.plain("kPa", 35.0),
                            units.fixed("m2", *row.reach_70_m2, 0), units.plain("kPa", 70.0)));
}

void add_result(const PadPage& page, Document& document) {
    const PadRow& row = page.place.row;
    SectionWriter section(document, "pad_result", "The chosen place: what it comes to");
    section.text("delivery", "Delivery", named(*row.delivery));
    section.add(amount(' ', "stage", "Stage of the choice", std::int64_t{page.place.pad.rank.stage}, "", 0,
                       fmt::format("of 5: {}", stage_text(page.place.pad.rank.stage))));
    section.add(share("gravity_probability", "Gravity probability", row.gravity_probability,
                      "fill + feed - 1, the least that both together can have"));
    section.text("gravity_check", "Gravity check", named(*row.gravity_check));
    section.say(
        "Among places of one stage: where a pump has to lift the water into the tank, fewer whole steps of lift "
        "(siting.lift_step_m); then the better feed, then more whole steps of pressure (siting.pressure_step_kpa) as "
        "far as pressure is of use, then the shorter lines, then more pressure, then the northern and western one, "
        "then a cluster before a row.");
    section.add(amount(' ', "useful_kpa", "Most pressure of use", useful_kpa(page.siting.rules), "kPa", 1,
                       "the required one, surely reached"));
    section.add(amount(
        ' ', "weighted_length_m", "Length of the lines", page.place.pad.rank.length_m, "m", 1,
        fmt::format("{:g} x fill distance + feed pipe{}; {}", page.siting.rules.fill_weight,
                    row.arrangement == Arrangement::row ? " + pipe along the row" : "", page.setting("fill_weight"))));
}

std::string worse_text(const ExplainedPad& best, const ExplainedPad& other, const QuantityText& units) {
    const PadRank& a = best.pad.rank;
    const PadRank& b = other.pad.rank;
    switch (deciding_criterion(a, b)) {
        case PadCriterion::stage: return fmt::format("it {} (stage {})", stage_text(b.stage), b.stage);
        case PadCriterion::lift:
            return fmt::format("a pump lifts the water by {} against {}", units.fixed("m", -other.pad.fill_margin_m, 1),
                               units.fixed("m", -best.pad.fill_margin_m, 1));
        case PadCriterion::feed: return fmt::format("its feed {}", meaning_of(b.feed));
        case PadCriterion::pressure_step:
            return fmt::format("{} against {}", units.fixed("kPa", -b.missing_kpa, 1),
                               units.fixed("kPa", -a.missing_kpa, 1));
        case PadCriterion::length:
            return fmt::format("{} of lines, weighted, against {}", units.fixed("m", b.length_m, 1),
                               units.fixed("m", a.length_m, 1));
        case PadCriterion::pressure:
            return fmt::format("{} against {}", units.fixed("kPa", -b.missing_kpa, 2),
                               units.fixed("kPa", -a.missing_kpa, 2));
        case PadCriterion::place:
        case PadCriterion::arrangement: break;
    }
    return "it is as good and lies farther south or east";
}

void add_others(const PadPage& page, Document& document) {
    const auto& places = page.siting.places;
    SectionWriter section(document, "next_best", "The next best places");
    if (places.size() == 1) {
        section.say("No other cell that passes the rules leaves the ground of the chosen place free.");
        return;
    }
    section.say(
        "The best cells whose tanks would stand clear of the places before them; east and north count from the "
        "chosen one:");
    FactTable table{.key = "places",
                    .columns = {{.key = "place", .label = "\nno."},
                                {.key = "pad_elev_m", .label = "pad\n{}", .unit = "m", .decimals = 2},
                                {.key = "fill_distance_m", .label = "away\n{}", .unit = "m", .decimals = 1},
                                {.key = "fill_margin_m", .label = "margin\n{}", .unit = "m", .decimals = 2},
                                {.key = "pressure_kpa", .label = "feed\n{}", .unit = "kPa", .decimals = 1},
                                {.key = "pipe_m", .label = "pipe\n{}", .unit = "m", .decimals = 1},
                                {.key = "slope_pct", .label = "slope\n%", .decimals = 1},
                                {.key = "gravity_probability", .label = "grav.\nprob.", .decimals = 2},
                                {.key = "stage", .label = "\nstage"},
                                {.key = "east_m", .label = "east\n{}", .unit = "m"},
                                {.key = "north_m", .label = "north\n{}", .unit = "m"},
                                {.key = "arrangement", .label = "\nstand"},
                                {.key = "delivery", .label = "\ndelivery"}},
                    .rows = {}};
    std::int64_t number = 0;
    for (const ExplainedPad& place : places) {
        const PadRow& row = place.row;
        const double east = place.pad.place.metres.x - places.front().pad.place.metres.x;
        const double north = place.pad.place.metres.y - places.front().pad.place.metres.y;
        table.rows.push_back({++number, value_of(row.pad_elev_m), value_of(row.fill_distance_m),
                              value_of(row.fill_margin_m), value_of(row.pressure_kpa), value_of(row.pipe_m),
                              value_of(row.slope_pct), value_of(row.gravity_probability),
                              std::int64_t{place.pad.rank.stage}, east, north, std::string(to_text(*row.arrangement)),
                              std::string(to_text(*row.delivery))});
    }
    section.add(std::move(table));
    for (std::size_t i = 1; i < places.size(); ++i) {
        section.say(fmt::format("Place {} comes after the chosen one: {}.", i + 1,
                                worse_text(places.front(), places[i], section.units())));
    }
}

}  // namespace

void add_pad_sections(const ExplainedRoof& roof, Document& document) {
    const auto& siting = roof.explanation.siting;
    if (!siting || siting->places.empty()) {
        return;
    }
    const PadPage page{roof, *siting, siting->places.front(), siting->tried.back().tanks};
    add_ground(page, document);
    add_fill(page, document);
    add_feed(page, document);
    add_result(page, document);
    add_others(page, document);
}

}  // namespace eaveshed
