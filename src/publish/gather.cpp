#include "eaveshed/publish/gather.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <numeric>

#include "eaveshed/core/error.hpp"
#include "eaveshed/progress/two_steps.hpp"
#include "eaveshed/publish/coverage.hpp"
#include "eaveshed/publish/parcel_assembly.hpp"
#include "eaveshed/publish/stream_accounts.hpp"
#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/words/wording.hpp"
#include "row_maker.hpp"
#include "stream_layers.hpp"

namespace eaveshed {

namespace {

// Makes the rows of items 0, 1, ... `count` - 1 while those before are written.
// `rest`: called now and then, so that what was gone through takes no memory any more.
template <typename AddItem>
void write_items(ResultWriter& writer, std::uint32_t count, const AddItem& add_item,
                 const std::function<void()>& rest) {
    constexpr std::uint32_t kItemsInBatch = 128;
    constexpr std::uint32_t kItemsBetweenRests = kItemsInBatch << 9U;
    std::uint32_t next = 0;
    const auto make = [&]() -> std::optional<RowBatch> {
        if (next == count) {
            return std::nullopt;
        }
        RowBatch batch;
        for (const std::uint32_t end = std::min(count, next + kItemsInBatch); next < end; ++next) {
            add_item(next, batch);
            stop_if_requested();
        }
        if (next % kItemsBetweenRests == 0) {
            rest();
        }
        return batch;
    };
    in_two_steps(make, [&](const RowBatch& batch) { writer.add(batch); });
}

void name_scenarios(const Settings& settings, std::vector<ScenarioRow>& rows) {
    for (std::size_t i = 0; i < rows.size(); ++i) {
        rows[i].scenario = settings.scenarios.at(i).name;
    }
}

}  // namespace

namespace {

bool opted_out(ContactStatus status) {
    return status == ContactStatus::declined || status == ContactStatus::do_not_contact;
}

template <typename Row>
void mark(Row& row, ContactStatus contact, Flags flags) {
    row.opted_out = opted_out(contact);
    row.coarse_elevation = flags.has(Flag::coarse_elevation);
}

}  // namespace

void set_names(ParcelRows& result, const Settings& settings, const std::string& pad_roof_id) {
    const ParcelRow& parcel = result.parcel;
    const auto name = [&](auto& row) {
        if (row) {
            row->roof_id = pad_roof_id;
            row->parcel_id = parcel.parcel_id;
            mark(*row, parcel.contact_status, parcel.flags);
        }
    };
    name(result.pad);
    name(result.feed);
    for (ParcelOptionRow& row : result.options) {
        row.parcel_id = parcel.parcel_id;
    }
    name_scenarios(settings, result.scenarios);
    for (ScenarioRow& row : result.scenarios) {
        row.parcel_id = parcel.parcel_id;
    }
}

void set_names(RoofRows& result, const std::string& roof_id, const Plan& plan, std::uint32_t parcel) {
    const bool in_parcel = parcel != kNone;
    const auto parcel_id = in_parcel ? std::optional(std::string(plan.parcel_id(parcel))) : std::nullopt;
    const ContactStatus contact = in_parcel ? plan.parcels[parcel].contact : ContactStatus::candidate;
    result.roof.roof_id = roof_id;
    result.roof.parcel_id = parcel_id;
    if (result.use_point) {
        result.use_point->roof_id = roof_id;
        result.use_point->parcel_id = parcel_id;
        result.use_point->opted_out = opted_out(contact);
    }
    const auto name = [&](auto& row) {
        if (row) {
            row->roof_id = roof_id;
            row->parcel_id = parcel_id;
            mark(*row, contact, result.roof.flags);
        }
    };
    name(result.pad);
    name(result.fill);
    name(result.feed);
    name(result.shared_fill);
    for (CurveRow& row : result.curve) {
        row.roof_id = roof_id;
    }
}

namespace {

// A parcel's rows, but for what depends on other parcels.
ParcelRows parcel_result(const GatherJob& job, const ParcelAssembly& parcels, RowsInOrder& rows, std::uint32_t parcel,
                         const ParcelRecord& record) {
    ParcelRows result = parcels.completed(parcel, record, rows.parcel(parcel).value_or(ParcelRows{}));
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

// What is seen on the way: of roofs for their parcels, of all for the streams, the summary and the warnings.
struct Seen {
    ParcelAssembly& parcels;
    StreamAccounts& streams;
    RunCounts& counts;
    EaveCheck& eaves;

    void rest(const GatherJob& job) const {
        job.plan.rest();
        job.rows.rest();
        parcels.rest();
        streams.rest();
    }
};

// Ranks, while what the roofs need no longer is indexed, and writes. Gives the components of the score that no
// candidate has data for.
std::vector<std::string_view> write_parcels(const GatherJob& job, RowsInOrder& rows, const RowMaker& maker,
                                            ResultWriter& writer, const Seen& seen) {
    constexpr std::uint32_t kParcelsBetweenRests = std::uint32_t{1} << 16U;
    const ParcelAssembly& parcels = seen.parcels;
    const auto result_of = [&](std::uint32_t parcel, const ParcelRecord& record) {
        ParcelRows result = parcel_result(job, parcels, rows, parcel, record);
        seen.streams.place(parcel, parcels.first_ok_roof(parcel), result);
        return result;
    };
    Ranking ranking(job.project.settings, job.scratch);
    const auto rank = [&] {
        for (std::uint32_t i = 0; i < parcels.count(); ++i) {
            // What the ranking reads of a row does not depend on the record, which stays on disk until the row is
            // written.
            const ParcelRows result = result_of(i, {});
            ranking.add(i, result.parcel, result.scenarios);
            if (i % kParcelsBetweenRests == 0) {
                seen.rest(job);
                ranking.rest();
            }
        }
        ranking.compute(job.threads);
    };
    const auto index_roofs = [&] {
        writer.complete(kTableOf<RoofRow>);
        writer.complete(kTableOf<UsePointRow>);
    };
    side_by_side(index_roofs, rank);
    PlanReader reader(job.plan);
    const auto add_parcel = [&](std::uint32_t i, RowBatch& batch) {
        const ParcelRecord record = reader.parcel(i);
        ParcelRows result = result_of(i, record);
        ranking.fill(i, result.parcel);
        result.parcel.ask_first = questions_text(result.questions, job.project.settings.output.units);
        seen.counts.add(result.parcel);
        seen.streams.count(i, result.parcel);
        maker.add(result, record.outline, batch);
    };
    write_items(writer, parcels.count(), add_parcel, [&] {
        seen.rest(job);
        ranking.rest();
    });
    return ranking.components_without_data();
}

void write_roofs(const GatherJob& job, RowsInOrder& rows, const RowMaker& maker, ResultWriter& writer, const Seen& seen,
                 Progress& progress) {
    PlanReader reader(job.plan);
    const auto count = static_cast<std::uint32_t>(job.plan.roofs.size());
    progress.begin("writing", count, "roofs");
    const auto add_roof = [&](std::uint32_t ordinal, RowBatch& batch) {
        RoofRows result = rows.roof(ordinal);
        const FootprintRecord record = reader.footprint(ordinal);
        const std::uint32_t parcel = job.plan.roofs[ordinal].parcel;
        set_names(result, record.roof_id, job.plan, parcel);
        seen.parcels.see(ordinal, record.roof_id, result);
        seen.streams.take(ordinal, record.outline.empty() ? std::nullopt : std::optional(record.interior), result);
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
    };
    write_items(writer, count, add_roof, [&] { seen.rest(job); });
}

// Nothing is lost on the way: a row for each feature that was read, each with one status.
void require_all_rows(const Plan& plan, const RunCounts& counts) {
    const auto& by_status = counts.by_status();
    const auto with_status = std::accumulate(by_status.begin(), by_status.end(), std::uint64_t{0});
    if (counts.rows() != plan.roofs.size() || with_status != plan.roofs.size()) {
        internal_error("the output does not hold one row for each footprint of the input");
    }
}

}  // namespace

RunCounts gather(const GatherJob& job, Progress& progress) {
    RowsInOrder& rows = job.rows;
    ResultWriter& writer = job.writer;
    const RowMaker maker(job.project.settings, job.inputs, writer);
    ParcelAssembly parcels(job.project, job.plan, job.scratch);
    RunCounts counts;
    EaveCheck eaves;
    StreamAccounts streams(job.creeks, job.subbasins, job.inputs, job.plan, job.scratch);
    const Seen seen{parcels, streams, counts, eaves};
    write_roofs(job, rows, maker, writer, seen, progress);
    require_all_rows(job.plan, counts);
    const auto without_data = write_parcels(job, rows, maker, writer, seen);
    RowBatch last;
    add_stream_layers(job, streams, maker, last);
    for (const OverrideRow& row : job.plan.overrides.rows) {
        maker.add_row(last, row);
    }
    eaves.report(job);
    report_coverage(job.project, job.inputs, counts, job.findings);
    report_streams(job.inputs, job.creeks, job.subbasins, streams, job.findings);
    if (job.strict && job.findings.count(Severity::warning) > 0) {
        throw strict_error(job.project, job.findings, Fault::working);
    }
    const std::vector<RunRecordRow> record = run_record({.project = job.project,
                                                         .inputs = job.inputs,
                                                         .creeks = job.creeks,
                                                         .files = job.files,
                                                         .timeline = job.inputs.rain->timeline,
                                                         .overrides = job.plan.overrides,
                                                         .counts = counts,
                                                         .components_without_data = without_data,
                                                         .findings = job.findings,
                                                         .libraries = job.libraries,
                                                         .mean_year_mm = job.mean_year_mm,
                                                         .stations_used = job.stations_used});
    for (const RunRecordRow& row : record) {
        maker.add_row(last, row);
    }
    writer.add(last);
    writer.add_metadata(record_text(record));
    writer.finish();
    progress.end();
    return counts;
}

}  // namespace eaveshed
