// method.md 6.1 to 6.20 once more on whole basins: for every roof the plain search over all cells
// (tests/siting/search_oracle.hpp) has to choose the cell that the production search chose, with the same option, or
// give the same reason for none. Also on the project that EAVESHED_PLAIN_SEARCH names: scripts/sweep makes a large
// basin for it.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>

#include "eaveshed/core/quantile.hpp"
#include "eaveshed/creeks/make_creeks.hpp"
#include "eaveshed/feed/tile_loader.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/site/evaluate_roofs.hpp"
#include "eaveshed/site/place.hpp"
#include "eaveshed/tile/evaluate.hpp"
#include "run/run_project.hpp"
#include "siting/search_oracle.hpp"

namespace eaveshed {
namespace {

using testing::Oracle;
using testing::OracleAnswer;
using testing::World;

constexpr double kReachM = 190.0;  // beyond it no building, stream or exclusion of the shipped rules can matter

// The cells around a roof as a grid of their own, and where they lie in the whole one.
struct Window {
    CellRange range;
    Box box;  // in the terrain's CRS
};

Window window_of(const TileRoof& roof, const TileInput& tile, const RoofCells& cells) {
    const LocalFrame frame = tile.metric.frame_at(roof.interior);
    const auto grown = [&](double metres) {
        return bounds(roof.outline).grown(metres / frame.metres_per_x, metres / frame.metres_per_y);
    };
    Window window;
    window.box = grown(kReachM);
    window.range = tile.terrain.grid().cells_around(grown(60.0));
    window.range.row_begin = std::max<std::int64_t>(0, window.range.row_begin - cells.reach.rim());
    window.range.col_begin = std::max<std::int64_t>(0, window.range.col_begin - cells.reach.rim());
    window.range.row_end = std::min(tile.terrain.grid().rows, window.range.row_end + cells.reach.rim());
    window.range.col_end = std::min(tile.terrain.grid().cols, window.range.col_end + cells.reach.rim());
    return window;
}

// A stream as its edges near the roof: the others are out of every setback's reach.
void add_obstacle(const Obstacle& obstacle, const Box& near, World& world) {
    if (!obstacle.area.parts.empty() && bounds(obstacle).intersects(near)) {
        world.obstacles.push_back(obstacle);
    }
    for (std::size_t i = 1; i < obstacle.line.size(); ++i) {
        Obstacle edge = obstacle;
        edge.line = {obstacle.line[i - 1], obstacle.line[i]};
        if (bounds(edge).intersects(near)) {
            world.obstacles.push_back(std::move(edge));
        }
    }
}

World world_around(const TileRoof& roof, const TileParcel* parcel, const TileInput& tile, const TileRules& rules) {
    const RoofCells cells = roof_cells(roof, tile.terrain.grid(), tile.metric, *rules.settings);
    const Window window = window_of(roof, tile, cells);
    const Grid& whole = tile.terrain.grid();
    World world;
    world.grid = whole;
    world.grid.x_min = whole.x_min + static_cast<double>(window.range.col_begin) * whole.cell_width;
    world.grid.y_max = whole.y_max - static_cast<double>(window.range.row_begin) * whole.cell_height;
    world.grid.rows = window.range.rows();
    world.grid.cols = window.range.cols();
    world.elev_m = tile.terrain.patch(window.range).values;
    world.metric = tile.metric;
    world.roof = roof.outline;
    if (parcel != nullptr && !parcel->outline.empty()) {
        world.parcel = parcel->outline;
    }
    for (const Building& other : tile.buildings) {
        if (other.ordinal != roof.ordinal && bounds(other.outline).intersects(window.box)) {
            world.others.push_back(other);
        }
    }
    for (const Obstacle& obstacle : tile.obstacles) {
        add_obstacle(obstacle, window.box, world);
    }
    world.rules = rules.pad;
    const double larger_side_m = std::max(cells.sides.width_m, cells.sides.height_m);
    const double rmse_m = rules.settings->terrain.rmse_m.value_or(std::max(0.15, 0.1 * larger_side_m));
    world.rules.elevation_sd_m = elevation_sd_m(rmse_m, tile.terrain_step_m);
    world.slope_reach = cells.reach.slope;
    return world;
}

// The text of "Use point" and "Garden cells", over every cell of the window.
struct PlainGarden {
    const World& world;
    const Oracle& oracle;
    const LocalFrame& frame;
    Cell corner;  // of the window in the whole grid
    std::int64_t step = 1;

    [[nodiscard]] bool is_garden(Cell cell) const {
        if ((cell.row + corner.row) % step != 0 || (cell.col + corner.col) % step != 0) {
            return false;
        }
        const Point crs = world.grid.centre(cell);
        const Point metres = frame.to_metres(crs);
        const double own = distance_to_area(frame.to_metres(world.roof), metres);
        const double slope = oracle.horn(cell);
        if (own > 60.0 || std::isnan(oracle.z(cell.row, cell.col)) || std::isnan(slope) || slope * 100.0 > 20.0) {
            return false;
        }
        if (world.parcel ? !contains(*world.parcel, crs) : oracle.nearest_building(own, metres) < own) {
            return false;
        }
        return !contains(world.roof, crs) &&
               std::ranges::none_of(world.others, [&](const Building& b) { return contains(b.outline, crs); });
    }

    // The cell in place of a use point that was not given: half of the garden lies no higher.
    [[nodiscard]] std::optional<Cell> use_cell(Point interior) const {
        std::vector<std::pair<double, Cell>> cells;
        for (std::int64_t row = 0; row < world.grid.rows; ++row) {
            for (std::int64_t col = 0; col < world.grid.cols; ++col) {
                if (is_garden({row, col})) {
                    cells.emplace_back(oracle.z(row, col), Cell{row, col});
                }
            }
        }
        if (cells.empty()) {
            return std::nullopt;
        }
        std::ranges::sort(cells);
        const double wanted = cells[(cells.size() + 1) / 2 - 1].first;
        std::optional<Cell> best;
        double nearest = 0.0;
        for (const auto& [elevation, cell] : cells) {
            const Point metres = frame.to_metres(world.grid.centre(cell));
            const Point from = frame.to_metres(interior);
            const double distance = std::hypot(metres.x - from.x, metres.y - from.y);
            if (elevation == wanted && (!best || distance < nearest)) {
                best = cell;
                nearest = distance;
            }
        }
        return best;
    }
};

struct Tally {
    std::size_t pads = 0;
    std::size_t smaller = 0;
    std::size_t without = 0;
    std::size_t no_use_point = 0;
    std::size_t given_use_point = 0;
    std::size_t clusters = 0;
    std::size_t rows = 0;
};

class PlainBasin {
public:
    explicit PlainBasin(const std::string& project_file)
        : m_project(load_project(project_file, m_findings)),
          m_inputs(open_inputs(m_project, m_findings)),
          m_creeks(make_creeks(m_project, m_inputs, {}, m_findings, m_progress)),
          m_plan(make_plan(m_project, m_inputs, m_creeks, m_folder.path(), {}, m_findings, m_progress)),
          m_climate(read_climate(m_project, m_inputs, m_plan, {}, m_findings)),
          m_rules(rules_from(m_project.settings)) {}

    Tally search_every_roof() {
        const RunRasters rasters(m_inputs);
        TileLoader loader(m_project, m_inputs, m_plan, m_climate, rasters);
        for (const PlannedTile& planned : m_plan.tiles) {
            const TileInput tile = loader.load(planned);
            for (const TileSite& site : tile.sites) {
                for (const TileRoof& roof : site.roofs) {
                    SCOPED_TRACE(m_plan.footprint(static_cast<std::uint32_t>(roof.ordinal)).roof_id);
                    compare(roof, site.parcel ? &*site.parcel : nullptr, tile);
                }
            }
        }
        return m_tally;
    }

private:
    void compare(const TileRoof& roof, const TileParcel* parcel, const TileInput& tile) {
        const ComputedRoof computed = evaluate_roof(roof, parcel, tile, m_rules);
        if (!computed.ok() || !computed.eave || !computed.water.recommended || roof.facts.pad_place()) {
            return;  // a place that was measured is not searched for
        }
        World world = world_around(roof, parcel, tile, m_rules);
        world.eave_elev_m = computed.eave->elev_m;
        world.eave_sd_m = computed.eave->sd_m;
        const CellRange range =
            window_of(roof, tile, roof_cells(roof, tile.terrain.grid(), tile.metric, *m_rules.settings)).range;
        const Cell corner{range.row_begin, range.col_begin};
        if (set_use_point(roof, parcel, tile, corner, world)) {
            compare_pads(computed, corner, tile.metric.frame_at(roof.interior), world);
        } else {
            ++m_tally.no_use_point;
            EXPECT_EQ(computed.result.roof.no_pad_reason, PadReason::no_use_point);
        }
    }

    bool set_use_point(const TileRoof& roof, const TileParcel* parcel, const TileInput& tile, Cell corner,
                       World& world) {
        const auto use = parcel != nullptr ? parcel->facts.use_point() : std::nullopt;
        if (use && !std::isnan(tile.terrain.sample(*use))) {
            world.use = *use;
            world.use_elev_m = tile.terrain.sample(world.use);
            ++m_tally.given_use_point;
            return true;
        }
        const LocalFrame frame = tile.metric.frame_at(roof.interior);
        const Oracle oracle(world, frame);
        const RoofCells cells = roof_cells(roof, tile.terrain.grid(), tile.metric, *m_rules.settings);
        const auto cell = PlainGarden{world, oracle, frame, corner, cells.garden_step}.use_cell(roof.interior);
        if (cell) {
            world.use = world.grid.centre(*cell);
            world.use_elev_m = oracle.z(cell->row, cell->col);
        }
        return cell.has_value();
    }

    // The recommended option, then the next smaller ones, until one has a place.
    void compare_pads(const ComputedRoof& computed, Cell corner, const LocalFrame& frame, World& world) {
        const std::size_t recommended = *computed.water.recommended;
        std::optional<PadReason> reason;
        for (std::size_t option = recommended + 1; option-- > 0;) {
            world.tanks = tanks_of(m_rules.options[option], *m_rules.settings);
            const OracleAnswer plain = Oracle(world, frame).answer();
            if (!plain.eligible.empty()) {
                m_tally.smaller += option != recommended ? 1U : 0U;
                expect_pad(computed, option, plain.eligible.front(), corner);
                return;
            }
            if (!reason) {
                reason = static_cast<PadReason>(std::ranges::max_element(plain.removed) - plain.removed.begin());
            }
        }
        ++m_tally.without;
        EXPECT_FALSE(computed.pad);
        EXPECT_EQ(computed.result.roof.no_pad_reason, reason);
    }

    void expect_pad(const ComputedRoof& computed, std::size_t option, const testing::OraclePad& plain, Cell corner) {
        ++m_tally.pads;
        m_tally.clusters += plain.arrangement == 1 ? 1U : 0U;
        m_tally.rows += plain.arrangement == 2 ? 1U : 0U;
        ASSERT_TRUE(computed.pad);
        EXPECT_EQ(computed.option, option);
        const Pad& pad = *computed.pad;
        EXPECT_EQ(pad.cell, (Cell{plain.cell.row + corner.row, plain.cell.col + corner.col}));
        EXPECT_EQ(static_cast<int>(pad.arrangement), plain.arrangement);
        EXPECT_NEAR(pad.cut_m, plain.cut_m, 1e-9);
        EXPECT_NEAR(pad.row_bearing_deg, plain.bearing_deg, 1.1e-6);
        EXPECT_EQ(pad.rank.stage, plain.stage);
        EXPECT_EQ(static_cast<int>(pad.rank.feed), plain.feed);
        EXPECT_NEAR(pad.pad_elev_m, plain.pad_elev_m, 1e-9);
        EXPECT_NEAR(pad.fill_margin_m, plain.margin_m, 1e-9);
        EXPECT_NEAR(pad.feed.pressure_kpa, plain.exact_kpa, 1e-9);
    }

    testing::TempFolder m_folder;
    Findings m_findings;
    Progress m_progress{ProgressStyle::none};
    Project m_project;
    OpenInputs m_inputs;
    Creeks m_creeks;
    Plan m_plan;
    BasinClimate m_climate;
    TileRules m_rules;
    Tally m_tally;
};

TEST(PlainSearch, ChoosesTheSameCellForEveryRoofOfTheDemoBasin) {
    const Tally tally = PlainBasin(demo_project()).search_every_roof();
    EXPECT_GT(tally.pads, 200U);
    EXPECT_GT(tally.smaller, 0U);
    EXPECT_GT(tally.without, 10U);
    EXPECT_GT(tally.given_use_point, 10U);
    EXPECT_GT(tally.clusters, 0U);
    EXPECT_GT(tally.rows, 0U);
}

TEST(PlainSearch, ChoosesTheSameCellForEveryRoofOfTheProjectNamed) {
    const char* const project = std::getenv("EAVESHED_PLAIN_SEARCH");
    if (project == nullptr) {
        GTEST_SKIP() << "EAVESHED_PLAIN_SEARCH names no project: scripts/sweep runs this on a large basin";
    }
    const Tally tally = PlainBasin(project).search_every_roof();
    std::cout << tally.pads << " pads, " << tally.clusters << " clusters, " << tally.rows << " rows, " << tally.smaller
              << " of them for smaller storage, " << tally.without << " roofs without a place, " << tally.no_use_point
              << " without a garden\n";
    EXPECT_GT(tally.pads, 0U);
}

}  // namespace
}  // namespace eaveshed
