#include "eaveshed/run/gather.hpp"

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/io/geopackage_writer.hpp"
#include "eaveshed/io/wording.hpp"
#include "eaveshed/record/us_units.hpp"
#include "eaveshed/run/cover.hpp"
#include "eaveshed/run/ranking.hpp"
#include "layers.hpp"
#include "parcel_rows.hpp"

namespace eaveshed::run {

namespace {

// The writer with one row's values, reused from row to row.
class RowWriter {
public:
    explicit RowWriter(const GatherJob& job)
        : m_writer(job.output, {.crs = job.inputs.output_crs,
                                .timestamp = newest_input_time(job.files),
                                .layers = output_layers(job.project.settings.output),
                                .closed_lists = closed_lists()}),
          m_us(job.project.settings.output.units == OutputUnits::us),
          m_curve(job.project.settings.output.storage_curve),
          m_to_output(job.inputs.footprints->crs, job.inputs.output_crs, "output.crs"),
          m_terrain_to_output(job.inputs.terrain->crs, job.inputs.output_crs, "output.crs") {
        if (m_us) {
            m_roof_us = us_columns(roof_columns());
            m_curve_us = us_columns(curve_columns());
            m_use_point_us = us_columns(use_point_columns());
            m_pad_us = us_columns(pad_columns());
            m_parcel_us = us_columns(parcel_columns());
            m_scenario_us = us_columns(scenario_columns());
            m_override_us = us_columns(override_columns());
        }
        if (job.inputs.parcels) {
            m_parcels_to_output.emplace(job.inputs.parcels->crs, job.inputs.output_crs, "output.crs");
        }
    }

    void write(const RoofResult& result, const MultiPolygon& outline);
    void write(const ParcelResult& result, const MultiPolygon& outline);
    void write(const OverrideRow& row) {
        set_values(row, m_override_us);
        m_writer.add(kOverridesLayer, m_values);
    }
    void finish(const std::vector<RunRecordRow>& record);

private:
    template <typename Row>
    void set_values(const Row& row, const std::vector<UsColumn>& us) {
        values_of(row, m_values);
        append_us_values(us, m_values);
    }

    void write_pad(const PadRow& pad);
    void write_scenarios(const std::vector<ScenarioRow>& rows);

    io::GeoPackageWriter m_writer;
    bool m_us;
    bool m_curve;
    io::Transform m_to_output;
    io::Transform m_terrain_to_output;
    std::optional<io::Transform> m_parcels_to_output;
    std::vector<UsColumn> m_roof_us;
    std::vector<UsColumn> m_curve_us;
    std::vector<UsColumn> m_use_point_us;
    std::vector<UsColumn> m_pad_us;
    std::vector<UsColumn> m_parcel_us;
    std::vector<UsColumn> m_scenario_us;
    std::vector<UsColumn> m_override_us;
    std::vector<Value> m_values;
};

void RowWriter::write_pad(const PadRow& pad) {
    if (const auto place = m_terrain_to_output(pad.place)) {
        set_values(pad, m_pad_us);
        m_writer.add(kPadsLayer, *place, *pad.pad_elev_m, m_values);
    }
}

void RowWriter::write_scenarios(const std::vector<ScenarioRow>& rows) {
    for (const ScenarioRow& row : rows) {
        set_values(row, m_scenario_us);
        m_writer.add(kScenariosLayer, m_values);
    }
}

void RowWriter::write(const RoofResult& result, const MultiPolygon& outline) {
    set_values(result.roof, m_roof_us);
    m_writer.add(kRoofsLayer, m_to_output(outline).value_or(MultiPolygon{}), m_values);
    if (result.pad) {
        write_pad(*result.pad);
    }
    if (result.use_point) {
        if (const auto place = m_terrain_to_output(result.use_point->place)) {
            set_values(*result.use_point, m_use_point_us);
            m_writer.add(kUsePointsLayer, *place, *result.use_point->use_elev_m, m_values);
        }
    }
    if (m_curve) {
        for (const CurveRow& row : result.curve) {
            set_values(row, m_curve_us);
            m_writer.add(kCurveLayer, m_values);
        }
    }
    write_scenarios(result.scenarios);
}

void RowWriter::write(const ParcelResult& result, const MultiPolygon& outline) {
    set_values(result.parcel, m_parcel_us);
    m_writer.add(kParcelsLayer, outline.empty() ? outline : (*m_parcels_to_output)(outline).value_or(MultiPolygon{}),
                 m_values);
    if (result.pad) {
        write_pad(*result.pad);
    }
    write_scenarios(result.scenarios);
}

void RowWriter::finish(const std::vector<RunRecordRow>& record) {
    for (const RunRecordRow& row : record) {
        values_of(row, m_values);
        m_writer.add(kRunRecordLayer, m_values);
    }
    m_writer.add_metadata(record_text(record));
    m_writer.finish();
}

void name_scenarios(const Settings& settings, std::vector<ScenarioRow>& rows) {
    for (std::size_t i = 0; i < rows.size(); ++i) {
        rows[i].scenario = settings.scenarios.at(i).name;
    }
}

}  // namespace

void set_names(ParcelResult& result, const Settings& settings, const std::string& pad_roof_id) {
    if (result.pad) {
        result.pad->roof_id = pad_roof_id;
        result.pad->parcel_id = result.parcel.parcel_id;
    }
    name_scenarios(settings, result.scenarios);
    for (ScenarioRow& row : result.scenarios) {
        row.parcel_id = result.parcel.parcel_id;
    }
}

void set_names(RoofResult& result, const std::string& roof_id, const std::optional<std::string>& parcel_id) {
    result.roof.roof_id = roof_id;
    result.roof.parcel_id = parcel_id;
    if (result.use_point) {
        result.use_point->roof_id = roof_id;
        result.use_point->parcel_id = parcel_id;
    }
    if (result.pad) {
        result.pad->roof_id = roof_id;
        result.pad->parcel_id = parcel_id;
    }
    for (CurveRow& row : result.curve) {
        row.roof_id = roof_id;
    }
}

namespace {

io::GatheredRows collect(const GatherJob& job) {
    io::GatheredRows rows(job.spool / "all", job.format, {job.plan.roofs.size(), job.plan.parcels.size()});
    for (std::uint64_t tile = 0; tile < job.plan.tiles.size(); ++tile) {
        rows.add(job.spool, tile);
        stop_if_requested();
    }
    if (!rows.complete()) {
        internal_error("the tiles together do not hold every input row");
    }
    return rows;
}

// A parcel's rows, but for what depends on other parcels.
ParcelResult parcel_result(const GatherJob& job, const ParcelRows& parcels, io::GatheredRows& rows,
                           std::uint32_t parcel, const io::ParcelRecord& record) {
    ParcelResult result = parcels.completed(parcel, record, rows.read_parcel(parcel).value_or(ParcelResult{}));
    set_names(result, job.project.settings,
              result.pad ? parcels.roof_id(static_cast<std::uint32_t>(result.pad_roof)) : "");
    return result;
}

// A gutter below the ground, or high above it, was more likely measured above another datum.
class EaveCheck {
public:
    void see(const io::FootprintRecord& record, const RoofRow& row) {
        constexpr double kHighM = 30.0;
        if (!record.eave_elev_m || !row.ground_elev_m) {
            return;
        }
        const double height_m = *record.eave_elev_m - *row.ground_elev_m;
        if (height_m <= 0.0 || height_m > kHighM) {
            m_odd.push_back(fmt::format("'{}' ({:.1f} m)", io::printable(record.roof_id, 60), height_m));
        }
    }
    void report(const GatherJob& job) const {
        if (!m_odd.empty()) {
            job.findings.warn({job.inputs.overrides->info.where,
                               fmt::format("measured eave elevations that lie below the ground or more than 30 m above "
                                           "it: {}",
                                           io::listed(m_odd, 5)),
                               "metres above the datum of terrain.elevation",
                               "check the datum and the unit; they are used as they are"});
        }
    }

private:
    std::vector<std::string> m_odd;  // as many as there are measured eaves at most
};

void write_parcels(const GatherJob& job, const ParcelRows& parcels, io::GatheredRows& rows, RowWriter& writer,
                   RunCounts& counts) {
    Ranking ranking(job.project.settings);
    for (std::uint32_t i = 0; i < parcels.count(); ++i) {
        // What the ranking reads of a row does not depend on the record, which stays on disk until the row is written.
        const ParcelResult result = parcel_result(job, parcels, rows, i, {});
        ranking.add(i, result.parcel, result.scenarios);
    }
    ranking.compute(job.threads);
    PlanReader reader(job.plan);
    for (std::uint32_t i = 0; i < parcels.count(); ++i) {
        const io::ParcelRecord record = reader.parcel(i);
        ParcelResult result = parcel_result(job, parcels, rows, i, record);
        ranking.fill(i, result.parcel);
        result.parcel.ask_first = questions_text(result.questions);
        counts.add(result.parcel);
        writer.write(result, record.outline);
        stop_if_requested();
    }
}

}  // namespace

RunCounts gather(const GatherJob& job, Progress& progress) {
    io::GatheredRows rows = collect(job);
    RowWriter writer(job);
    ParcelRows parcels(job.project, job.plan);
    RunCounts counts;
    EaveCheck eaves;
    PlanReader reader(job.plan);
    progress.begin("writing", job.plan.roofs.size(), "roofs");
    for (std::uint32_t ordinal = 0; ordinal < job.plan.roofs.size(); ++ordinal) {
        RoofResult result = rows.read(ordinal);
        const io::FootprintRecord record = reader.footprint(ordinal);
        const std::uint32_t parcel = job.plan.roofs[ordinal].parcel;
        set_names(result, record.roof_id,
                  parcel == kNone ? std::nullopt : std::optional(job.plan.parcels[parcel].parcel_id));
        parcels.see(ordinal, record.roof_id, result);
        counts.add(result.roof);
        eaves.see(record, result.roof);
        if (result.pad) {
            counts.add(*result.pad);
        }
        name_scenarios(job.project.settings, result.scenarios);
        for (ScenarioRow& row : result.scenarios) {
            row.roof_id = record.roof_id;
        }
        writer.write(result, record.outline);
        progress.advance(1);
        stop_if_requested();
    }
    write_parcels(job, parcels, rows, writer, counts);
    for (const OverrideRow& row : job.plan.overrides.rows) {
        writer.write(row);
    }
    eaves.report(job);
    report_cover(job.project, job.inputs, counts, job.findings);
    if (job.strict && job.findings.count(Severity::warning) > 0) {
        throw strict_error(job.project, job.findings, Fault::working);
    }
    writer.finish(run_record({.project = job.project,
                              .inputs = job.inputs,
                              .files = job.files,
                              .timeline = job.inputs.rain->timeline,
                              .overrides = job.plan.overrides,
                              .counts = counts,
                              .findings = job.findings}));
    progress.end();
    return counts;
}

}  // namespace eaveshed::run
