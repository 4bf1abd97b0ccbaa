// A small invented place with a roof on it: whatever holds for the search has to hold here.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

#include "eaveshed/hydraulics/certainty.hpp"
#include "eaveshed/siting/search.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed::testing {

// Plain data first, so that tests can change a thing and look again.
struct World {
    Grid grid{.x_min = 5000.0, .y_max = 9000.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 0, .cols = 0};
    std::vector<double> elev_m;  // row-major
    TerrainMetric metric;
    MultiPolygon roof;
    std::optional<MultiPolygon> parcel;
    std::vector<Building> others;
    std::vector<Obstacle> obstacles;
    double eave_elev_m = 0.0;
    double eave_sd_m = 0.0;
    Point use;
    double use_elev_m = 0.0;
    PadRules rules;
    Tanks tanks;
    std::int64_t slope_reach = 1;
};

// The world as the search wants it. Not copied: its parts point to each other.
class Site {
public:
    explicit Site(const World& world)
        : m_world(world),
          m_frame(world.metric.common_frame_at(middle(world.roof))),
          m_raster(raster_of(world)),
          m_surroundings(m_frame, world.grid,
                         cells_within(world.grid, m_frame, bounds(world.roof), world.rules.max_fill_m),
                         {&world.roof, world.parcel ? &*world.parcel : nullptr, pointers(world.others)},
                         {.roof_m = world.rules.max_fill_m,
                          .setback_m = 30.0,
                          .tanks_m = ground_of(world.tanks, world.rules.pad_margin_m).reach_m()}),
          m_terrain(m_raster, world.metric, m_frame, m_surroundings.own(), reach(world, m_frame)),
          m_obstacles(m_frame, pointers(world.obstacles), world.grid.extent(), 100.0) {}
    Site(const Site&) = delete;
    Site& operator=(const Site&) = delete;

    [[nodiscard]] const SparseRaster& raster() const { return m_raster; }
    [[nodiscard]] const SiteTerrain& terrain() const { return m_terrain; }
    [[nodiscard]] const LocalFrame& frame() const { return m_frame; }
    [[nodiscard]] PadSite pad_site() const {
        return {.terrain = &m_terrain,
                .surroundings = &m_surroundings,
                .obstacles = &m_obstacles,
                .eave_elev_m = m_world.eave_elev_m,
                .eave_sd_m = m_world.eave_sd_m,
                .use_metres = m_frame.to_metres(m_world.use),
                .use_elev_m = m_world.use_elev_m,
                .smaller_cell_side_m = cell_sides(m_world.grid, m_world.metric, m_frame.origin).smaller_m()};
    }
    [[nodiscard]] PadSearch search() const { return PadSearch(pad_site(), m_world.rules); }
    [[nodiscard]] std::optional<Pad> best() const {
        const auto found = search().best(m_world.tanks, 1);
        return found.empty() ? std::nullopt : std::optional(found.front());
    }
    // Every eligible pad, best first.
    [[nodiscard]] std::vector<Pad> all() const {
        return search().best(m_world.tanks, static_cast<std::size_t>(m_world.grid.rows * m_world.grid.cols));
    }

private:
    static TerrainReach reach(const World& world, const LocalFrame& frame) {
        const double side = world.grid.smaller_cell_side() * std::min(frame.metres_per_x, frame.metres_per_y);
        const double tanks = ground_of(world.tanks, world.rules.pad_margin_m).reach_m();
        return {.slope = world.slope_reach, .tanks = static_cast<std::int64_t>(std::ceil(tanks / side)) + 2};
    }
    static Point middle(const MultiPolygon& outline) {
        const Box box = bounds(outline);
        return {0.5 * (box.x_min + box.x_max), 0.5 * (box.y_min + box.y_max)};
    }
    static SparseRaster raster_of(const World& world) {
        SparseRaster raster(world.grid);
        raster.put_block({0, 0}, world.elev_m, false);
        return raster;
    }
    template <typename T>
    static std::vector<const T*> pointers(const std::vector<T>& all) {
        std::vector<const T*> out;
        for (const T& one : all) {
            out.push_back(&one);
        }
        return out;
    }

    const World& m_world;
    LocalFrame m_frame;
    SparseRaster m_raster;
    Surroundings m_surroundings;
    SiteTerrain m_terrain;
    Obstacles m_obstacles;
};

inline MultiPolygon rectangle(double x_min, double y_min, double x_max, double y_max) {
    return {{{{{x_min, y_min}, {x_max, y_min}, {x_max, y_max}, {x_min, y_max}, {x_min, y_min}}, {}}}};
}

inline PadLimits shipped_limits() {
    PadLimits limits;
    limits[PadReason::slope] = 15.0;
    limits[PadReason::cut] = 0.6;
    limits[PadReason::boundary_setback] = 1.5;
    limits[PadReason::building_setback] = 1.5;
    limits[PadReason::lift] = 10.0;
    limits[PadReason::feed_lift] = 10.0;
    return limits;
}

// Rules as shipped, so far as they are written out here.
inline PadRules shipped_rules() {
    const Pipe pipe{.bore_m = 0.032, .hazen_williams_c = 150.0};
    return {.pad_margin_m = 0.3,
            .max_fill_m = 60.0,
            .limits = shipped_limits(),
            .fill_loss_m = 0.3,
            .fill_gradient = 0.01,
            .fill_weight = 2.0,
            .outlet_height_m = 0.1,
            .tap_height_m = 0.6,
            .pipe_slack = 1.1,
            .friction_m_per_m = friction_slope(pipe, litres_per_second(0.25)),
            .filter_loss_kpa = 5.0,
            .required_kpa = 70.0,
            .minimum_kpa = 10.0,
            .pressure_step_kpa = 2.5,
            .lift_step_m = 1.0,
            .elevation_sd_m = elevation_sd_m(0.15, 0.0)};
}

namespace random_parts {

inline void add_terrain(RandomNumbers& random, World& world) {
    world.grid.rows = random.whole(30, 60);
    world.grid.cols = random.whole(30, 60);
    world.grid.cell_width = random.between(0.7, 2.5);
    world.grid.cell_height = random.chance(0.5) ? world.grid.cell_width : random.between(0.7, 2.5);
    world.slope_reach = random.whole(1, 3);
    const double east = random.between(-0.2, 0.2);
    const double north = random.between(-0.2, 0.2);
    const double bump = random.between(0.0, 3.0);
    const bool whole = random.chance(0.3);  // an integer raster has many equal cells
    for (std::int64_t row = 0; row < world.grid.rows; ++row) {
        for (std::int64_t col = 0; col < world.grid.cols; ++col) {
            const double x = static_cast<double>(col) * world.grid.cell_width;
            const double y = static_cast<double>(row) * world.grid.cell_height;
            const double z = 100.0 + east * x - north * y + bump * std::sin(0.15 * x) * std::cos(0.2 * y);
            const bool missing = random.chance(0.01);
            world.elev_m.push_back(missing ? std::numeric_limits<double>::quiet_NaN() : whole ? std::round(z) : z);
        }
    }
}

inline MultiPolygon some_rectangle(RandomNumbers& random, const Box& within, double least, double most) {
    const double x = random.between(within.x_min, within.x_max);
    const double y = random.between(within.y_min, within.y_max);
    return rectangle(x, y, x + random.between(least, most), y + random.between(least, most));
}

inline void add_shapes(RandomNumbers& random, World& world) {
    const Box box = world.grid.extent();
    const double width = box.x_max - box.x_min;
    const double height = box.y_max - box.y_min;
    const Box inner = box.grown(-0.3 * width, -0.3 * height);
    world.roof = some_rectangle(random, inner, 4.0, 12.0);
    if (random.chance(0.7)) {
        const Box roof = bounds(world.roof);
        world.parcel =
            rectangle(roof.x_min - random.between(-2.0, 0.4 * width), roof.y_min - random.between(1.0, 0.4 * height),
                      roof.x_max + random.between(1.0, 0.4 * width), roof.y_max + random.between(1.0, 0.4 * height));
    }
    for (int i = random.whole(0, 3); i > 0; --i) {
        world.others.push_back({static_cast<std::uint64_t>(i), some_rectangle(random, box, 3.0, 15.0)});
    }
    if (random.chance(0.4)) {
        Line stream;
        for (int i = 0; i < 5; ++i) {
            stream.push_back({random.between(box.x_min, box.x_max), random.between(box.y_min, box.y_max)});
        }
        world.obstacles.push_back({.layer = 0, .setback_m = random.between(0.0, 15.0), .line = stream, .area = {}});
    }
    for (int i = random.whole(0, 2); i > 0; --i) {
        world.obstacles.push_back({.layer = static_cast<std::uint32_t>(i),
                                   .setback_m = random.between(0.0, 6.0),
                                   .line = {},
                                   .area = some_rectangle(random, box, 2.0, 20.0)});
    }
    world.use = {random.between(box.x_min, box.x_max), random.between(box.y_min, box.y_max)};
}

}  // namespace random_parts

inline World random_world(std::uint64_t seed) {
    RandomNumbers random(seed);
    World world;
    random_parts::add_terrain(random, world);
    random_parts::add_shapes(random, world);
    world.rules = shipped_rules();
    world.rules.max_fill_m = random.between(10.0, 40.0);
    world.rules.limits[PadReason::slope] = random.between(5.0, 30.0);
    world.rules.elevation_sd_m = elevation_sd_m(0.15, random.chance(0.5) ? 1.0 : 0.0);
    world.eave_elev_m = 100.0 + random.between(-2.0, 6.0);
    world.eave_sd_m = random.between(0.0, 2.0);
    world.use_elev_m = 100.0 + random.between(-16.0, 12.0);
    world.tanks = {.diameter_m = random.between(1.2, 3.0),
                   .height_m = random.between(1.5, 3.0),
                   .count = random.whole(1, 10),
                   .reserve_depth_m = random.chance(0.3) ? random.between(0.0, 1.0) : 0.0};
    return world;
}

}  // namespace eaveshed::testing
