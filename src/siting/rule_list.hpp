// The rules of a pad's place, each an entry and its test. A new rule is its reason in core/outcomes.hpp and a type
// here, put into the list at the place of its reason; the rest follows. Private to the module.
//
// The list is in the order ground, level, runs, place, pad of what the tests ask, `limit` being the value of the
// entry's setting (0 without one). A test says what falls out. It is one of
//   fails(GroundAsked, limit)              the slope of a cell: the pad's own, and those under the tanks of a row,
//   fails(Levelled, limit)                 the ground that is cut level for the tanks,
//   squares(RowAsked, cols, out)           cells of a row to whose centre a shape is nearer than the limit and the
//   radius
//                                          of the tanks' ground around it: `out` becomes the squared distances,
//   fails(PlaceAsked, limit)               a circle of the tanks' ground among the shapes around it,
//   fails(Pad, limit)                      the heights of the pad.
// One rule, the first after those of the ground and its level, says instead which runs of a row it keeps: what lies
// outside them, mostly much, is counted without a look at the single cells. What a rule says of rows it says again of
// any place, in fails_anywhere(PlaceAsked, limit): a row's tanks stand beside the cell. Its fails(PlaceAsked) is then
// the rest that rows do not tell.
#pragma once

#include <cmath>
#include <cstdint>
#include <span>
#include <tuple>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/siting/pad.hpp"
#include "eaveshed/siting/siting_rule.hpp"

namespace eaveshed {

struct GroundAsked {
    double slope = 0.0;  // m per m; NaN where an elevation is missing
};

struct RowAsked {
    const PadSite& site;
    std::int64_t row = 0;
};

struct PlaceAsked {
    const PadSite& site;
    Place place;
    double radius_m = 0.0;  // of the tanks' ground around it
};

struct ElevationGapRule {
    static constexpr SitingRule kEntry{
        .reason = PadReason::elevation_gap,
        .asks =
            "has an elevation, and so have the cells that its slope needs, those under a cluster, and those under "
            "each tank of a row with what their slopes need",
        .also = {"siting.slope_window_m", "siting.pad_margin_m"}};
    static bool fails(const GroundAsked& ground, double) { return std::isnan(ground.slope); }
    static bool fails(const Levelled& level, double) { return std::isnan(level.cut_m); }
};

struct SlopeRule {
    static constexpr SitingRule kEntry{.reason = PadReason::slope,
                                       .asks = "is no steeper than the limit, nor is a cell with a tank of a row",
                                       .limit = "siting.max_slope_pct",
                                       .also = {"siting.slope_window_m"},
                                       .visit_settles = "slope"};
    static bool fails(const GroundAsked& ground, double max_slope_pct) {
        return ground.slope * kPercent > max_slope_pct;
    }
};

struct CutRule {
    static constexpr SitingRule kEntry{.reason = PadReason::cut,
                                       .asks = "is levelled for all tanks by a cut no deeper than the limit",
                                       .limit = "siting.max_cut_m",
                                       .also = {"siting.pad_margin_m", "siting.slope_window_m"},
                                       .visit_settles = "cut"};
    static bool fails(const Levelled& level, double max_cut_m) { return level.cut_m > max_cut_m; }
};

// Keeps the runs inside the parcel; without one every cell that is nearer to no other footprint.
struct ParcelRule {
    static constexpr SitingRule kEntry{.reason = PadReason::parcel,
                                       .asks =
                                           "has the middle of the tank, of the cluster, or of every tank of a row "
                                           "in the parcel; without a parcel, no nearer to another footprint than "
                                           "to the roof",
                                       .visit_settles = "parcel"};
    static void keeps(const RowAsked& at, Spans& out) { at.site.surroundings->in_parcel(at.row, out); }
    static bool fails(const PlaceAsked& at, double) { return !at.site.surroundings->belongs(at.place); }
    static bool fails_anywhere(const PlaceAsked& at, double) {
        return !at.site.surroundings->in_parcel(at.place) || !at.site.surroundings->belongs(at.place);
    }
};

struct BoundarySetbackRule {
    static constexpr SitingRule kEntry{.reason = PadReason::boundary_setback,
                                       .asks = "keeps the tanks' ground at least the limit from the parcel's edge",
                                       .limit = "siting.boundary_setback_m",
                                       .also = {"siting.pad_margin_m"},
                                       .visit_settles = "setbacks"};
    static void squares(const RowAsked& at, const Span& cols, std::span<double> out) {
        at.site.surroundings->boundary_squares(at.row, cols, out);
    }
    static bool fails_anywhere(const PlaceAsked& at, double setback_m) {
        return at.site.surroundings->near_boundary(at.place, setback_m + at.radius_m);
    }
};

struct BuildingSetbackRule {
    static constexpr SitingRule kEntry{.reason = PadReason::building_setback,
                                       .asks = "keeps the tanks' ground at least the limit from every footprint",
                                       .limit = "siting.building_setback_m",
                                       .also = {"siting.pad_margin_m"},
                                       .visit_settles = "setbacks"};
    static void squares(const RowAsked& at, const Span& cols, std::span<double> out) {
        at.site.surroundings->building_squares(at.row, cols, out);
    }
    static bool fails_anywhere(const PlaceAsked& at, double setback_m) {
        return at.site.surroundings->near_buildings(at.place, setback_m + at.radius_m);
    }
};

// Each stream and exclusion brings its own setback.
struct StreamSetbackRule {
    static constexpr SitingRule kEntry{.reason = PadReason::stream_setback,
                                       .asks = "keeps the tanks' ground at least the limit from every stream",
                                       .limit = "siting.stream_setback_m",
                                       .also = {"siting.pad_margin_m"},
                                       .visit_settles = "setbacks"};
    static bool fails(const PlaceAsked& at, double) { return at.site.obstacles->near_stream(at.place, at.radius_m); }
};

struct ExclusionRule {
    static constexpr SitingRule kEntry{
        .reason = PadReason::exclusion,
        .asks =
            "keeps the tanks' ground outside every exclusion area and at least its limit from it, and from every "
            "exclusion line and point",
        .limit = "exclusions.setback_m",
        .also = {"siting.pad_margin_m"},
        .visit_settles = "exclusions"};
    static bool fails(const PlaceAsked& at, double) { return at.site.obstacles->near_exclusion(at.place, at.radius_m); }
};

struct LiftRule {
    static constexpr SitingRule kEntry{
        .reason = PadReason::lift,
        .asks = "needs no pump that lifts the water into the tank by more than the limit",
        .limit = "siting.max_lift_m",
        .also = {"siting.fill_loss_m", "siting.fill_gradient"}};
    static bool fails(const Pad& pad, double max_lift_m) { return pad.fill_margin_m < -max_lift_m; }
};

struct FeedLiftRule {
    static constexpr SitingRule kEntry{
        .reason = PadReason::feed_lift,
        .asks = "needs no pump that lifts the water from its reserve level to the tap by more than the limit",
        .limit = "siting.max_feed_lift_m",
        .also = {"siting.outlet_height_m", "siting.tap_height_m"}};
    static bool fails(const Pad& pad, double max_feed_lift_m) { return pad.feed.static_head_m < -max_feed_lift_m; }
};

inline constexpr std::tuple<ElevationGapRule, SlopeRule, CutRule, ParcelRule, BoundarySetbackRule, BuildingSetbackRule,
                            StreamSetbackRule, ExclusionRule, LiftRule, FeedLiftRule>
    kRuleList;

}  // namespace eaveshed
