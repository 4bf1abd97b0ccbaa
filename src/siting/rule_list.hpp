// The rules of a pad's place, each an entry and its test. A new rule is its reason in core/outcomes.hpp and a type
// here, put into the list at the end; the rest follows. Private to the module.
//
// A test says what falls out, `limit` being the value of the entry's setting (0 without one). It is one of
//   fails(GroundAsked, limit)              the slope of the cell,
//   removes(RunsAsked, limit, out)         runs of cells of a row; `out` is replaced by normal spans,
//   fails(PlaceAsked, limit)               the cell's centre among the shapes around it,
//   fails(Pad, limit)                      the heights of the pad.
// One rule, the first after those of the ground, says instead which runs it keeps: what lies outside them, mostly much,
// is counted without a look at the single cells. A rule may have a test of runs and one of the place.
#pragma once

#include <cmath>
#include <cstdint>
#include <tuple>

#include "eaveshed/siting/pad.hpp"
#include "eaveshed/siting/pad_size.hpp"
#include "eaveshed/siting/siting_rule.hpp"

namespace eaveshed {

inline constexpr double kPercent = 100.0;

struct GroundAsked {
    double slope = 0.0;  // m per m; NaN where an elevation is missing
    double tank_radius_m = 0.0;
};

struct RunsAsked {
    const PadSite& site;
    std::int64_t row = 0;
    double pad_radius_m = 0.0;
};

struct PlaceAsked {
    const PadSite& site;
    Cell cell;
    Place place;
    double pad_radius_m = 0.0;
};

struct ElevationGapRule {
    static constexpr SitingRule kEntry{.reason = PadReason::elevation_gap,
                                       .asks = "has an elevation, and so have the cells that its slope needs",
                                       .also = {"siting.slope_window_m"},
                                       .stricter_with_ground = true};
    static bool fails(const GroundAsked& ground, double) { return std::isnan(ground.slope); }
};

struct SlopeRule {
    static constexpr SitingRule kEntry{.reason = PadReason::slope,
                                       .asks = "is no steeper than the limit",
                                       .limit = "siting.max_slope_pct",
                                       .also = {"siting.slope_window_m"},
                                       .visit_settles = "slope",
                                       .stricter_with_ground = true};
    static bool fails(const GroundAsked& ground, double max_slope_pct) {
        return ground.slope * kPercent > max_slope_pct;
    }
};

struct CutRule {
    static constexpr SitingRule kEntry{.reason = PadReason::cut,
                                       .asks = "is levelled for one tank by a cut no deeper than the limit",
                                       .limit = "siting.max_cut_m",
                                       .also = {"siting.pad_margin_m", "siting.slope_window_m"},
                                       .visit_settles = "cut",
                                       .stricter_with_ground = true};
    static bool fails(const GroundAsked& ground, double max_cut_m) {
        return cut_m(ground.tank_radius_m, ground.slope) > max_cut_m;
    }
};

// Keeps the runs inside the parcel; without one every cell that is nearer to no other footprint.
struct ParcelRule {
    static constexpr SitingRule kEntry{
        .reason = PadReason::parcel,
        .asks = "has its centre in the parcel; without a parcel, is no nearer to another footprint than to the roof",
        .visit_settles = "parcel",
        .stricter_with_ground = true};
    static void keeps(const RunsAsked& at, double, Spans& out) { at.site.surroundings->in_parcel(at.row, out); }
    static bool fails(const PlaceAsked& at, double) { return !at.site.surroundings->belongs(at.place); }
};

struct BoundarySetbackRule {
    static constexpr SitingRule kEntry{.reason = PadReason::boundary_setback,
                                       .asks = "keeps the tanks' ground at least the limit from the parcel's edge",
                                       .limit = "siting.boundary_setback_m",
                                       .also = {"siting.pad_margin_m"},
                                       .visit_settles = "setbacks",
                                       .stricter_with_ground = true};
    static void removes(const RunsAsked& at, double setback_m, Spans& out) {
        at.site.surroundings->near_boundary(at.row, setback_m + at.pad_radius_m, out);
    }
};

struct BuildingSetbackRule {
    static constexpr SitingRule kEntry{.reason = PadReason::building_setback,
                                       .asks = "keeps the tanks' ground at least the limit from every footprint",
                                       .limit = "siting.building_setback_m",
                                       .also = {"siting.pad_margin_m"},
                                       .visit_settles = "setbacks",
                                       .stricter_with_ground = true};
    static void removes(const RunsAsked& at, double setback_m, Spans& out) {
        at.site.surroundings->near_buildings(at.row, setback_m + at.pad_radius_m, out);
    }
};

// Each stream and exclusion brings its own setback.
struct StreamSetbackRule {
    static constexpr SitingRule kEntry{.reason = PadReason::stream_setback,
                                       .asks = "keeps the tanks' ground at least the limit from every stream",
                                       .limit = "siting.stream_setback_m",
                                       .also = {"siting.pad_margin_m"},
                                       .visit_settles = "setbacks",
                                       .stricter_with_ground = true};
    static bool fails(const PlaceAsked& at, double) {
        return at.site.obstacles->near_stream(at.place, at.pad_radius_m);
    }
};

struct ExclusionRule {
    static constexpr SitingRule kEntry{
        .reason = PadReason::exclusion,
        .asks = "keeps the tanks' ground outside every exclusion area and at least its limit from it",
        .limit = "exclusions.setback_m",
        .also = {"siting.pad_margin_m"},
        .visit_settles = "exclusions",
        .stricter_with_ground = true};
    static bool fails(const PlaceAsked& at, double) {
        return at.site.obstacles->near_exclusion(at.place, at.pad_radius_m);
    }
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
