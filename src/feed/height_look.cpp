#include "eaveshed/feed/height_look.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "eaveshed/core/quantile.hpp"
#include "eaveshed/crs/grid_door.hpp"
#include "eaveshed/progress/two_steps.hpp"
#include "eaveshed/terrain/terrain_metric.hpp"

namespace eaveshed {

namespace {

// The nine cells around a place of a raster, row by row; NaN where there is none.
using Nine = std::array<double, 9>;
struct Sounded {
    Nine nine{};
    bool damaged = false;  // parts of the file that cannot be read: the run would meet them too
};
constexpr std::size_t kMiddle = 4;

// A raster of heights asked under roofs. For one thread at a time.
class Sounding {
public:
    Sounding(const RasterSource& source, const Crs& footprints)
        : m_source(source.another()), m_door(footprints, source.info().crs, source.info().grid, source.info().where) {}

    [[nodiscard]] const RasterInfo& info() const { return m_source.info(); }
    [[nodiscard]] std::optional<Point> place_of(Point footprint) const { return m_door(footprint); }
    // None outside the raster.
    [[nodiscard]] std::optional<Sounded> around(Point place) {
        const Grid& grid = info().grid;
        const auto cell = grid.cell_at(place);
        if (!cell) {
            return std::nullopt;
        }
        const CellRange range =
            CellRange{cell->row, cell->row + 1, cell->col, cell->col + 1}.grown(1).common_with(grid.cells());
        Sounded sounded;
        const std::vector<double> values = m_source.read_with_odd(range, sounded.damaged);
        sounded.nine.fill(kMissing);
        for (std::int64_t row = range.row_begin; row < range.row_end; ++row) {
            for (std::int64_t col = range.col_begin; col < range.col_end; ++col) {
                sounded.nine.at(static_cast<std::size_t>((row - cell->row + 1) * 3 + col - cell->col + 1)) =
                    values.at(static_cast<std::size_t>((row - range.row_begin) * range.cols() + col - range.col_begin));
            }
        }
        return sounded;
    }

private:
    RasterSource m_source;
    GridDoor m_door;
};

bool is_odd(double height_m) {
    return height_m < kLowestHeightM || height_m > kHighestHeightM;
}

// What a raster showed.
struct Soundings {
    std::uint64_t cells = 0;
    std::map<double, std::uint64_t> odd;  // values that no ground has, how often
    std::uint64_t odd_cells = 0;
    std::uint64_t zeros = 0;  // roofs with exactly 0 in the middle
    std::uint64_t roofs = 0;  // with some value in the middle
    std::uint64_t asked = 0;  // roofs inside the raster
    std::uint64_t damaged = 0;

    void add(const Sounded& sounded) {
        const Nine& nine = sounded.nine;
        ++asked;
        damaged += sounded.damaged ? 1U : 0U;
        for (const double value : nine) {
            cells += std::isnan(value) ? 0U : 1U;
            if (is_odd(value)) {
                ++odd[value];
                ++odd_cells;
            }
        }
        roofs += std::isnan(nine.at(kMiddle)) ? 0U : 1U;
        zeros += nine.at(kMiddle) == 0.0 ? 1U : 0U;
    }
    [[nodiscard]] std::pair<double, std::uint64_t> commonest() const {
        return *std::ranges::max_element(odd, {}, [](const auto& entry) { return entry.second; });
    }
};

struct Words {
    std::string nodata_setting;  // empty: there is none
    bool elevations = true;      // else heights above the ground
};

std::string nodata_remedy(const Words& words, const RasterInfo& info, double height_m) {
    const double stored = (height_m / info.metres_per_value - info.band_offset) / info.band_scale;
    const std::string declare = fmt::format("declare it in the file: gdal_edit.py -a_nodata {:.7g} FILE", stored);
    return words.nodata_setting.empty() ? declare
                                        : fmt::format("set {} = {:.7g} if it marks cells without a value, or {}",
                                                      words.nodata_setting, stored, declare);
}

// Many cells of one odd number are a mark; many odd numbers are heights in another unit.
void tell_odd(const RasterInfo& info, const Soundings& seen, const Words& words, Findings& findings) {
    constexpr double kOneMark = 0.5;  // of the odd cells
    constexpr double kMany = 0.05;    // of all
    if (seen.odd_cells == 0) {
        return;
    }
    const auto [value, times] = seen.commonest();
    const std::string wanted =
        fmt::format("heights from {:g} to {:g} m{}", kLowestHeightM, kHighestHeightM,
                    info.declares_missing ? "" : ", or a number that is declared to mark cells without one");
    if (static_cast<double>(times) >= kOneMark * static_cast<double>(seen.odd_cells)) {
        findings.error(
            {info.where,
             fmt::format("{:.7g}{} in {} of {} cells looked at under the roofs, where no ground is",
                         value / info.metres_per_value, info.metres_per_value == 1.0 ? " m" : "", times, seen.cells),
             wanted, nodata_remedy(words, info, value)});
        return;
    }
    Trouble trouble{info.where,
                    fmt::format("heights from {:.6g} to {:.6g} m in {} of {} cells looked at under the roofs, where no "
                                "ground is",
                                seen.odd.begin()->first, seen.odd.rbegin()->first, seen.odd_cells, seen.cells),
                    wanted,
                    "they are in another unit or lack a scale: set terrain.vertical_unit, or state the factor in the "
                    "file (centimetres: gdal_edit.py -scale 0.01 FILE)"};
    static_cast<double>(seen.odd_cells) >= kMany* static_cast<double>(seen.cells) ? findings.error(std::move(trouble))
                                                                                  : findings.warn(std::move(trouble));
}

// Holes are often left as 0. A float raster seldom measures exactly that.
void tell_zeros(const RasterInfo& info, const Soundings& seen, const Words& words, Findings& findings) {
    constexpr double kMany = 0.01;
    if (words.elevations && !info.declares_missing && info.value_step == 0.0 && seen.zeros > 0 &&
        static_cast<double>(seen.zeros) >= kMany * static_cast<double>(seen.roofs)) {
        findings.warn({info.where,
                       fmt::format("exactly 0 under {} of {} roofs looked at, and no mark of missing cells declared",
                                   seen.zeros, seen.roofs),
                       "measured heights, or a declared mark",
                       nodata_remedy(words, info, 0.0) + "; leave it when the ground there is the level of the sea"});
    }
}

// Where half of the roofs would stand on cliffs, the heights are no metres.
void tell_slopes(const RasterInfo& info, std::vector<double>& slopes, Findings& findings) {
    constexpr double kImpossible = 2.0;  // rise over run
    if (slopes.empty()) {
        return;
    }
    std::ranges::sort(slopes);
    const double middle = median(slopes);
    if (middle > kImpossible) {
        findings.error(
            {info.where,
             fmt::format("ground steeper than {:.0f} % at half of {} roofs looked at", 100.0 * middle, slopes.size()),
             "ground that houses stand on",
             "the heights are far too large for the distances: look at their unit and scale (centimetres: "
             "gdal_edit.py -scale 0.01 FILE), and at the CRS"});
    }
}

// Of the differences of the nine cells; none where one is missing or odd.
std::optional<double> slope_of(const Nine& nine, const CellSides& sides) {
    const auto unusable = [](double value) { return std::isnan(value) || is_odd(value); };
    if (std::ranges::any_of(std::array{nine[1], nine[3], nine[5], nine[7]}, unusable)) {
        return std::nullopt;
    }
    return std::hypot((nine[5] - nine[3]) / (2.0 * sides.width_m), (nine[1] - nine[7]) / (2.0 * sides.height_m));
}

// Footprints of roofs to compute, evenly spread over the input: their interior points.
std::vector<Point> sample_of(const Plan& plan) {
    std::vector<std::uint32_t> roofs;
    for (std::uint32_t i = 0; i < plan.roofs.size(); ++i) {
        if (plan.roofs[i].status == Status::ok) {
            roofs.push_back(i);
        }
    }
    const std::uint64_t wanted = std::min<std::uint64_t>(kRoofsLookedAt, roofs.size());
    std::vector<Point> points;
    for (std::uint64_t i = 0; i < wanted; ++i) {
        points.push_back(plan.footprint(roofs[i * roofs.size() / wanted]).interior);
    }
    return points;
}

// In the order of squares of the raster's cells, so that its blocks are decoded once and not once a roof, and from the
// south, so that the last ones are still at hand for the first tiles: what is seen does not depend on the order.
void sort_by_square(std::vector<Point>& footprints, const Sounding& raster) {
    constexpr std::int64_t kSide = 256;
    std::vector<std::pair<Cell, Point>> keyed;
    for (const Point footprint : footprints) {
        const auto place = raster.place_of(footprint);
        const Cell cell = place ? raster.info().grid.cell_at(*place).value_or(Cell{}) : Cell{};
        keyed.emplace_back(Cell{cell.row / kSide, cell.col / kSide}, footprint);
    }
    std::ranges::stable_sort(keyed, {}, [](const auto& entry) { return std::pair(-entry.first.row, entry.first.col); });
    std::ranges::transform(keyed, footprints.begin(), [](const auto& entry) { return entry.second; });
}

void tell_damage(const RasterInfo& info, const Soundings& seen, Findings& findings) {
    if (seen.damaged > 0) {
        findings.warn(
            {info.where,
             fmt::format("parts that cannot be read under {} of {} roofs looked at", seen.damaged, seen.asked),
             "a whole file", "restore it from a backup; until then these roofs have no elevations there"});
    }
}

std::optional<Sounding> sounding_of(const OpenInputs& inputs, const char* setting) {
    const auto source = inputs.raster_sources.find(setting);
    return source == inputs.raster_sources.end()
               ? std::nullopt
               : std::optional<Sounding>(std::in_place, source->second, inputs.footprints().info.crs);
}

// What the rasters show under a roof, each where it has the place.
struct UnderRoof {
    std::optional<Sounded> ground;
    std::optional<double> slope;
    std::optional<Sounded> top;
};

// For one thread at a time; of a project with elevations.
class HeightsUnderRoofs {
public:
    explicit HeightsUnderRoofs(const OpenInputs& inputs)
        : m_terrain(sounding_of(inputs, "terrain.elevation").value()),
          m_surface(sounding_of(inputs, "terrain.surface")),
          m_metric(terrain_metric(inputs)) {}

    [[nodiscard]] UnderRoof at(Point footprint) {
        UnderRoof seen;
        if (const auto place = m_terrain.place_of(footprint)) {
            seen.ground = m_terrain.around(*place);
            if (seen.ground) {
                seen.slope = slope_of(seen.ground->nine, cell_sides(m_terrain.info().grid, m_metric, *place));
            }
        }
        if (const auto place = m_surface ? m_surface->place_of(footprint) : std::nullopt) {
            seen.top = m_surface->around(*place);
        }
        return seen;
    }

private:
    Sounding m_terrain;
    std::optional<Sounding> m_surface;
    TerrainMetric m_metric;
};

}  // namespace

void look_at_heights(const Project& project, const OpenInputs& inputs, const Plan& plan, Findings& findings) {
    const auto terrain = sounding_of(inputs, "terrain.elevation");
    const RasterInfo* const surface = inputs.raster("terrain.surface");
    if (!terrain) {
        return;
    }
    std::vector<Point> footprints = sample_of(plan);
    sort_by_square(footprints, *terrain);
    LentTools<HeightsUnderRoofs> tools([&] { return std::make_unique<HeightsUnderRoofs>(inputs); });
    const auto look = [&](HeightsUnderRoofs& tool, std::size_t i) { return tool.at(footprints[i]); };
    Soundings ground;
    Soundings top;
    std::vector<double> slopes;
    for (const UnderRoof& seen : seen_of_each<UnderRoof>(footprints.size(), tools, look)) {
        if (seen.ground) {
            ground.add(*seen.ground);
        }
        if (seen.slope) {
            slopes.push_back(*seen.slope);
        }
        if (seen.top) {
            top.add(*seen.top);
        }
    }
    const Words words{"terrain.nodata", true};
    tell_odd(terrain->info(), ground, words, findings);
    tell_zeros(terrain->info(), ground, words, findings);
    tell_slopes(terrain->info(), slopes, findings);
    tell_damage(terrain->info(), ground, findings);
    if (surface) {
        tell_damage(*surface, top, findings);
        const Words of_surface{"terrain.surface_nodata",
                               project.settings.terrain.surface_kind == SurfaceKind::elevation};
        tell_odd(*surface, top, of_surface, findings);
        tell_zeros(*surface, top, of_surface, findings);
    }
}

}  // namespace eaveshed
