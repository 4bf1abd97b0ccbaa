#include "eaveshed/run/check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "eaveshed/plan/plan.hpp"
#include "eaveshed/run/memory_shares.hpp"
#include "eaveshed/site/rules.hpp"

namespace eaveshed {

namespace {

std::string vector_line(const VectorInfo& info) {
    return fmt::format("{} features, layer {}, {}", info.feature_count, info.layer, info.crs.name());
}

std::string raster_line(const RasterInfo& info) {
    return fmt::format("{} x {} cells of {:.6g} x {:.6g}, {}{}", info.grid.cols, info.grid.rows, info.grid.cell_width,
                       info.grid.cell_height, info.crs.name(),
                       info.metres_per_value == 1.0 ? "" : fmt::format(", values x {} m", info.metres_per_value));
}

std::string unit_name(RainUnit unit) {
    switch (unit) {
        case RainUnit::mm: return "mm";
        case RainUnit::cm: return "cm";
        case RainUnit::m: return "m";
        case RainUnit::inch: return "in";
        case RainUnit::mm_per_day: return "mm day-1";
        case RainUnit::m_per_day: return "m day-1";
        case RainUnit::kg_per_m2_s: return "kg m-2 s-1";
        case RainUnit::m_per_s: return "m s-1";
        case RainUnit::from_file: break;
    }
    return "";
}

std::string rain_line(const RainInfo& rain) {
    const Timeline& timeline = rain.timeline;
    std::string steps = "12 months of a mean year";
    if (timeline.is_series()) {
        steps =
            fmt::format("{} {} from {:04}-{:02}-{:02} ({} calendar): {} complete tank years", timeline.steps.size(),
                        timeline.kind == RainKind::daily ? "days" : "months", timeline.first.year, timeline.first.month,
                        timeline.first.day, to_text(timeline.calendar), timeline.years.size());
    }
    return fmt::format("{}, in {}, {} x {} cells, {}", steps, unit_name(rain.unit), rain.grid.cols, rain.grid.rows,
                       rain.crs.name());
}

std::string month_line(const MonthField& field) {
    return fmt::format("12 months, {} x {} cells, {}", field.field.grid.cols, field.field.grid.rows, field.crs.name());
}

std::string month_names(const MonthSet& months) {
    std::string text;
    for (int month = 1; month <= 12; ++month) {
        if (months.has(month)) {
            text += fmt::format("{}{}", text.empty() ? "" : " ", month);
        }
    }
    return text;
}

std::string season_line(const Settings& settings) {
    const Season season = settings.season_months();
    return fmt::format("fills in months {}; draws in {}; forbearance in {}; a tank year begins with month {}",
                       month_names(season.fill), month_names(season.draw), month_names(season.forbear),
                       season.first_month);
}

// Rates measured on one plain machine with one thread; good for an order of magnitude.
Estimate estimate(const Project& project, const Inputs& inputs) {
    constexpr double kBytesPerRoofOnDisk = 3400.0;
    constexpr double kSecondsPerRoof = 2.0e-4;
    constexpr double kRoofStepsPerSecond = 4e8;
    constexpr double kMetresPerDegree = 111320.0;
    Estimate out;
    if (!inputs.footprints || !inputs.terrain || !inputs.rain) {
        return out;
    }
    const auto roofs = static_cast<double>(std::max<std::int64_t>(0, inputs.footprints->feature_count));
    const Box& extent = inputs.footprints->extent;
    const double unit =
        inputs.footprints->crs.is_geographic() ? kMetresPerDegree : inputs.footprints->crs.metres_per_unit();
    const double side = kTileSideM / unit;
    const double tiles = extent.empty() ? 1.0
                                        : std::ceil((extent.x_max - extent.x_min) / side + 1.0) *
                                              std::ceil((extent.y_max - extent.y_min) / side + 1.0);
    const auto steps = static_cast<double>(inputs.rain->timeline.steps.size());
    const auto options = static_cast<double>(rules_from(project.settings).options.size());
    out.roofs = static_cast<std::uint64_t>(roofs);
    out.tiles = static_cast<std::uint64_t>(std::min(roofs, tiles));
    out.memory_mib = expected_bytes(inputs, project.settings) / kMiB + 1;
    out.disk_mib = static_cast<std::uint64_t>(std::ceil(1.0 + roofs * kBytesPerRoofOnDisk / static_cast<double>(kMiB)));
    out.seconds = static_cast<std::uint64_t>(
        std::ceil(1.0 + roofs * kSecondsPerRoof + roofs * steps * (1.0 + options / 8.0) / kRoofStepsPerSecond));
    return out;
}

}  // namespace

CheckReport check(const Project& project, Findings& findings) {
    const Inputs inputs = open_inputs(project, findings);
    CheckReport report;
    const auto add = [&report](std::string name, std::string line) {
        report.understood.emplace_back(std::move(name), std::move(line));
    };
    if (inputs.footprints) {
        add("footprints", vector_line(*inputs.footprints));
    }
    if (inputs.parcels) {
        add("parcels", vector_line(*inputs.parcels));
    }
    if (inputs.use_points) {
        add("use points", vector_line(*inputs.use_points));
    }
    if (inputs.streams) {
        add("streams", vector_line(*inputs.streams));
    }
    for (std::size_t i = 0; i < inputs.exclusions.size(); ++i) {
        const std::string& name = project.settings.exclusions.at(i).name;
        add(name.empty() ? "exclusion" : "exclusion " + name, vector_line(inputs.exclusions[i]));
    }
    if (inputs.roads) {
        add("roads", vector_line(*inputs.roads));
    }
    if (inputs.terrain) {
        add("elevation", raster_line(*inputs.terrain));
    }
    if (inputs.surface) {
        add("surface", raster_line(*inputs.surface));
    }
    if (inputs.canopy) {
        add("canopy", raster_line(*inputs.canopy));
    }
    if (inputs.rain) {
        add("rain", rain_line(*inputs.rain));
    }
    if (inputs.et0) {
        add("evapotranspiration", month_line(*inputs.et0));
    }
    if (inputs.minimum_temperature) {
        add("temperature", month_line(*inputs.minimum_temperature));
    }
    if (inputs.overrides && findings.count(Severity::error) == 0) {
        try {
            add("overrides", overrides_line(match_overrides(project, inputs, findings)));
        } catch (const Error& error) {  // the table's reference system may not lead to the others
            if (error.fault() != Fault::input) {
                throw;
            }
            findings.error(error.trouble());
        }
    }
    add("season", season_line(project.settings));
    for (const VectorInfo& other : inputs.others) {
        add("also opened", vector_line(other));
    }
    report.estimate = estimate(project, inputs);
    return report;
}

std::string report_text(const Project& project, const CheckReport& report, const Findings& findings) {
    std::string text = "Project " + project.file + "\n\nUnderstood\n";
    for (const auto& [name, line] : report.understood) {
        text += fmt::format("  {:<20}{}\n", name, line);
    }
    text += fmt::format("\nFindings: {} errors, {} warnings, {} notes\n", findings.count(Severity::error),
                        findings.count(Severity::warning), findings.count(Severity::note));
    for (const Severity severity : {Severity::error, Severity::warning, Severity::note}) {
        for (const Finding& finding : findings.list()) {
            if (finding.severity == severity) {
                text += "  " + finding_line(finding) + "\n";
            }
        }
    }
    if (report.estimate.roofs > 0) {
        const Estimate& take = report.estimate;
        text +=
            fmt::format("\nA run would take, roughly: {} roofs in {} tiles, {} MiB of memory, {} MiB of disk, {} s\n",
                        take.roofs, take.tiles, take.memory_mib, take.disk_mib, take.seconds);
    }
    return text;
}

}  // namespace eaveshed
