#include <tbb/global_control.h>

#include <filesystem>

#include "eaveshed/evaluate/evaluate_tiles.hpp"
#include "eaveshed/feed/kept_climate.hpp"
#include "eaveshed/feed/planned_tiles.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/plan/kept_plan.hpp"
#include "eaveshed/run/split.hpp"
#include "eaveshed/store/rows_file.hpp"
#include "plan_project.hpp"
#include "steps.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

// The rows of a slice, numbered as in the input and its tiles as in the whole plan.
class RowsOfPart final : public TileRowSink {
public:
    RowsOfPart(const PlanSlice& slice, std::uint64_t first_tile, RowsFile& file)
        : m_slice(slice), m_first_tile(first_tile), m_file(file) {}

    void write(std::uint64_t tile, const TileRows& rows) override {
        TileRows numbered = rows;
        for (RoofRows& roof : numbered.roofs) {
            roof.ordinal = m_slice.roof_ordinals.at(roof.ordinal);
        }
        for (ParcelRows& parcel : numbered.parcels) {
            parcel.ordinal = m_slice.parcel_ordinals.at(parcel.ordinal);
            if (parcel.pad) {
                parcel.pad_roof = m_slice.roof_ordinals.at(parcel.pad_roof);
            }
        }
        m_file.write(m_first_tile + tile, numbered);
    }

private:
    const PlanSlice& m_slice;
    std::uint64_t m_first_tile;
    RowsFile& m_file;
};

// Whether the part's rows stand already. What stands there and is not whole is computed again.
bool stands(const fs::path& path, const SpoolFormat& format, const RowsOf& of) {
    std::error_code fault;
    if (!fs::exists(path, fault)) {
        return false;
    }
    try {
        static_cast<void>(RowsFile::finished(path, format, of));
        return true;
    } catch (const Error& error) {
        if (error.fault() != Fault::working) {
            throw;
        }
        return false;
    }
}

// Where a shared folder knows no locks, a worker of the same part on another host may take a draft for left over.
void require_still_there(const fs::path& draft) {
    std::error_code fault;
    if (!fs::exists(draft, fault)) {
        throw Error(Fault::passing, {draft.string(), "a draft that another worker of this part has cleared away", "",
                                     "run the part again: it is done, or will be"});
    }
}

void require_part(const PlanInParts& plan, std::uint64_t part) {
    if (part < 1 || part > plan.facts().parts.size()) {
        throw input_error(plan.folder.string(), "no part " + std::to_string(part),
                          "a part from 1 to " + std::to_string(plan.facts().parts.size()), "check the number");
    }
}

}  // namespace

PartResult screen_part(const PartOptions& options, Progress& progress) {
    const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, options.threads);
    const PlanInParts plan = plan_in_parts(options.folder);
    require_part(plan, options.part);
    const PartOfPlan& part = plan.part(options.part);
    const fs::path path = rows_path(plan.folder, options.part);
    const PlanSlice slice = kept_slice(plan.folder, slice_path(plan.folder, options.part));
    const RowsOf of{part.first_tile, tile_sizes(slice.plan)};
    Findings findings;  // they were told when the plan was made
    const Project project = project_of_plan(plan, options.project, findings);
    const SpoolFormat format = spool_format(project, plan.manifest.identity);
    if (stands(path, format, of)) {
        remove_dead_drafts(rows_folder(plan.folder), draft_prefix(options.part));
        return {path.string(), true};
    }
    OpenInputs inputs = open_inputs(project, findings);
    require_sound(project, findings, false);
    require_inputs_of_plan(plan, project, inputs, Digest::left_out);
    inputs.close_layers();
    const MemoryShares shares =
        share_part_memory(options.memory_mib, options.threads, inputs, project.settings, plan.manifest.tile_side_m,
                          {slice.plan.roofs.size(), slice.plan.parcels.size()});
    const BasinClimate climate = kept_climate(project, inputs, plan.folder, kept_rain_bytes(shares));
    inputs.close_climate();

    const DraftFile draft(rows_folder(plan.folder), draft_prefix(options.part));
    RowsFile rows(draft.path(), format, of, RowsFile::Begin::taken_up);
    RowsOfPart sink(slice, part.first_tile, rows);
    PlannedTiles tiles(project, inputs, slice.plan, climate, shares.block_bytes);
    progress.begin("screening", part.roofs, "roofs");
    evaluate_tiles(tiles, sink, project.settings, shares.threads, progress);
    progress.end();
    if (!rows.complete()) {
        internal_error("a part that does not hold every row of its tiles");
    }
    require_inputs_of_plan(plan, project, inputs, Digest::left_out);
    require_still_there(draft.path());
    publish(draft.path(), path);
    remove_dead_drafts(rows_folder(plan.folder), draft_prefix(options.part));
    return {path.string(), false};
}

}  // namespace eaveshed
