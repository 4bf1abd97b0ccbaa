#include "eaveshed/publish/run_record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/headline.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/record/values.hpp"
#include "eaveshed/settings/table.hpp"
#include "eaveshed/site/place.hpp"
#include "eaveshed/terrain/terrain_metric.hpp"
#include "eaveshed/words/version.hpp"

namespace eaveshed {

namespace {

class RecordRows {
public:
    void add(std::string key, std::string value) { m_rows.push_back({std::move(key), std::move(value)}); }
    void add(const std::string& key, std::uint64_t value) { add(key, std::to_string(value)); }
    void add(const std::string& key, std::optional<double> value) {
        add(key, value ? fmt::format("{}", *value) : std::string(kNotKnown));
    }
    template <std::size_t N>
    void add_counts(const std::string& prefix, const std::array<Term, N>& terms,
                    const std::array<std::uint64_t, N>& counts) {
        for (std::size_t i = 0; i < N; ++i) {
            add(prefix + std::string(terms[i].name), counts[i]);
        }
    }
    void add(std::vector<RunRecordRow> rows) {
        m_rows.insert(m_rows.end(), std::make_move_iterator(rows.begin()), std::make_move_iterator(rows.end()));
    }
    [[nodiscard]] std::vector<RunRecordRow> take() { return std::move(m_rows); }

private:
    std::vector<RunRecordRow> m_rows;
};

void add_inputs(const std::vector<InputFile>& files, RecordRows& rows) {
    for (std::size_t i = 0; i < files.size(); ++i) {
        const InputFile& file = files[i];
        const std::string prefix = fmt::format("input.{:03}.", i + 1);
        rows.add(prefix + "setting", file.setting);
        rows.add(prefix + "path", file.fingerprint.path_as_given);
        rows.add(prefix + "size_bytes", file.fingerprint.size);
        rows.add(prefix + "modified", file.fingerprint.modified_utc);
        rows.add(prefix + "sha256", file.fingerprint.sha256);
    }
}

void add_reference_systems(const RunFacts& facts, RecordRows& rows) {
    rows.add("crs.footprints", facts.inputs.footprints().info.crs.name());
    rows.add("crs.terrain", facts.inputs.terrain().crs.name());
    rows.add("crs.rain", facts.inputs.rain->crs.name());
    rows.add("crs.output", facts.inputs.output_crs.name());
}

// The gauges that some roof draws on. A gauge without a place counts everywhere.
void add_gauges(const RunFacts& facts, RecordRows& rows) {
    if (!facts.inputs.rain->gauges) {
        return;
    }
    const GaugeTableInfo& table = *facts.inputs.rain->gauges;
    rows.add("rain.gauges", table.stations.size());
    rows.add("rain.gauges_used", facts.stations_used.size());
    for (std::size_t i = 0; i < facts.stations_used.size(); ++i) {
        const GaugeStation& gauge = table.stations.at(facts.stations_used[i]);
        const std::string prefix = fmt::format("rain.gauge.{:03}.", i + 1);
        rows.add(prefix + "id", gauge.id);
        if (gauge.degrees) {
            rows.add(prefix + "longitude_deg", std::optional(gauge.degrees->x));
            rows.add(prefix + "latitude_deg", std::optional(gauge.degrees->y));
        }
        if (gauge.first) {
            rows.add(prefix + "first_value", to_text(*gauge.first));
            rows.add(prefix + "last_value", to_text(*gauge.last));
        }
        rows.add(prefix + "missing_share", std::optional(gauge.missing_share));
        rows.add(prefix + "mean_year_mm", gauge.mean_year_mm);
    }
}

// A mean year has no dates; where its rain is not known neither are its depths.
void add_rain(const RunFacts& facts, RecordRows& rows) {
    const Timeline& timeline = facts.timeline;
    if (timeline.is_series()) {
        rows.add("rain.steps", timeline.steps.size());
        rows.add("rain.calendar", std::string(to_text(timeline.calendar)));
        rows.add("rain.first_step", to_text(timeline.first));
        rows.add("rain.last_day", to_text(last_day(timeline)));
        rows.add("rain.complete_tank_years", timeline.years.size());
        if (!timeline.years.empty()) {
            rows.add("rain.first_tank_year", std::to_string(timeline.years.front().name));
            rows.add("rain.last_tank_year", std::to_string(timeline.years.back().name));
        }
        rows.add("rain.partial_tank_years", static_cast<std::uint64_t>(timeline.partial_years));
    }
    std::optional<double> year_mm;
    std::optional<double> forbear_mm;
    if (facts.mean_year_mm) {
        year_mm = sum_of_year(*facts.mean_year_mm);
        forbear_mm = sum_over(*facts.mean_year_mm, facts.project.settings.season_months().forbear);
    }
    rows.add("rain.mean_year_mm", year_mm);
    rows.add("rain.mean_forbearance_mm", forbear_mm);
    rows.add("rain.forbearance_share",
             year_mm.value_or(0.0) > 0.0 ? std::optional(*forbear_mm / *year_mm) : std::nullopt);
}

// The longer side of a cell and the error of elevations that is given or taken from it; of a raster in degrees, those
// of its middle.
void add_terrain(const Settings& settings, const Inputs& inputs, RecordRows& rows) {
    const Grid& grid = inputs.terrain().grid;
    const CellSides sides = cell_sides(grid, terrain_metric(inputs), grid.extent().middle());
    rows.add("terrain.cell_m", std::optional(sides.larger_m()));
    rows.add("terrain.rmse_m", std::optional(elevation_rmse_m(sides, settings.terrain)));
}

// What the streams are, and the cells that water was led over.
void add_streams(const Creeks& creeks, const Inputs& inputs, RecordRows& rows) {
    if (creeks.empty()) {
        return;
    }
    rows.add("streams.reaches", creeks.reaches().size());
    rows.add("streams.outlets", creeks.tree().outlets().size());
    if (creeks.ways() != nullptr) {
        const Grid& grid = creeks.ways()->grid();
        const CellSides sides = cell_sides(grid, terrain_metric(inputs), grid.extent().middle());
        rows.add("streams.led_over", fmt::format("{} x {} cells of {:.6g} x {:.6g} m", grid.cols, grid.rows,
                                                 sides.width_m, sides.height_m));
    }
}

// All that storage could replace, part by part; the parts add up to the whole.
void add_headline(const RunFacts& facts, RecordRows& rows) {
    const bool has_parcels = facts.inputs.layer("parcels.source") != nullptr;
    const RunCounts& counts = facts.counts;
    const Headline& headline = has_parcels ? counts.headline_of_parcels() : counts.headline_of_single_roofs();
    const auto add = [&rows](const std::string& part, const HeadlineSum& sum) {
        rows.add("headline." + part + ".number", sum.number);
        rows.add("headline." + part + ".forbearance_m3", std::optional(sum.forbearance_m3));
        rows.add("headline." + part + ".felt_m3", std::optional(sum.felt_m3));
        rows.add("headline." + part + ".felt_lps", std::optional(sum.felt_lps));
    };
    rows.add("headline.of", has_parcels ? "parcels" : "roofs");
    const auto& parts = terms_of<HeadlinePart>();
    for (std::size_t i = 0; i < parts.size(); ++i) {
        add(std::string(parts[i].name), headline[i]);
    }
    add("all", sum_of(headline));
    if (has_parcels) {
        add("roofs_in_no_parcel", sum_of(counts.headline_of_single_roofs()));
    }
    rows.add_counts("count.candidates.delivery.", terms_of<Delivery>(), counts.candidates_by_delivery());
    rows.add_counts("count.candidates.gravity_check.", terms_of<GravityCheck>(), counts.candidates_by_gravity());
}

// Sums over rows: harvest of computed roofs; what parcels, and roofs in no parcel, could replace, and what of it rests
// on rows with each flag.
void add_sums(const RunCounts& counts, RecordRows& rows) {
    const GroupSum& roofs = counts.computed();
    rows.add("sum.harvest_mean_m3", roofs.roofs > 0 ? std::optional(roofs.harvest_mean_m3) : std::nullopt);
    rows.add("sum.harvest_dependable_m3",
             roofs.with_dependable > 0 ? std::optional(roofs.harvest_dependable_m3) : std::nullopt);
    rows.add("sum.forbearance_m3", std::optional(counts.all_properties().forbearance_m3));
    const auto& flags = terms_of<Flag>();
    for (std::size_t i = 0; i < flags.size(); ++i) {
        rows.add("sum.flag_forbearance_m3." + std::string(flags[i].name), std::optional(counts.flagged_volume_m3()[i]));
    }
}

void add_counts(const RunCounts& counts, RecordRows& rows) {
    rows.add("count.rows", counts.rows());
    rows.add_counts("count.status.", terms_of<Status>(), counts.by_status());
    rows.add_counts("count.flag.", terms_of<Flag>(), counts.by_flag());
    rows.add_counts("count.parcel_flag.", terms_of<Flag>(), counts.by_parcel_flag());
    const auto& deliveries = terms_of<Delivery>();
    for (std::size_t i = 0; i < deliveries.size(); ++i) {
        rows.add("count.delivery." + std::string(deliveries[i].name), counts.by_delivery()[i].roofs);
    }
    for (std::size_t i = 0; i < counts.by_stage().size(); ++i) {
        rows.add(fmt::format("count.pad_stage.{}", i + 1), counts.by_stage()[i]);
    }
    rows.add_counts("count.no_pad_reason.", terms_of<PadReason>(), counts.by_reason());
    rows.add("count.roofs_in_no_parcel", counts.without_parcel());
    rows.add("count.parcels", counts.parcels());
    rows.add_counts("count.parcel_status.", terms_of<ParcelStatus>(), counts.parcels_by_status());
    rows.add_counts("count.contact_status.", terms_of<ContactStatus>(), counts.parcels_by_contact());
    rows.add("count.parcels_cut_by_the_edge", counts.cut_parcels());
    rows.add("count.parcels_outside", counts.outside_parcels());
}

// Told here and not in every row: the score does without what no candidate has.
void add_ranking(const std::vector<std::string_view>& without_data, RecordRows& rows) {
    if (!without_data.empty()) {
        rows.add("ranking.components_without_data", fmt::format("{}", fmt::join(without_data, ",")));
    }
}

std::string text_of(const Value& value) {
    if (const auto* const real = std::get_if<double>(&value)) {
        return fmt::format("{}", *real);
    }
    if (const auto* const whole = std::get_if<std::int64_t>(&value)) {
        return fmt::format("{}", *whole);
    }
    const auto* const text = std::get_if<std::string>(&value);
    return text != nullptr ? *text : "";
}

// "roof_id=R7; outcome=no_match; ...": all that is given.
std::string override_text(const OverrideRow& row) {
    std::vector<Value> values;
    values_of(row, values);
    const std::vector<Column> columns = columns_of<OverrideRow>();
    std::string text;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        if (!std::holds_alternative<std::monostate>(values[i])) {
            text += fmt::format("{}{}={}", text.empty() ? "" : "; ", columns[i].field.name, text_of(values[i]));
        }
    }
    return text;
}

// Nothing that was entered by hand is lost: rows that were not applied stand here whole.
void add_overrides(const Overrides& overrides, RecordRows& rows) {
    if (overrides.rows.empty()) {
        return;
    }
    const auto& outcomes = terms_of<OverrideOutcome>();
    for (std::size_t i = 0; i < outcomes.size(); ++i) {
        rows.add("count.override." + std::string(outcomes[i].name), overrides.count(static_cast<OverrideOutcome>(i)));
    }
    std::size_t number = 0;
    for (const OverrideRow& row : overrides.rows) {
        if (row.outcome != OverrideOutcome::applied && row.outcome != OverrideOutcome::carried) {
            rows.add(fmt::format("override_not_applied.{:03}", ++number), override_text(row));
        }
    }
}

}  // namespace

std::vector<RunRecordRow> identity_rows(const Project& project, const std::vector<InputFile>& files,
                                        std::span<const std::pair<std::string, std::string>> libraries) {
    RecordRows rows;
    rows.add("program.name", "eaveshed");
    rows.add("program.version", program_version());
    for (const auto& [name, version] : libraries) {
        rows.add("library." + name, version);
    }
    for (const auto& [name, value] : effective_settings(project.settings)) {
        rows.add("setting." + name, value);
    }
    add_inputs(files, rows);
    return rows.take();
}

std::vector<RunRecordRow> run_record(const RunFacts& facts) {
    RecordRows rows;
    rows.add(identity_rows(facts.project, facts.files, facts.libraries));
    add_reference_systems(facts, rows);
    add_rain(facts, rows);
    add_gauges(facts, rows);
    add_terrain(facts.project.settings, facts.inputs, rows);
    add_streams(facts.creeks, facts.inputs, rows);
    add_counts(facts.counts, rows);
    add_headline(facts, rows);
    add_sums(facts.counts, rows);
    add_ranking(facts.components_without_data, rows);
    add_overrides(facts.overrides, rows);
    std::size_t number = 0;
    for (const Finding& finding : facts.findings.list()) {
        if (finding.severity == Severity::warning) {
            rows.add(fmt::format("warning.{:03}", ++number), with_given_paths(facts.project, to_text(finding.trouble)));
        }
    }
    return rows.take();
}

std::string record_text(const std::vector<RunRecordRow>& rows) {
    std::string text;
    for (const RunRecordRow& row : rows) {
        text += row.key + " = " + row.value + '\n';
    }
    return text;
}

}  // namespace eaveshed
