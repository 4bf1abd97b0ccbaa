#include "check_inputs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>
#include <optional>
#include <string>

#include "attempt.hpp"
#include "check_crs.hpp"
#include "eaveshed/core/constants.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/site/place.hpp"
#include "eaveshed/terrain/terrain_metric.hpp"
#include "shared_files.hpp"

namespace eaveshed {

namespace {

std::string box_text(const Box& box) {
    return fmt::format("x {:.6g} to {:.6g}, y {:.6g} to {:.6g}", box.x_min, box.x_max, box.y_min, box.y_max);
}

// The footprints' box in the other input's CRS: that of a basin keeps its shape in any, that of a grid of the whole
// Earth does not. None where either is empty or cannot be brought there.
std::optional<Box> footprints_in(const Crs& crs, const VectorInfo& footprints, const Box& other,
                                 const std::string& where) {
    if (other.empty() || footprints.extent.empty()) {
        return std::nullopt;
    }
    return Transform(footprints.crs, crs, where)(footprints.extent);
}

// Whether the boxes come anywhere near each other; in degrees also after a turn round the Earth.
bool meet(const Box& a, const Box& b, bool in_degrees) {
    constexpr double kTurn = 360.0;
    const auto turned = [&](double by) { return Box{b.x_min + by, b.y_min, b.x_max + by, b.y_max}; };
    return a.intersects(b) || (in_degrees && (a.intersects(turned(kTurn)) || a.intersects(turned(-kTurn))));
}

// What is found where another input lies elsewhere than the footprints, with both boxes in its CRS; empty where they
// meet or cannot be compared.
std::string elsewhere(const VectorInfo& footprints, const InputPlace& place) {
    const auto basin = footprints_in(place.crs, footprints, place.extent, place.where);
    if (!basin || meet(place.extent, *basin, place.crs.is_geographic())) {
        return "";
    }
    return fmt::format("no overlap with the footprints: it covers {} and they {} (in {})", box_text(place.extent),
                       box_text(*basin), place.crs.name());
}

// Without any overlap nothing could be computed or would belong to a roof: an error. What may lie beside the footprints
// is more often a file of another place: a warning.
void check_place(const VectorInfo& footprints, const InputRole& role, const InputPlace& place, Findings& findings) {
    const std::string found = elsewhere(footprints, place);
    if (found.empty()) {
        return;
    }
    const std::string reason = reason_elsewhere(footprints, place);
    if (role.overlap == Overlap::effect) {
        findings.warn({place.where, found, "a file of this basin",
                       std::string(role.elsewhere) + ": " + (reason.empty() ? "check the file and its CRS" : reason)});
    } else {
        findings.error({place.where, found, "inputs of one place",
                        reason.empty() ? "check that both files are of this basin and that their coordinate reference "
                                         "systems are right"
                                       : reason});
    }
}

void check_overlaps(const Inputs& inputs, Findings& findings) {
    const Layer* const footprints = inputs.layer("footprints.source");
    if (footprints == nullptr) {
        return;
    }
    for (const Overlap overlap : {Overlap::all, Overlap::parts, Overlap::effect}) {
        for (const Setting* const input : input_settings()) {
            if (input->role->overlap != overlap) {
                continue;
            }
            for (const InputPlace& place : places_of(*input, inputs)) {
                attempt(findings, [&] { check_place(footprints->info, *input->role, place, findings); });
            }
        }
    }
}

void check_terrain(const TerrainSettings& settings, const Inputs& inputs, Findings& findings) {
    const RasterInfo* const found = inputs.raster("terrain.elevation");
    if (found == nullptr) {
        return;
    }
    const CellSides sides = cell_sides(found->grid, terrain_metric(inputs), found->grid.extent().middle());
    const double cell_m = sides.larger_m();
    if (cell_m > settings.coarse_cell_m) {
        const double sd_m = std::numbers::sqrt2 * elevation_rmse_m(sides, settings);
        findings.check(
            CheckCode::coarse_cells,
            {found->where,
             fmt::format("cells of about {:.1f} m: a gutter is known to {:.1f} m above the tank's ground at best, a "
                         "pressure to {:.0f} kPa (standard deviations on level ground)",
                         cell_m, sd_m, kKpaPerMetre * sd_m),
             fmt::format("cells of {:g} m or less (terrain.coarse_cell_m) for the place of a tank",
                         settings.coarse_cell_m),
             fmt::format("harvest and storage do not depend on it; roofs may have no garden cell and no pad, and every "
                         "height is a first guess (flag coarse_elevation){}",
                         settings.rmse_m ? ""
                                         : ": set terrain.rmse_m to the raster's stated error; without it a tenth of "
                                           "the cell's side is taken")});
    }
}

// Months that do not fit what is known of the place.
void check_season(const Project& project, const Inputs& inputs, Findings& findings) {
    const Season season = project.settings.season_months();
    for (int month = 1; month <= 12; ++month) {
        if (season.fill.has(month) && season.forbear.has(month)) {
            findings.warn({project.file + ", season", fmt::format("month {} both to fill and to forbear in", month),
                           "fill months and forbearance months apart",
                           "correct season.fill_months or season.forbear_months"});
            break;
        }
    }
    const Layer* const footprints = inputs.layer("footprints.source");
    if (footprints == nullptr || footprints->info.extent.empty()) {
        return;
    }
    const SeasonSettings standard;
    const bool is_standard = project.settings.season.fill_months == standard.fill_months &&
                             project.settings.season.forbear_months == standard.forbear_months;
    const auto degrees = Transform(footprints->info.crs, crs_from_text("EPSG:4326", "season"),
                                   footprints->info.where)(footprints->info.extent);
    if (is_standard && degrees && degrees->y_max < 0.0) {
        findings.check(CheckCode::southern_months,
                       {project.file + ", season", std::string(rule_of(CheckCode::southern_months).meaning),
                        "the basin's own wet and dry months", ""});
    }
}

}  // namespace

void check_inputs(const Project& project, const Inputs& inputs, Findings& findings) {
    check_shared_files(inputs, findings);
    check_crs(inputs, findings);
    check_overlaps(inputs, findings);
    check_vertical(inputs, project.settings.terrain.surface_kind == SurfaceKind::elevation, findings);
    check_terrain(project.settings.terrain, inputs, findings);
    attempt(findings, [&] { check_season(project, inputs, findings); });
}

}  // namespace eaveshed
