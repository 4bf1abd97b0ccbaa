#include "eaveshed/siting/pad.hpp"

#include <cmath>

#include "eaveshed/hydraulics/certainty.hpp"

namespace eaveshed {

Pad pad_at(const PadGround& ground, const Stand& stand, const PadSite& site, const PadRules& rules,
           const Tanks& tanks) {
    Pad pad;
    pad.cell = ground.cell;
    pad.place = site.terrain->centre(ground.cell);
    pad.ground_elev_m = ground.elev_m;
    pad.slope = ground.slope();
    pad.arrangement = stand.arrangement;
    pad.row_span_m = stand.row_span_m;
    pad.row_bearing_deg = stand.row_bearing_deg;
    pad.pad_elev_m = stand.level.pad_elev_m;
    pad.cut_m = stand.level.cut_m;
    pad.pad_radius_m = stand.radius_m;
    pad.fill_distance_m = site.surroundings->distance_to_roof_m(pad.place);
    pad.fill_margin_m = fill_margin_m(site.eave_elev_m, pad.pad_elev_m, tanks, pad.fill_distance_m, rules);
    const double dx = pad.place.metres.x - site.use_metres.x;
    const double dy = pad.place.metres.y - site.use_metres.y;
    pad.use_distance_m = std::sqrt(dx * dx + dy * dy);
    pad.feed = feed_from(pad.pad_elev_m, {pad.use_distance_m, site.use_elev_m}, tanks, rules);
    const PadCertainty certainty =
        pad_certainty(rules.elevation_sd_m, pad.slope, site.smaller_cell_side_m, site.eave_sd_m);
    pad.pad_sd_m = certainty.pad_sd_m;
    pad.fill_sd_m = certainty.fill_sd_m;
    pad.feed_sd_kpa = certainty.feed_sd_kpa;
    pad.rank = rank_of({.fill_margin_m = pad.fill_margin_m,
                        .fill_sd_m = pad.fill_sd_m,
                        .fill_distance_m = pad.fill_distance_m,
                        .pipe_m = pad.feed.pipe_m,
                        .row_span_m = pad.row_span_m,
                        .pressure_kpa = pad.feed.pressure_kpa,
                        .cell = pad.cell,
                        .arrangement = pad.arrangement},
                       rules);
    return pad;
}

}  // namespace eaveshed
