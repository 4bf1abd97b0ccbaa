#include "eaveshed/site/site_survey.hpp"

#include <algorithm>
#include <cmath>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/hydraulics/certainty.hpp"
#include "eaveshed/site/pad_notes.hpp"
#include "eaveshed/site/pipes.hpp"
#include "eaveshed/siting/garden.hpp"
#include "eaveshed/vicinity/site_terrain.hpp"
#include "eaveshed/vicinity/surroundings.hpp"

namespace eaveshed {

namespace {

const MultiPolygon* outline_of(const TileParcel* parcel) {
    return parcel != nullptr && !parcel->outline.empty() ? &parcel->outline : nullptr;
}

Reaches reaches(const Settings& settings) {
    const SitingSettings& siting = settings.siting;
    return {.roof_m = std::max(siting.max_fill_m, siting.max_feed_m),
            .setback_m = std::max(siting.boundary_setback_m, siting.building_setback_m) + widest_pad_m(settings),
            .tanks_m = tank_reach_m(settings)};
}

// Where a roof has a parcel, nothing is farther from it than tanks beside its outermost cells can be asked about.
std::vector<const Building*> buildings_near(const TileRoof& roof, const MultiPolygon* parcel, const TileInput& tile,
                                            const Settings& settings) {
    Box box = buildings_needed(roof, tile.metric, settings);
    if (parcel != nullptr) {
        const double reach_m = Surroundings::farthest_building_m(reaches(settings));
        const LocalFrame frame = tile.metric.frame_at(roof.interior);
        const Grid& grid = tile.terrain.grid();
        constexpr double kCells = 2.0;  // outermost cells lie a cell outside the parcel's box
        const Box near = bounds(*parcel).grown(reach_m / frame.metres_per_x + kCells * grid.cell_width,
                                               reach_m / frame.metres_per_y + kCells * grid.cell_height);
        box = {std::max(box.x_min, near.x_min), std::max(box.y_min, near.y_min), std::min(box.x_max, near.x_max),
               std::min(box.y_max, near.y_max)};
    }
    std::vector<const Building*> near;
    const auto add = [&](const Building& building) {
        if (building.ordinal != roof.ordinal && building.bounds().intersects(box)) {
            near.push_back(&building);
        }
    };
    if (tile.building_index.empty()) {
        std::ranges::for_each(tile.buildings, add);
    } else {
        for (const std::uint32_t i : tile.building_index.query(box)) {
            add(tile.buildings[i]);
        }
    }
    return near;
}

std::vector<const Obstacle*> obstacles_near(const TileRoof& roof, const TileInput& tile, const Settings& settings) {
    const Box box = obstacles_needed(roof, tile.metric, settings);
    std::vector<const Obstacle*> near;
    for (const Obstacle& obstacle : tile.obstacles) {
        if (bounds(obstacle).intersects(box)) {
            near.push_back(&obstacle);
        }
    }
    return near;
}

std::optional<UsePointRow> given_use_point(const TileParcel* parcel, const TileInput& tile) {
    const auto place = parcel != nullptr ? parcel->facts.use_point() : std::nullopt;
    if (!place) {
        return std::nullopt;
    }
    const double elevation = tile.terrain.sample(*place);
    if (std::isnan(elevation)) {
        return std::nullopt;
    }
    UsePointRow row;
    row.place = *place;
    row.use_elev_m = elevation;
    return row;
}

}  // namespace

SiteSurvey::SiteSurvey(const TileRoof& roof, const TileParcel* parcel, const TileInput& tile, const TileRules& rules,
                       const Eave& eave, const SharedSurveys& shared)
    : m_roof(roof),
      m_tile(tile),
      m_settings(*rules.settings),
      m_window(rules.window),
      m_rules(rules.pad),
      m_eave(eave),
      m_cells(roof_cells(roof, tile.terrain.grid(), tile.metric, m_settings)),
      m_frame(tile.metric.common_frame_at(roof.interior)),
      m_surroundings(m_frame, tile.terrain.grid(),
                     cells_in_reach(roof, tile.terrain.grid(), tile.metric, m_settings.siting),
                     {&roof.outline, outline_of(parcel), buildings_near(roof, outline_of(parcel), tile, m_settings)},
                     reaches(m_settings)),
      m_same_ground(shared.same_parcel != nullptr && shares_ground_with(*shared.same_parcel) ? shared.same_parcel
                                                                                             : nullptr),
      m_terrain(terrain_of_site()),
      m_obstacles(m_frame, obstacles_near(roof, tile, m_settings), pad_places(roof, tile.metric, m_settings),
                  obstacle_reach_m(m_settings)),
      m_garden(garden_of_site()),
      m_verdicts(shared.verdicts) {
    const SitingSettings& siting = m_settings.siting;
    const auto pad_place = roof.facts.pad_place();
    m_pad_cell = pad_place ? tile.terrain.grid().cell_at(*pad_place) : std::nullopt;
    m_rules.elevation_sd_m = elevation_sd_m(elevation_rmse_m(m_cells.sides, m_settings.terrain), tile.terrain_step_m);
    m_use_point = given_use_point(parcel, tile);
    if (m_use_point) {
        return;
    }
    if (const auto cell = assumed_use_cell(m_garden->cells, *m_terrain, m_frame.to_metres(roof.interior),
                                           siting.garden_percentile / kPercent)) {
        UsePointRow row;
        row.place = tile.terrain.grid().centre(cell->cell);
        row.use_elev_m = cell->elev_m;
        row.assumed = true;
        m_use_point = row;
    }
}

bool SiteSurvey::shares_ground_with(const SiteSurvey& other) const {
    return m_surroundings.has_parcel() && m_frame == other.m_frame &&
           m_surroundings.own() == other.m_surroundings.own();
}

std::shared_ptr<const SiteTerrain> SiteSurvey::terrain_of_site() const {
    return m_same_ground != nullptr ? m_same_ground->m_terrain
                                    : std::make_shared<const SiteTerrain>(m_tile.terrain, m_tile.metric, m_frame,
                                                                          m_surroundings.own(), m_cells.reach);
}

std::shared_ptr<const SiteSurvey::Garden> SiteSurvey::garden_of_site() const {
    const SitingSettings& siting = m_settings.siting;
    const auto whole_parcel = [&](const SiteSurvey& survey) {
        return survey.m_surroundings.all_near_roof(siting.max_feed_m);
    };
    if (m_same_ground != nullptr && whole_parcel(*this) && whole_parcel(*m_same_ground)) {
        return m_same_ground->m_garden;
    }
    Garden garden;
    garden.cells = garden_cells(*m_terrain, m_surroundings,
                                {.max_feed_m = siting.max_feed_m,
                                 .max_slope_pct = siting.garden_max_slope_pct,
                                 .step_cells = m_cells.garden_step});
    garden.elev_m.reserve(garden.cells.size());
    for (const GardenCell& cell : garden.cells) {
        garden.elev_m.push_back(cell.elev_m);
    }
    std::ranges::sort(garden.elev_m);
    return std::make_shared<const Garden>(std::move(garden));
}

double SiteSurvey::garden_m2() const {
    return static_cast<double>(garden_cell_count()) * m_cells.garden_cell_m2();
}

ElevationWindow SiteSurvey::window(const StorageOption& option) const {
    return elevation_window(m_eave.elev_m, m_use_point.value().use_elev_m.value(), option.tank.height_m,
                            tanks_of(option, m_settings).reserve_depth_m, m_window);
}

// Its own search may have asked nothing yet, or not be there.
std::shared_ptr<const OpenGround> SiteSurvey::known_ground() const {
    return m_search ? m_search->ground() : nullptr;
}

const PadSearch& SiteSurvey::search() const {
    if (!m_search) {
        m_search.emplace(PadSite{.terrain = m_terrain.get(),
                                 .surroundings = &m_surroundings,
                                 .obstacles = &m_obstacles,
                                 .eave_elev_m = m_eave.elev_m,
                                 .eave_sd_m = m_eave.sd_m,
                                 .use_metres = m_frame.to_metres(m_use_point.value().place),
                                 .use_elev_m = m_use_point.value().use_elev_m.value(),
                                 .smaller_cell_side_m = m_cells.sides.smaller_m(),
                                 .verdicts = m_verdicts,
                                 .given_cell = m_pad_cell},
                         m_rules, m_same_ground != nullptr ? m_same_ground->known_ground() : nullptr);
    }
    return *m_search;
}

PadRow SiteSurvey::row_of(const Pad& pad, const StorageOption& option) const {
    const Tanks tanks = tanks_of(option, m_settings);
    const double fill = probability_not_negative(pad.fill_margin_m, pad.fill_sd_m);
    const double feed = probability_not_negative(pad.feed.pressure_kpa - m_rules.minimum_kpa, pad.feed_sd_kpa);
    const auto reach = [&](double kpa) {
        return reach_m2(m_garden->elev_m, m_cells.garden_cell_m2(), pad.pad_elev_m, kpa, tanks, m_rules);
    };
    PadRow row;
    row.place = pad.place.crs;
    row.level = PadLevel::roof;
    row.pad_elev_m = pad.pad_elev_m;
    row.ground_elev_m = pad.ground_elev_m;
    row.slope_pct = pad.slope * kPercent;
    row.cut_m = pad.cut_m;
    row.fill = pad.rank.fill;
    row.feed = pad.rank.feed;
    row.delivery = pad.rank.delivery();
    row.gravity_check = gravity_check(fill, feed);
    row.fill_margin_m = pad.fill_margin_m;
    row.static_head_m = pad.feed.static_head_m;
    row.friction_m = pad.feed.friction_m;
    row.pressure_kpa = pad.feed.pressure_kpa;
    row.pressure_full_kpa = pad.feed.pressure_full_kpa;
    row.fill_distance_m = pad.fill_distance_m;
    row.pipe_m = pad.feed.pipe_m;
    row.use_elev_m = m_use_point.value().use_elev_m;
    row.fill_probability = fill;
    row.feed_probability = feed;
    row.gravity_probability = gravity_probability(fill, feed);
    row.gravity_volume_share = gravity_volume_share(pad.feed, m_rules.minimum_kpa);
    row.reach_10_m2 = reach(10.0);
    row.reach_35_m2 = reach(35.0);
    row.reach_70_m2 = reach(70.0);
    row.garden_m2 = garden_m2();
    row.storage_m3 = option.nominal_m3;
    row.tank_count = option.tank.count;
    row.arrangement = pad.arrangement;
    if (pad.arrangement == Arrangement::row) {
        row.row_length_m = pad.row_span_m + tanks.diameter_m;
        row.row_bearing_deg = m_tile.metric.bearing_in_crs_deg(pad.row_bearing_deg);
    }
    row.pad_radius_m = pad.pad_radius_m;
    row.waived_rule = pad.waived;
    fill_pad_notes(m_roof, m_tile, m_settings, row);
    return row;
}

PipeRow SiteSurvey::fill_pipe(const Pad& pad, const StorageOption& option) const {
    return eaveshed::fill_pipe({.roof = m_roof,
                                .eave_elev_m = m_eave.elev_m,
                                .pad = pad,
                                .tanks = tanks_of(option, m_settings),
                                .distance_m = pad.fill_distance_m,
                                .metres_at = m_roof.interior},
                               m_tile, m_settings);
}

PipeRow SiteSurvey::feed_pipe(const Pad& pad) const {
    PipeRow row;
    row.place = {pad.place.crs, m_use_point.value().place};
    row.level = PadLevel::roof;
    row.kind = PipeKind::feed;
    row.length_m = pad.feed.pipe_m;
    row.start_elev_m = pad.pad_elev_m + m_rules.outlet_height_m;
    row.end_elev_m = m_use_point.value().use_elev_m.value() + m_rules.tap_height_m;
    return row;
}

}  // namespace eaveshed
