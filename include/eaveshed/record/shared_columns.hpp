// Columns that stand in several tables: one text for all. Where a table means something else by one, its list says so:
// `kStorage.as("...")`.
#pragma once

#include "eaveshed/record/field.hpp"

namespace eaveshed::shared {

inline constexpr Field kRoofId{"roof_id", "", "Roof", "Identifier of the footprint.", FilledBy::plan};
inline constexpr Field kParcelId{"parcel_id", "", "Parcel", "Parcel of the roof; null when it lies in none.",
                                 FilledBy::plan};
inline constexpr Field kReachId{"reach_id", "", "Reach",
                                "Reach of the stream that the water left in the ground or creek comes to; null without "
                                "streams.",
                                FilledBy::gather};
inline constexpr Field kReachEntry{"reach_entry", "", "Reach found by", "How that reach was found.", FilledBy::gather};
inline constexpr Field kReachDistance{"reach_distance_m", "m", "Way to the reach",
                                      "Down the slopes to the reach, or straight to it where it was found otherwise.",
                                      FilledBy::gather};
inline constexpr Field kLowFlow{"low_flow_lps", "L/s", "Low flow", "Low flow of the reach, as its line says.",
                                FilledBy::gather};
inline constexpr Field kSubbasinId{"subbasin_id", "", "Sub-basin", "Sub-basin that it stands in; null in none.",
                                   FilledBy::gather};
inline constexpr Field kFlags{"flags", "", "Flags",
                              "How the numbers came about: assumptions, gaps and warnings, sorted."};
inline constexpr Field kPlanArea{"plan_area_m2", "m2", "Plan area", "Horizontal area of the roof on the ellipsoid."};
inline constexpr Field kGroundElev{"ground_elev_m", "m", "Ground elevation",
                                   "Median elevation of the ground along the footprint's edge."};
inline constexpr Field kHarvestMean{"harvest_mean_m3", "m3", "Mean harvest",
                                    "Winter harvest, mean over the tank years."};
inline constexpr Field kHarvestDependable{"harvest_dependable_m3", "m3", "Dependable harvest",
                                          "Winter harvest reached in the share of winters set as reliability."};
inline constexpr Field kDemand{
    "demand_m3", "m3", "Season demand",
    "Summer take of the whole parcel that storage could replace, season mean: not to be summed over roofs."};
inline constexpr Field kStorage{"storage_m3", "m3", "Storage",
                                "Nominal volume of the storage: tank volume times count."};
inline constexpr Field kUsable{"usable_m3", "m3", "Usable storage", "Volume above the outlets."};
inline constexpr Field kTankCount{"tank_count", "1", "Tanks", "Number of equal tanks of the storage."};
inline constexpr Field kLimitedBy{"limited_by", "", "Limited by",
                                  "What keeps the storage from replacing more: demand, tank or roof."};
inline constexpr Field kReplacedMean{"replaced_mean_m3", "m3", "Replaced, mean",
                                     "Diversion replaced in the season, mean over the tank years."};
inline constexpr Field kReplacedDependable{"replaced_dependable_m3", "m3", "Replaced, dependable",
                                           "Diversion replaced in the share of seasons set as reliability; low where "
                                           "dry winters fill little or wet summers ask for little."};
inline constexpr Field kReplacedWorst{
    "replaced_worst_m3", "m3", "Replaced, worst",
    "Least diversion replaced in a season of the record: a dry winter, or a summer that asks for little."};
inline constexpr Field kForbearanceM3{
    "forbearance_m3", "m3", "Forbearance volume",
    "Summer take replaced each season, dependably: water left where it is taken from, also where that is the mains."};
inline constexpr Field kForbearanceLps{"forbearance_lps", "L/s", "Forbearance flow",
                                       "Forbearance volume as a mean flow over the season."};
inline constexpr Field kInstreamGain{"instream_gain_lps", "L/s", "Stream gain",
                                     "Forbearance flow times the share that the creek feels."};
inline constexpr Field kAddedForbearance{"added_forbearance_m3", "m3", "Added forbearance",
                                         "Summer take replaced beyond what storage already there replaces by itself."};
inline constexpr Field kAddedGain{"added_gain_lps", "L/s", "Added gain",
                                  "Added forbearance as a mean flow, times the share that the creek feels."};
inline constexpr Field kArrangement{
    "arrangement", "", "Arrangement",
    "How the tanks stand: single, a cluster on one circle, or a row along the contour."};
inline constexpr Field kSeasonReliability{"season_reliability", "1", "Season reliability",
                                          "Share of seasons whose whole demand is met."};
inline constexpr Field kVolumeReliability{"volume_reliability", "1", "Volume reliability",
                                          "Volume replaced over volume wanted, all seasons."};
inline constexpr Field kFullWintersShare{"full_winters_share", "1", "Full winters",
                                         "Share of tank years in which the storage fills."};
inline constexpr Field kOverflowMean{"overflow_mean_m3", "m3", "Overflow",
                                     "Water that overflows in a tank year, mean."};
inline constexpr Field kDelivery{"delivery", "", "Delivery", "How the water gets in and out: by gravity or by pump."};
inline constexpr Field kGravityCheck{"gravity_check", "", "Gravity check",
                                     "Whether gravity fill and feed are certain: yes, no, cannot_tell."};
inline constexpr Field kGravityProbability{"gravity_probability", "1", "Gravity probability",
                                           "Least probability that both fill and feed need no pump."};
inline constexpr Field kPadElev{"pad_elev_m", "m", "Pad elevation", "Elevation of the levelled pad."};
inline constexpr Field kPressure{"pressure_kpa", "kPa", "Pressure",
                                 "Pressure at the use point with the store down to its reserve."};
inline constexpr Field kLevel{"level", "", "Level", "Whose storage stands here: the roof's or the parcel's."};
inline constexpr Field kPadRadius{
    "pad_radius_m", "m", "Pad radius",
    "Radius of the ground that the tanks need, margin included: of all together, or of each one of a row."};
inline constexpr Field kFillLine{"fill_line", "", "Fill line",
                                 "Whether the line that fills the tank empties itself (dry) or stays full (wet); null "
                                 "where the elevations have a gap "
                                 "on its way. Of several lines to one pad: wet as soon as one is."};
inline constexpr Field kFillDistance{"fill_distance_m", "m", "Fill distance",
                                     "Horizontal distance from the roof to the pad."};
inline constexpr Field kNoPadReason{"no_pad_reason", "", "No pad because", "The rule that left no place for a pad."};
inline constexpr Field kFillMargin{
    "fill_margin_m", "m", "Fill margin",
    "Height left over between gutter and tank top after the losses; negative: to be lifted."};
inline constexpr Field kPipe{"pipe_m", "m", "Feed pipe", "Length of the pipe from the pad to the use point."};
inline constexpr Field kUseElev{"use_elev_m", "m", "Use elevation", "Elevation of the ground at the use point."};
inline constexpr Field kRoadDistance{
    "road_distance_m", "m", "Road distance",
    "Horizontal distance from the pad's centre to the nearest road; null beyond roads.max_distance_m."};
inline constexpr Field kRoadClimb{"road_climb_m", "m", "Road climb",
                                  "Pad above the ground at the road's nearest point; negative: the pad is lower."};
inline constexpr Field kCanopyShare{
    "canopy_share", "1", "Canopy",
    "Share of the ground within the pad's radius under canopy taller than notes.canopy_height_m."};
inline constexpr Field kOptedOut{
    "opted_out", "", "Opted out",
    "Whether the owner of its parcel declined, or asked to be left alone: maps draw nothing of it.", FilledBy::plan};
inline constexpr Field kCoarseElevation{
    "coarse_elevation", "", "Coarse elevation",
    "Whether cells wider than terrain.coarse_cell_m make its place and heights a first guess: maps draw it faintly.",
    FilledBy::gather};

}  // namespace eaveshed::shared
