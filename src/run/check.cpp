#include "eaveshed/run/check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "eaveshed/creeks/make_creeks.hpp"
#include "eaveshed/feed/basin_climate.hpp"
#include "eaveshed/feed/height_look.hpp"
#include "eaveshed/measured/call_match.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/run/memory_shares.hpp"
#include "eaveshed/run/screen.hpp"
#include "eaveshed/sampling/check_plausibility.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/words/months_text.hpp"
#include "eaveshed/words/unit_text.hpp"
#include "eaveshed/words/wording.hpp"
#include "first_rows.hpp"

namespace eaveshed {

namespace {

std::string vector_line(const VectorInfo& info) {
    return fmt::format("{} features, layer {}, {}", info.feature_count, info.layer, info.crs.name());
}

std::string raster_line(const RasterInfo& info) {
    return fmt::format(
               "{} x {} cells of {:.6g} x {:.6g}, {}{}", info.grid.cols, info.grid.rows, info.grid.cell_width,
               info.grid.cell_height, info.crs.name(),
               info.metres_per_value == 1.0 ? ", values in m" : fmt::format(", values x {} m", info.metres_per_value)) +
           (info.declares_missing ? "" : ", no mark of missing cells declared") +
           (info.vertical.known()
                ? ", above " + (info.vertical.ellipsoidal ? "the ellipsoid" : printable(info.vertical.name))
                : "");
}

std::string rain_line(const RainInfo& rain) {
    const Timeline& timeline = rain.timeline;
    std::string steps = "12 months of a mean year";
    if (timeline.is_series()) {
        steps = fmt::format("{} {} from {} to {} ({} calendar): {} complete tank years", timeline.steps.size(),
                            timeline.kind == RainKind::daily ? "days" : "months", to_text(timeline.first),
                            to_text(last_day(timeline)), to_text(timeline.calendar), timeline.years.size());
    }
    if (rain.gauges) {
        return fmt::format("{}, in {}, {}{}", steps, to_text(rain.unit), counted(rain.gauges->stations.size(), "gauge"),
                           rain.gauges->dates.empty() ? "" : ", " + rain.gauges->dates);
    }
    return fmt::format("{}, in {}, {} x {} cells, {}", steps, to_text(rain.unit), rain.grid.cols, rain.grid.rows,
                       rain.crs.name());
}

// "1108447 at -123.1830, 49.1950: values from 1950-01-01 to 2013-12-31, 0.9 % missing, about 1222 mm in a mean year".
std::string gauge_line(const GaugeStation& gauge) {
    std::string line = printable(gauge.id);
    line += gauge.degrees ? fmt::format(" at {:.4f}, {:.4f}", gauge.degrees->x, gauge.degrees->y)
                          : std::string(", which counts everywhere");
    if (gauge.first) {
        line += fmt::format(": values from {} to {}", to_text(*gauge.first), to_text(*gauge.last));
    }
    if (gauge.mean_year_mm || gauge.missing_share > 0.0) {
        constexpr double kPercent = 100.0;
        line += fmt::format(", {:.1f} % missing", kPercent * gauge.missing_share);
    }
    if (gauge.mean_year_mm) {
        line += fmt::format(", about {:.0f} mm in a mean year", *gauge.mean_year_mm);
    }
    return line;
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
    Estimate out;
    const Layer* const footprints = inputs.layer("footprints.source");
    if (footprints == nullptr || inputs.raster("terrain.elevation") == nullptr || !inputs.rain) {
        return out;
    }
    const VectorInfo& info = footprints->info;
    const auto roofs = static_cast<double>(std::max<std::int64_t>(0, info.feature_count));
    const Box& extent = info.extent;
    const double side = kTileSideM / info.crs.rough_metres_per_unit();
    const double tiles = extent.empty() ? 1.0
                                        : std::ceil((extent.x_max - extent.x_min) / side + 1.0) *
                                              std::ceil((extent.y_max - extent.y_min) / side + 1.0);
    out.roofs = static_cast<std::uint64_t>(roofs);
    out.tiles = static_cast<std::uint64_t>(std::min(roofs, tiles));
    out.memory_mib = expected_bytes(inputs, project.settings) / kMiB + 1;
    out.disk_mib = static_cast<std::uint64_t>(std::ceil(1.0 + roofs * kBytesPerRoofOnDisk / static_cast<double>(kMiB)));
    out.seconds = static_cast<std::uint64_t>(std::ceil(1.0 + roofs * seconds_per_roof(inputs, project.settings)));
    return out;
}

// What the streams add: their reaches stay in memory; leading water over the ground takes room on the disk, before the
// tiles or after them.
void add_streams(const CheckReport& report, Estimate& estimate) {
    constexpr std::uint64_t kCellsASecond = 5'000'000;
    const LeadingSize leading = report.leading.value_or(LeadingSize{});
    estimate.memory_mib += (report.stream_bytes + leading.stream_bytes) / kMiB;
    estimate.disk_mib += leading.bytes / kMiB;
    estimate.seconds += leading.cells / kCellsASecond;
}

using Understood = std::vector<UnderstoodInput>;

// "season_use_m3 from use_gal, gal": the fields of quantities that stand beside an input, and what their numbers are
// in.
std::string quantities_line(const Setting& input, const Settings& settings) {
    std::string line;
    for (const Setting& setting : settings_table()) {
        if (setting.section != input.section || setting.kind != Kind::quantity) {
            continue;
        }
        if (const std::string& field = named_field(setting, settings); !field.empty()) {
            line += fmt::format("{}{} from {}, {}", line.empty() ? "" : "; ", setting.key, printable(field),
                                field_unit(setting, settings)->name());
        }
    }
    return line;
}

// A line for each gauge, as far as a page has room for them.
void add_gauge_lines(const Setting& input, const Inputs& inputs, Understood& lines) {
    constexpr std::size_t kMostLines = 20;
    const bool rain = input.role->kind == InputKind::rain;
    const GaugeTableInfo* const table = inputs.gauges(input.section);
    if (table == nullptr || (!rain && input.role->kind != InputKind::temperature)) {
        return;
    }
    const std::string label = rain ? "rain gauge" : "temperature gauge";
    const std::size_t shown = std::min(table->stations.size(), kMostLines);
    for (std::size_t i = 0; i < shown; ++i) {
        lines.emplace_back(label, gauge_line(table->stations[i]));
    }
    if (shown < table->stations.size()) {
        lines.emplace_back(label, fmt::format("and {} more", table->stations.size() - shown));
    }
}

// Where each of the lines since `first` lies: the places of an input come in the order of its lines.
void add_places(const Setting& input, const Inputs& inputs, std::size_t first, Understood& lines) {
    const std::vector<InputPlace> places = places_of(input, inputs);
    for (std::size_t i = 0; i < places.size() && first + i < lines.size(); ++i) {
        UnderstoodInput& line = lines[first + i];
        line.files = places[i].files;
        line.crs = places[i].crs.name();
        line.extent = places[i].extent;
    }
}

// The line of an input as it was opened; one for each layer of a repeated section.
void add_lines(const Setting& input, const Project& project, const Inputs& inputs, Understood& lines) {
    const std::string name = name_of(input);
    const std::string label(input.role->label);
    const std::size_t first = lines.size();
    for (const Layer& layer : inputs.layers_of(name)) {
        // One of several layers may have a name of its own; elsewhere `name` is a field.
        const bool several = find_section(input.section)->repeated;
        const std::string own = several ? text_beside(input, "name", project.settings, layer.item) : "";
        UnderstoodInput& line =
            lines.emplace_back(own.empty() ? label : fmt::format("{} {}", label, own), vector_line(layer.info));
        line.rows = first_rows(input, project.settings, layer);
    }
    add_places(input, inputs, first, lines);
    if (const std::string quantities = quantities_line(input, project.settings);
        !quantities.empty() && inputs.layer(name) != nullptr) {
        lines.emplace_back(label + " fields", quantities);
    }
    if (const RasterInfo* const raster = inputs.raster(name)) {
        lines.emplace_back(label, raster_line(*raster));
        add_places(input, inputs, lines.size() - 1, lines);
    }
    if (input.role->kind == InputKind::rain && inputs.rain) {
        lines.emplace_back(label, rain_line(*inputs.rain));
        add_places(input, inputs, lines.size() - 1, lines);
    }
    if (input.key == "source" || input.key == "minimum") {
        add_gauge_lines(input, inputs, lines);
    }
    if (input.role->kind == InputKind::call_list && inputs.calls) {
        lines.emplace_back(label, calls_line(*inputs.calls));
    }
    if (const MonthField* const field = inputs.month_field(name); field != nullptr && !label.empty()) {
        lines.emplace_back(label, month_line(*field));
        add_places(input, inputs, lines.size() - 1, lines);
    }
}

// A fault of the inputs that shows only now is one more finding.
template <typename Step>
void attempt(Findings& findings, const Step& step) {
    try {
        step();
    } catch (const Error& error) {
        if (error.fault() != Fault::input) {
            throw;
        }
        findings.error(error.trouble());
    }
}

// Roofs that the grids do not reach, which the run would tell at its end.
void tell_uncovered(const ExpectedBasis& basis, const Inputs& inputs, Findings& findings) {
    if (basis.beyond_terrain > 0) {
        findings.warn({inputs.terrain().where,
                       fmt::format("{} of {} roofs beyond its edge", basis.beyond_terrain, basis.roofs),
                       "elevations for the whole basin", "add the missing part: these roofs get no place for a tank"});
    }
    if (basis.beyond_rain > 0) {
        findings.warn(
            {inputs.rain->where, fmt::format("{} of {} roofs beyond its edge", basis.beyond_rain, basis.roofs),
             "rain for the whole basin",
             "use a grid that covers it: a roof more than three cells away from it gets no rain and no result"});
    }
}

// The network of the streams, and what leading water over the ground takes.
void add_reaches(const Project& project, const Inputs& inputs, const Creeks& creeks, CheckReport& report) {
    std::string text;
    if (!creeks.empty()) {
        double length_m = 0.0;
        for (const CreekReach& reach : creeks.reaches()) {
            length_m += reach.length_m;
        }
        text = fmt::format("{}, {}, {:.1f} km", counted(creeks.reaches().size(), "line"),
                           counted(creeks.tree().outlets().size(), "outlet"), length_m / 1000.0);
        report.stream_bytes = creeks.bytes();
    }
    if (const auto leading = leading_size(project, inputs)) {
        text += fmt::format("{}water is led over {} cells", text.empty() ? "derived from the elevations: " : "; ",
                            leading->cells);
        report.leading = leading;
    }
    if (!text.empty()) {
        report.understood.emplace_back("reaches", text);
    }
}

// What a run would say of the features, and what its answers would rest on: looked at where all is sound so far.
void read_features(const Project& project, const OpenInputs& inputs, Findings& findings, CheckReport& report) {
    if (findings.count(Severity::error) > 0 || !inputs.rain) {
        return;
    }
    Plan plan;
    attempt(findings, [&] {
        Progress progress(ProgressStyle::none);
        const Creeks creeks = look_at_creeks(project, inputs, findings);
        add_reaches(project, inputs, creeks, report);
        plan = look_at_features(project, inputs, creeks, findings, progress);
        if (inputs.overrides) {
            report.understood.emplace_back(input_setting("overrides.source").role->label,
                                           overrides_line(plan.overrides));
        }
        look_at_heights(project, inputs, plan, findings);
        report.basis = expected_basis(project, inputs, plan);
        tell_uncovered(*report.basis, inputs, findings);
    });
    attempt(findings, [&] { report.mean_year_mm = mean_year_in_middle(project, inputs, findings); });
    if (report.basis) {
        attempt(findings, [&] { check_plausibility(project, inputs, plan, report.mean_year_mm, findings); });
    }
}

std::string rain_text(const Project& project, const CheckReport& report) {
    const QuantityText units(project.settings.output.units);
    if (!report.mean_year_mm || sum_of_year(*report.mean_year_mm) <= 0.0) {
        return "  How much of the rain falls in the forbearance months is not known: none in the middle of the "
               "footprints.\n";
    }
    const double year_mm = sum_of_year(*report.mean_year_mm);
    const double season_mm = sum_over(*report.mean_year_mm, project.settings.season_months().forbear);
    std::string months;
    for (int month = 1; month <= 12; ++month) {
        months += fmt::format("{}{} {}", month == 1 ? "" : ", ", month_name(month).substr(0, 3),
                              units.text("mm", report.mean_year_mm->at(static_cast<std::size_t>(month - 1))));
    }
    return fmt::format(
        "  Rain of a mean year in the middle of the footprints: {}, {:.0f} % of it in the forbearance "
        "months.\n  By month: {}.\n",
        units.text("mm", year_mm), 100.0 * season_mm / year_mm, months);
}

// A raster's gaps show when it is read: until then what stands in for them decides nobody.
std::string roofs_text(const AssumedRoofs& row) {
    if (row.assumption->flag == Flag::default_et0 && row.at_most) {
        return "only in gaps";
    }
    return fmt::format("{}{}", row.at_most ? "up to " : "", row.roofs);
}

std::string basis_text(const Project& project, const CheckReport& report) {
    if (!report.basis) {
        return "";
    }
    constexpr std::string_view kLine = "  {:<44}{:>16}  {}\n";
    const ExpectedBasis& basis = *report.basis;
    std::string text = fmt::format("\nThe answers will rest on these assumptions ({} roofs to compute)\n", basis.roofs);
    text += fmt::format(kLine, "", "roofs", "data that would replace it");
    for (const AssumedRoofs& row : basis.assumed) {
        text += fmt::format(kLine, row.assumption->what, roofs_text(row), row.assumption->instead);
    }
    return text + rain_text(project, report);
}

// Extent and first rows, below the line of an input.
std::string below(const UnderstoodInput& input) {
    constexpr std::string_view kLine = "  {:<20}{}\n";
    std::string text;
    if (!input.extent.empty()) {
        const Box& box = input.extent;
        text += fmt::format(
            kLine, "",
            fmt::format("x {:.9g} to {:.9g}, y {:.9g} to {:.9g}", box.x_min, box.x_max, box.y_min, box.y_max));
    }
    for (const ShownRow& row : input.rows) {
        std::string words;
        for (const auto& [field, value] : row) {
            words += fmt::format("{}{} {}", words.empty() ? "" : ", ", field, value.empty() ? "-" : value);
        }
        text += fmt::format(kLine, "", "row: " + words);
    }
    return text;
}

// The output that the project names, as a run would find it; a name may still be given with -o.
void look_at_output(const Project& project, const Inputs& inputs, Findings& findings) {
    if (project.settings.basin.output.empty()) {
        return;
    }
    attempt(findings, [&] {
        ScreenOptions replacing;
        replacing.overwrite = true;
        const std::string output = checked_output(project, replacing, inputs);
        std::error_code fault;
        if (std::filesystem::exists(output, fault)) {
            findings.note({output, "a result that exists", "",
                           "screen replaces it only with --overwrite; else name another with -o"});
        }
    });
}

}  // namespace

CheckReport check(const Project& project, Findings& findings) {
    const OpenInputs inputs = open_inputs(project, findings);
    look_at_output(project, inputs, findings);
    CheckReport report;
    for (const Setting* const input : input_settings()) {
        add_lines(*input, project, inputs, report.understood);
    }
    read_features(project, inputs, findings, report);
    report.understood.emplace_back("season", season_line(project.settings));
    report.estimate = estimate(project, inputs);
    if (report.leading || report.stream_bytes > 0) {
        add_streams(report, report.estimate);
    }
    return report;
}

std::string report_text(const Project& project, const CheckReport& report, const Findings& findings) {
    std::string text = "Project " + project.file + "\n\nUnderstood\n";
    for (const UnderstoodInput& input : report.understood) {
        text += fmt::format("  {:<20}{}\n", input.input, input.is);
        text += below(input);
    }
    text += basis_text(project, report);
    text += fmt::format("\nFindings: {}, {}, {}\n", counted(findings.count(Severity::error), "error"),
                        counted(findings.count(Severity::warning), "warning"),
                        counted(findings.count(Severity::note), "note"));
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
