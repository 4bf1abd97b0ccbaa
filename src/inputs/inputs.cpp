#include "eaveshed/inputs/inputs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "eaveshed/core/error.hpp"
#include "eaveshed/facts/fields.hpp"

namespace eaveshed {

namespace {

// Runs one opening step; its input error becomes a finding, so that the next input is looked at all the same.
void attempt(Findings& findings, const std::function<void()>& step) {
    try {
        step();
    } catch (const Error& error) {
        if (error.fault() != Fault::input) {
            throw;
        }
        findings.error(error.trouble());
    }
}

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
std::string elsewhere(const VectorInfo& footprints, const Crs& crs, const Box& box, const std::string& where) {
    const auto basin = footprints_in(crs, footprints, box, where);
    if (!basin || meet(box, *basin, crs.is_geographic())) {
        return "";
    }
    return fmt::format("no overlap with the footprints: it covers {} and they {} (in {})", box_text(box),
                       box_text(*basin), crs.name());
}

// No overlap at all: nothing could be computed, so it is an error.
void check_overlap(const VectorInfo& footprints, const Crs& crs, const Box& box, const std::string& where,
                   Findings& findings) {
    if (const std::string found = elsewhere(footprints, crs, box, where); !found.empty()) {
        findings.error(
            {where, found, "inputs of one place",
             "check that both files are of this basin and that their coordinate reference systems are right"});
    }
}

// What may lie beside the footprints; more often the file is of another place. `so`: what comes of it.
void warn_elsewhere(const VectorInfo& footprints, const Crs& crs, const Box& box, const std::string& where,
                    const std::string& so, Findings& findings) {
    if (const std::string found = elsewhere(footprints, crs, box, where); !found.empty()) {
        findings.warn({where, found, "a file of this basin", so + ": check the file and its CRS"});
    }
}

void open_vectors(const Project& project, Inputs& inputs, Findings& findings) {
    const Settings& settings = project.resolved;
    const auto open = [&](const char* section, const LayerSource& from, const std::vector<std::string>& fields,
                          const std::string& filter) {
        return VectorSource::open(section, from, fields, filter, findings).info();
    };
    attempt(findings, [&] {
        inputs.footprints = open("footprints", settings.footprints.from, LayerFields<RoofFacts>().names(settings),
                                 settings.footprints.where);
    });
    if (settings.parcels.from.given()) {
        attempt(findings, [&] {
            std::vector<std::string> fields = LayerFields<ParcelFacts>().names(settings);
            fields.insert(fields.end(), settings.parcels.carry.begin(), settings.parcels.carry.end());
            inputs.parcels = open("parcels", settings.parcels.from, fields, "");
        });
    }
    if (settings.use_points.from.given()) {
        attempt(findings, [&] {
            inputs.use_points = open("use_points", settings.use_points.from, {settings.use_points.parcel}, "");
        });
        if (!settings.parcels.from.given()) {
            findings.warn({"use_points.source", "use points without parcels", "",
                           "give [parcels]: a use point belongs to a parcel, so these are not used"});
        }
    }
}

void open_other_vectors(const Project& project, Inputs& inputs, Findings& findings) {
    const Settings& settings = project.resolved;
    const auto open = [&](const char* section, const LayerSource& from, const std::vector<std::string>& fields,
                          const std::function<void(VectorInfo)>& keep) {
        if (from.given()) {
            attempt(findings, [&] { keep(VectorSource::open(section, from, fields, "", findings).info()); });
        }
    };
    const auto keep_other = [&](VectorInfo info) { inputs.others.push_back(std::move(info)); };
    open("streams", settings.streams.from, {settings.streams.id, settings.streams.low_flow_lps},
         [&](VectorInfo info) { inputs.streams = std::move(info); });
    open("subbasins", settings.subbasins.from, {settings.subbasins.id}, keep_other);
    open("roads", settings.roads.from, {}, [&](VectorInfo info) { inputs.roads = std::move(info); });
    for (const ExclusionSettings& exclusion : settings.exclusions) {
        open("exclusions", exclusion.from, {}, [&](VectorInfo info) { inputs.exclusions.push_back(std::move(info)); });
    }
}

// The table is read now, so that its faults show; what its rows mean is found with the footprints.
void open_overrides(const Project& project, Inputs& inputs, Findings& findings) {
    const OverrideSettings& settings = project.resolved.overrides;
    if (!settings.from.given()) {
        if (!settings.former.empty()) {
            findings.warn({"overrides.former", "an earlier screening without a table of measured values", "",
                           "give overrides.source too, or leave this out: it is not used"});
        }
        return;
    }
    attempt(findings, [&] { inputs.overrides = read_override_table(settings.from, findings); });
    if (!inputs.overrides || settings.former.empty()) {
        return;
    }
    const auto open = [&](const char* layer, const char* id) {
        return VectorSource::open("overrides.former", {settings.former, layer}, {id}, "", findings).info();
    };
    attempt(findings, [&] { inputs.former_roofs = open("roofs", "roof_id"); });
    const auto of_parcel = [](const OverrideEntry& entry) { return entry.row.parcel_id.has_value(); };
    if (std::ranges::any_of(inputs.overrides->entries, of_parcel)) {
        attempt(findings, [&] { inputs.former_parcels = open("parcels", "parcel_id"); });
    }
}

void open_rasters(const Project& project, Inputs& inputs, Findings& findings) {
    const TerrainSettings& terrain = project.resolved.terrain;
    attempt(findings, [&] {
        inputs.terrain =
            RasterSource::open("terrain.elevation", terrain.elevation, terrain.vertical_unit, findings).info();
    });
    if (!terrain.surface.empty()) {
        attempt(findings, [&] {
            inputs.surface =
                RasterSource::open("terrain.surface", terrain.surface, terrain.vertical_unit, findings).info();
        });
    }
    if (!project.resolved.canopy.empty()) {
        attempt(findings, [&] {
            inputs.canopy =
                RasterSource::open("canopy.source", project.resolved.canopy, VerticalUnit::from_file, findings).info();
        });
    }
}

void open_climate(const Project& project, Inputs& inputs, Findings& findings) {
    const Settings& settings = project.resolved;
    attempt(findings, [&] { inputs.rain = open_rain(settings.rain, settings.season_months(), findings); });
    if (!inputs.footprints) {
        return;  // where to read is not known
    }
    const Crs& crs = inputs.footprints->crs;
    const Box& area = inputs.footprints->extent;
    if (!settings.evapotranspiration.source.empty()) {
        attempt(findings, [&] { inputs.et0 = read_et0(settings.evapotranspiration, crs, area, findings); });
    }
    if (!settings.temperature.minimum.empty()) {
        attempt(findings, [&] {
            inputs.minimum_temperature =
                read_temperature("temperature.minimum", settings.temperature.minimum, crs, area, findings);
            inputs.maximum_temperature =
                read_temperature("temperature.maximum", settings.temperature.maximum, crs, area, findings);
        });
    }
    if (inputs.et0 && inputs.minimum_temperature) {
        findings.note({"temperature", "temperatures beside an evapotranspiration raster", "",
                       "the raster is used and the temperatures are not"});
    }
}

void check_against_each_other(Inputs& inputs, Findings& findings) {
    if (!inputs.footprints) {
        return;
    }
    const VectorInfo& footprints = *inputs.footprints;
    const auto check = [&](const Crs& crs, const Box& box, const std::string& where) {
        attempt(findings, [&] { check_overlap(footprints, crs, box, where, findings); });
    };
    if (inputs.terrain) {
        check(inputs.terrain->crs, inputs.terrain->grid.extent(), inputs.terrain->where);
    }
    if (inputs.surface) {
        check(inputs.surface->crs, inputs.surface->grid.extent(), inputs.surface->where);
    }
    if (inputs.rain) {
        check(inputs.rain->crs, inputs.rain->grid.extent(), inputs.rain->where);
    }
    if (inputs.parcels) {
        check(inputs.parcels->crs, inputs.parcels->extent, inputs.parcels->where);
    }
    if (inputs.use_points) {
        check(inputs.use_points->crs, inputs.use_points->extent, inputs.use_points->where);
    }
    const auto warn = [&](const Crs& crs, const Box& box, const std::string& where, const std::string& so) {
        attempt(findings, [&] { warn_elsewhere(footprints, crs, box, where, so, findings); });
    };
    const std::string no_setback = "no tank is kept away from it";
    if (inputs.streams) {
        warn(inputs.streams->crs, inputs.streams->extent, inputs.streams->where, no_setback);
    }
    for (const VectorInfo& exclusion : inputs.exclusions) {
        warn(exclusion.crs, exclusion.extent, exclusion.where, no_setback);
    }
    if (inputs.roads) {
        warn(inputs.roads->crs, inputs.roads->extent, inputs.roads->where, "no pad has a road near it");
    }
    if (inputs.canopy) {
        warn(inputs.canopy->crs, inputs.canopy->grid.extent(), inputs.canopy->where, "no pad's canopy is known");
    }
}

void check_terrain(const Inputs& inputs, Findings& findings) {
    constexpr double kCoarseCellM = 10.0;
    constexpr double kMetresPerDegree = 111320.0;  // along a meridian, near enough for a warning
    if (!inputs.terrain) {
        return;
    }
    const RasterInfo& terrain = *inputs.terrain;
    const double unit = terrain.crs.is_geographic() ? kMetresPerDegree : terrain.crs.metres_per_unit();
    const double cell_m = terrain.grid.smaller_cell_side() * unit;
    if (cell_m > kCoarseCellM) {
        findings.warn(
            {terrain.where, fmt::format("cells of about {:.0f} m", cell_m),
             fmt::format("cells of {:.0f} m or less for the place of a tank", kCoarseCellM),
             "harvest and storage do not depend on it; many roofs will have no garden cell and no pad, and gravity "
             "results are a first guess: set terrain.rmse_m to the raster's stated error (0.15 m is that of an "
             "airborne "
             "laser survey)"});
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
    if (!inputs.footprints || inputs.footprints->extent.empty()) {
        return;
    }
    const SeasonSettings standard;
    const bool is_standard = project.settings.season.fill_months == standard.fill_months &&
                             project.settings.season.forbear_months == standard.forbear_months;
    const auto degrees = Transform(inputs.footprints->crs, Crs::from_text("EPSG:4326", "season"),
                                   inputs.footprints->where)(inputs.footprints->extent);
    if (is_standard && degrees && degrees->y_max < 0.0) {
        findings.warn({project.file + ", season",
                       "footprints south of the equator and the months of the northern winter",
                       "the basin's own wet and dry months",
                       "set season.fill_months and season.forbear_months, for example [4, 5, 6, 7, 8, 9, 10] and [12, "
                       "1, 2, 3]"});
    }
}

}  // namespace

TerrainMetric terrain_metric(const Inputs& inputs) {
    TerrainMetric metric;
    metric.geographic = inputs.terrain->crs.is_geographic();
    metric.metres_per_unit = metric.geographic ? 1.0 : inputs.terrain->crs.metres_per_unit();
    metric.ellipsoid = inputs.terrain->crs.ellipsoid();
    return metric;
}

Inputs open_inputs(const Project& project, Findings& findings) {
    Inputs inputs;
    open_vectors(project, inputs, findings);
    open_other_vectors(project, inputs, findings);
    open_overrides(project, inputs, findings);
    open_rasters(project, inputs, findings);
    open_climate(project, inputs, findings);
    check_against_each_other(inputs, findings);
    check_terrain(inputs, findings);
    attempt(findings, [&] { check_season(project, inputs, findings); });
    attempt(findings, [&] {
        if (!project.settings.output.crs.empty()) {
            inputs.output_crs = Crs::from_text(project.settings.output.crs, "output.crs");
        } else if (inputs.footprints) {
            inputs.output_crs = inputs.footprints->crs;
        }
    });
    return inputs;
}

}  // namespace eaveshed
