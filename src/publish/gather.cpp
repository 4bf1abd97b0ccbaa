#include "eaveshed/publish/gather.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/core/error.hpp"
#include "eaveshed/package/geopackage_writer.hpp"
#include "eaveshed/package/layers.hpp"
#include "eaveshed/progress/two_steps.hpp"
#include "eaveshed/publish/coverage.hpp"
#include "eaveshed/publish/parcel_assembly.hpp"
#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/record/us_units.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

using Batch = std::vector<LayerRow>;

// The output's rows as its columns want them. One thread at a time; another may write what was made.
class RowMaker {
public:
    RowMaker(const GatherJob& job, const GeoPackageWriter& writer)
        : m_writer(writer),
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

    void add(const RoofRows& result, const MultiPolygon& outline, Batch& batch) const;
    void add(const ParcelRows& result, const MultiPolygon& outline, Batch& batch) const;
    void add(const OverrideRow& row, Batch& batch) const {
        batch.push_back(m_writer.made(kOverridesLayer, values(row, m_override_us)));
    }
    void add(const RunRecordRow& row, Batch& batch) const {
        batch.push_back(m_writer.made(kRunRecordLayer, values(row, {})));
    }

private:
    template <typename Row>
    static std::vector<Value> values(const Row& row, const std::vector<UsColumn>& us) {
        std::vector<Value> values;
        values_of(row, values);
        append_us_values(us, values);
        return values;
    }

    void add_pad(const PadRow& pad, Batch& batch) const;
    void add_scenarios(const std::vector<ScenarioRow>& rows, Batch& batch) const;

    const GeoPackageWriter& m_writer;
    bool m_us;
    bool m_curve;
    Transform m_to_output;
    Transform m_terrain_to_output;
    std::optional<Transform> m_parcels_to_output;
    std::vector<UsColumn> m_roof_us;
    std::vector<UsColumn> m_curve_us;
    std::vector<UsColumn> m_use_point_us;
    std::vector<UsColumn> m_pad_us;
    std::vector<UsColumn> m_parcel_us;
    std::vector<UsColumn> m_scenario_us;
    std::vector<UsColumn> m_override_us;
};

void RowMaker::add_pad(const PadRow& pad, Batch& batch) const {
    if (const auto place = m_terrain_to_output(pad.place)) {
        batch.push_back(m_writer.made(kPadsLayer, *place, *pad.pad_elev_m, values(pad, m_pad_us)));
    }
}

void RowMaker::add_scenarios(const std::vector<ScenarioRow>& rows, Batch& batch) const {
    for (const ScenarioRow& row : rows) {
        batch.push_back(m_writer.made(kScenariosLayer, values(row, m_scenario_us)));
    }
}

void RowMaker::add(const RoofRows& result, const MultiPolygon& outline, Batch& batch) const {
    batch.push_back(
        m_writer.made(kRoofsLayer, m_to_output(outline).value_or(MultiPolygon{}), values(result.roof, m_roof_us)));
    if (result.pad) {
        add_pad(*result.pad, batch);
    }
    if (result.use_point) {
        if (const auto place = m_terrain_to_output(result.use_point->place)) {
            batch.push_back(m_writer.made(kUsePointsLayer, *place, *result.use_point->use_elev_m,
                                          values(*result.use_point, m_use_point_us)));
        }
    }
    if (m_curve) {
        for (const CurveRow& row : result.curve) {
            batch.push_back(m_writer.made(kCurveLayer, values(row, m_curve_us)));
        }
    }
    add_scenarios(result.scenarios, batch);
}

void RowMaker::add(const ParcelRows& result, const MultiPolygon& outline, Batch& batch) const {
    batch.push_back(m_writer.made(kParcelsLayer,
                                  outline.empty() ? outline : (*m_parcels_to_output)(outline).value_or(MultiPolygon{}),
                                  values(result.parcel, m_parcel_us)));
    if (result.pad) {
        add_pad(*result.pad, batch);
    }
    add_scenarios(result.scenarios, batch);
}

void write_batch(GeoPackageWriter& writer, const Batch& batch) {
    for (const LayerRow& row : batch) {
        writer.add(row);
    }
}

// Makes the rows of items 0, 1, ... `count` - 1 while those before are written.
template <typename AddItem>
void write_items(GeoPackageWriter& writer, std::uint32_t count, const AddItem& add_item) {
    constexpr std::uint32_t kItemsInBatch = 128;
    std::uint32_t next = 0;
    const auto make = [&]() -> std::optional<Batch> {
        if (next == count) {
            return std::nullopt;
        }
        Batch batch;
        for (const std::uint32_t end = std::min(count, next + kItemsInBatch); next < end; ++next) {
            add_item(next, batch);
            stop_if_requested();
        }
        return batch;
    };
    in_two_steps(make, [&](const Batch& batch) { write_batch(writer, batch); });
}

void name_scenarios(const Settings& settings, std::vector<ScenarioRow>& rows) {
    for (std::size_t i = 0; i < rows.size(); ++i) {
        rows[i].scenario = settings.scenarios.at(i).name;
    }
}

}  // namespace

void set_names(ParcelRows& result, const Settings& settings, const std::string& pad_roof_id) {
    if (result.pad) {
        result.pad->roof_id = pad_roof_id;
        result.pad->parcel_id = result.parcel.parcel_id;
    }
    name_scenarios(settings, result.scenarios);
    for (ScenarioRow& row : result.scenarios) {
        row.parcel_id = result.parcel.parcel_id;
    }
}

void set_names(RoofRows& result, const std::string& roof_id, const std::optional<std::string>& parcel_id) {
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

GatheredRows collect(const GatherJob& job) {
    GatheredRows rows(job.spool / "all", job.format, {job.plan.roofs.size(), job.plan.parcels.size()});
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
ParcelRows parcel_result(const GatherJob& job, const ParcelAssembly& parcels, GatheredRows& rows, std::uint32_t parcel,
                         const ParcelRecord& record) {
    ParcelRows result = parcels.completed(parcel, record, rows.read_parcel(parcel).value_or(ParcelRows{}));
    set_names(result, job.project.settings,
              result.pad ? parcels.roof_id(static_cast<std::uint32_t>(result.pad_roof)) : "");
    return result;
}

// A gutter below the ground, or high above it, was more likely measured above another datum.
class EaveCheck {
public:
    void see(const FootprintRecord& record, const RoofRow& row) {
        constexpr double kHighM = 30.0;
        if (!record.facts.eave_elev_m || !row.ground_elev_m) {
            return;
        }
        const double height_m = *record.facts.eave_elev_m - *row.ground_elev_m;
        if (height_m <= 0.0 || height_m > kHighM) {
            m_odd.push_back(fmt::format("'{}' ({:.1f} m)", printable(record.roof_id, 60), height_m));
        }
    }
    void report(const GatherJob& job) const {
        if (!m_odd.empty()) {
            job.findings.warn({job.inputs.overrides->info.where,
                               fmt::format("measured eave elevations that lie below the ground or more than 30 m above "
                                           "it: {}",
                                           listed(m_odd, 5)),
                               "metres above the datum of terrain.elevation",
                               "check the datum and the unit; they are used as they are"});
        }
    }

private:
    std::vector<std::string> m_odd;  // as many as there are measured eaves at most
};

void write_parcels(const GatherJob& job, const ParcelAssembly& parcels, GatheredRows& rows, const RowMaker& maker,
                   GeoPackageWriter& writer, RunCounts& counts) {
    Ranking ranking(job.project.settings);
    for (std::uint32_t i = 0; i < parcels.count(); ++i) {
        // What the ranking reads of a row does not depend on the record, which stays on disk until the row is written.
        const ParcelRows result = parcel_result(job, parcels, rows, i, {});
        ranking.add(i, result.parcel, result.scenarios);
    }
    ranking.compute(job.threads);
    PlanReader reader(job.plan);
    write_items(writer, parcels.count(), [&](std::uint32_t i, Batch& batch) {
        const ParcelRecord record = reader.parcel(i);
        ParcelRows result = parcel_result(job, parcels, rows, i, record);
        ranking.fill(i, result.parcel);
        result.parcel.ask_first = questions_text(result.questions);
        counts.add(result.parcel);
        maker.add(result, record.outline, batch);
    });
}

// What is seen of the roofs on the way: for their parcels, the summary and the warnings.
struct SeenRoofs {
    ParcelAssembly& parcels;
    RunCounts& counts;
    EaveCheck& eaves;
};

void write_roofs(const GatherJob& job, GatheredRows& rows, const RowMaker& maker, GeoPackageWriter& writer,
                 const SeenRoofs& seen, Progress& progress) {
    PlanReader reader(job.plan);
    const auto count = static_cast<std::uint32_t>(job.plan.roofs.size());
    progress.begin("writing", count, "roofs");
    write_items(writer, count, [&](std::uint32_t ordinal, Batch& batch) {
        RoofRows result = rows.read(ordinal);
        const FootprintRecord record = reader.footprint(ordinal);
        const std::uint32_t parcel = job.plan.roofs[ordinal].parcel;
        set_names(result, record.roof_id,
                  parcel == kNone ? std::nullopt : std::optional(job.plan.parcels[parcel].parcel_id));
        seen.parcels.see(ordinal, record.roof_id, result);
        seen.counts.add(result.roof);
        seen.eaves.see(record, result.roof);
        if (result.pad) {
            seen.counts.add(*result.pad);
        }
        name_scenarios(job.project.settings, result.scenarios);
        for (ScenarioRow& row : result.scenarios) {
            row.roof_id = record.roof_id;
        }
        maker.add(result, record.outline, batch);
        progress.advance(1);
    });
}

}  // namespace

RunCounts gather(const GatherJob& job, Progress& progress) {
    GatheredRows rows = collect(job);
    GeoPackageWriter writer(job.output, {.crs = job.inputs.output_crs,
                                         .timestamp = newest_input_time(job.files),
                                         .layers = output_layers(job.project.settings.output),
                                         .closed_lists = closed_lists()});
    const RowMaker maker(job, writer);
    ParcelAssembly parcels(job.project, job.plan);
    RunCounts counts;
    EaveCheck eaves;
    write_roofs(job, rows, maker, writer, {parcels, counts, eaves}, progress);
    writer.complete(kRoofsLayer);
    writer.complete(kUsePointsLayer);
    write_parcels(job, parcels, rows, maker, writer, counts);
    Batch last;
    for (const OverrideRow& row : job.plan.overrides.rows) {
        maker.add(row, last);
    }
    eaves.report(job);
    report_coverage(job.project, job.inputs, counts, job.findings);
    if (job.strict && job.findings.count(Severity::warning) > 0) {
        throw strict_error(job.project, job.findings, Fault::working);
    }
    const std::vector<RunRecordRow> record = run_record({.project = job.project,
                                                         .inputs = job.inputs,
                                                         .files = job.files,
                                                         .timeline = job.inputs.rain->timeline,
                                                         .overrides = job.plan.overrides,
                                                         .counts = counts,
                                                         .findings = job.findings});
    for (const RunRecordRow& row : record) {
        maker.add(row, last);
    }
    write_batch(writer, last);
    writer.add_metadata(record_text(record));
    writer.finish();
    progress.end();
    return counts;
}

}  // namespace eaveshed
