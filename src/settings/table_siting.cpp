// [siting]: where a tank can stand, and how water gets in and out.
#include "table_parts.hpp"

namespace eaveshed::table_parts {

namespace {

using S = SitingSettings;

constexpr std::array kEaveFrom{
    Term{"mid", "heights count from the median of the ground along the footprint's edge"},
    Term{"low", "heights count from the lowest ground along the edge"},
    Term{"high", "heights count from the highest ground along the edge"},
};

constexpr std::string_view kPlumbing = "common practice in plumbing";
constexpr std::string_view kPipe = "common practice: smooth plastic pipe";

template <auto Member>
Setting number(std::string_view key, std::string_view unit, Range range, std::string_view meaning,
               std::string_view source) {
    return {.section = "siting",
            .key = key,
            .unit = unit,
            .range = range,
            .access = at<&Settings::siting, Member>(),
            .meaning = meaning,
            .source = source};
}

std::vector<Setting> eave_settings() {
    constexpr Range kSd = between(0.0, 10.0);
    return {
        {.section = "siting",
         .key = "eave_from",
         .kind = Kind::choice,
         .access = choice_at<&Settings::siting, &S::eave_from>(kEaveFrom),
         .meaning = "Which ground along the footprint's edge the eave's height is added to.",
         .source = kOwn},
        number<&S::storey_height_m>("storey_height_m", "m", above(0.0, 20.0),
                                    "Height of a storey, for the eave where only storeys are known.", kPractice),
        number<&S::default_eave_height_m>("default_eave_height_m", "m", above(0.0, 100.0),
                                          "Gutter height above the ground where nothing is known of it.", kPractice),
        number<&S::eave_sd_field_m>("eave_sd_field_m", "m", kSd,
                                    "Standard deviation of an eave height that comes from a field.", kOwn),
        number<&S::eave_sd_surface_m>("eave_sd_surface_m", "m", kSd,
                                      "Standard deviation of an eave read from the surface raster.", kOwn),
        number<&S::eave_sd_storeys_m>("eave_sd_storeys_m", "m", kSd,
                                      "Standard deviation of an eave height computed from storeys.", kOwn),
        number<&S::eave_sd_default_m>("eave_sd_default_m", "m", kSd, "Standard deviation of the default eave height.",
                                      kOwn),
    };
}

std::vector<Setting> pad_settings() {
    constexpr Range kSetback = between(0.0, 1000.0);
    constexpr std::string_view kLocal = "common practice; local rules vary";
    return {
        number<&S::pad_margin_m>("pad_margin_m", "m", between(0.0, 50.0),
                                 "Level ground kept free around the tanks of a pad.", kPractice),
        number<&S::slope_window_m>("slope_window_m", "m", between(0.0, 100.0),
                                   "Width over which slope is measured, so that noise of fine rasters averages out.",
                                   "method: Horn 1981 over a wider window"),
        number<&S::max_slope_pct>("max_slope_pct", "%", above(0.0, 1000.0), "Steepest ground a pad may be cut into.",
                                  kPractice),
        number<&S::max_cut_m>("max_cut_m", "m", between(0.0, 50.0),
                              "Deepest cut for levelling the ground of the tanks.", kPractice),
        number<&S::boundary_setback_m>("boundary_setback_m", "m", kSetback,
                                       "Distance from the pad's edge to the parcel's edge.", kLocal),
        number<&S::building_setback_m>("building_setback_m", "m", kSetback,
                                       "Distance from the pad's edge to any building.", kLocal),
        number<&S::stream_setback_m>("stream_setback_m", "m", kSetback, "Distance from the pad's edge to a stream.",
                                     kLocal),
        number<&S::max_fill_m>("max_fill_m", "m", above(0.0, 1000.0),
                               "Greatest horizontal distance from the roof to the pad.", kOwn),
        number<&S::max_feed_m>("max_feed_m", "m", above(0.0, 1000.0),
                               "Greatest horizontal distance from the roof to its garden.", kOwn),
        number<&S::max_lift_m>("max_lift_m", "m", between(0.0, 200.0),
                               "Greatest height by which a pump may have to lift water into the tank.", kOwn),
        number<&S::max_feed_lift_m>("max_feed_lift_m", "m", between(0.0, 200.0),
                                    "Greatest height by which a pump may have to lift water to its use.", kOwn),
        number<&S::lift_step_m>("lift_step_m", "m", above(0.0, 100.0),
                                "Where a pump has to lift the water into the tank, lifts within one such step are "
                                "as good as each other in the choice of a pad.",
                                kOwn),
        number<&S::fill_weight>("fill_weight", "", between(0.0, 100.0),
                                "How many metres of feed pipe one metre of fill line is worth in the choice of a pad.",
                                kOwn),
    };
}

std::vector<Setting> pipe_settings() {
    return {
        number<&S::fill_loss_m>("fill_loss_m", "m", between(0.0, 20.0),
                                "Height lost between gutter and tank top, whatever the distance.", kPlumbing),
        number<&S::fill_gradient>("fill_gradient", "", between(0.0, 1.0),
                                  "Fall that the line from gutter to tank needs, metre on metre.", kPlumbing),
        number<&S::outlet_height_m>("outlet_height_m", "m", between(0.0, 10.0),
                                    "Outlet's height above the tank's floor; water below it is not usable.", kPlumbing),
        number<&S::tap_height_m>("tap_height_m", "m", between(0.0, 20.0),
                                 "Tap's height above the ground at the use point.", kPlumbing),
    };
}

std::vector<Setting> garden_settings() {
    return {
        number<&S::garden_max_slope_pct>("garden_max_slope_pct", "%", above(0.0, 1000.0),
                                         "Steepest ground that counts as garden.", kOwn),
        number<&S::garden_percentile>("garden_percentile", "", between(0.0, 100.0),
                                      "Where no use point is given: the garden's elevation that stands in for it, as a "
                                      "percentile (50 is the middle).",
                                      kOwn),
        number<&S::garden_step_m>("garden_step_m", "m", above(0.0, 100.0), "Spacing of the garden cells looked at.",
                                  kOwn),
    };
}

std::vector<Setting> pressure_settings() {
    constexpr Range kPressure = between(0.0, 1000.0);
    return {
        number<&S::design_flow_lps>("design_flow_lps", "L/s", between(0.0, 100.0),
                                    "Flow at which pipe friction is computed.", kOwn),
        number<&S::pipe_bore_mm>("pipe_bore_mm", "mm", above(0.0, 1000.0), "Inner diameter of the feed pipe.", kPipe),
        number<&S::pipe_slack>("pipe_slack", "", between(1.0, 10.0), "Pipe length over straight-line length.",
                               kPractice),
        number<&S::hazen_williams_c>("hazen_williams_c", "", between(10.0, 200.0),
                                     "Hazen-Williams coefficient of the pipe: greater is smoother.", kPipe),
        number<&S::filter_loss_kpa>("filter_loss_kpa", "kPa", kPressure, "Pressure lost in the irrigation filter.",
                                    kPractice),
        number<&S::required_kpa>("required_kpa", "kPa", kPressure,
                                 "Pressure of an ordinary drip system: this or more counts as gravity feed.",
                                 "common practice: about 10 psi"),
        number<&S::minimum_kpa>("minimum_kpa", "kPa", kPressure,
                                "Least pressure of use, for drip tape or an open hose: below it a pump feeds.",
                                kPractice),
        number<&S::pressure_step_kpa>("pressure_step_kpa", "kPa", above(0.0, 100.0),
                                      "Pads whose pressures lie in the same step are told apart by distance.", kOwn),
    };
}

}  // namespace

void append_siting_settings(std::vector<Setting>& table) {
    for (const auto& part :
         {eave_settings(), pad_settings(), pipe_settings(), garden_settings(), pressure_settings()}) {
        table.insert(table.end(), part.begin(), part.end());
    }
}

}  // namespace eaveshed::table_parts
