#include "eaveshed/revisit/revisit.hpp"

#include <optional>

#include "eaveshed/creeks/make_creeks.hpp"
#include "eaveshed/creeks/subbasins.hpp"
#include "eaveshed/feed/tile_loader.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/project/read_settings.hpp"
#include "eaveshed/publish/stream_accounts.hpp"

namespace eaveshed {

namespace {

void require_no_errors(const Findings& findings, const std::string& file) {
    if (findings.count(Severity::error) > 0) {
        throw error_of(findings, file);
    }
}

}  // namespace

struct Revisit::Impl {
    RecordedRun run;
    OpenInputs inputs;
    ScratchFolder scratch;
    Creeks creeks;
    std::optional<Plan> plan;
    BasinClimate climate;
    // The rest is of the above.
    std::optional<RunRasters> rasters;
    std::optional<TileLoader> loader;
    std::optional<RasterSource> terrain;
    std::optional<RunPlaces> places;
    std::optional<ParcelAssembly> parcels;
    Subbasins subbasins;
    std::optional<StreamAccounts> streams;
};

Revisit::Revisit(const ResultReader& result, const std::string& file, const std::string& project, Findings& findings,
                 Progress& progress)
    : m_impl(std::make_unique<Impl>()) {
    Impl& of = *m_impl;
    of.run = recorded_run(result, file, project, findings);
    Findings of_inputs;  // the screening told its warnings: they stand in the run record
    of.inputs = open_inputs(of.run.project, of_inputs);
    require_no_errors(of_inputs, file);
    compare_inputs(of.run, of.inputs, findings);
    of.creeks = make_creeks(of.run.project, of.inputs, {.scratch = of.scratch.path()}, of_inputs, progress);
    of.plan.emplace(make_plan(of.run.project, of.inputs, of.creeks, of.scratch.path(), {}, of_inputs, progress));
    of.climate = read_climate(of.run.project, of.inputs, *of.plan, {.folder = of.scratch.path()}, of_inputs);
    require_no_errors(of_inputs, file);
    of.rasters.emplace(of.inputs);
    of.loader.emplace(of.run.project, of.inputs, *of.plan, of.climate, *of.rasters);
    of.terrain.emplace(of.rasters->terrain.another());
    of.places.emplace(of.inputs);
    of.parcels.emplace(of.run.project, *of.plan);
    of.subbasins = Subbasins(of.run.project, of.inputs, of.creeks, of_inputs);
    of.streams.emplace(of.creeks, of.subbasins, of.inputs, *of.plan);
}

Revisit::~Revisit() = default;

const RecordedRun& Revisit::run() const {
    return m_impl->run;
}
const Inputs& Revisit::inputs() const {
    return m_impl->inputs;
}
const Plan& Revisit::plan() const {
    return *m_impl->plan;
}
const RunPlaces& Revisit::places() const {
    return *m_impl->places;
}
ParcelAssembly& Revisit::parcels() {
    return *m_impl->parcels;
}

void Revisit::add_streams(std::uint32_t ordinal, RoofRows& roof) {
    const FootprintRecord footprint = plan().footprint(ordinal);
    m_impl->streams->take(ordinal, footprint.outline.empty() ? std::nullopt : std::optional(footprint.interior), roof);
}

void Revisit::add_streams(std::uint32_t position, ParcelRows& parcel) {
    m_impl->streams->place(position, parcels().first_ok_roof(position), parcel);
}

TileInput Revisit::tile_of(std::uint32_t site) {
    return m_impl->loader->load({.first = site, .count = 1});
}

std::optional<MapPlace> roof_place(const Revisit& run, std::uint32_t ordinal) {
    const FootprintRecord footprint = run.plan().footprint(ordinal);
    return footprint.outline.empty() ? std::nullopt : run.places().from_footprints(footprint.interior);
}

void Revisit::load_ground(std::span<const CellRange> ranges, TileInput& tile) {
    for (const CellRange& range : ranges) {
        m_impl->terrain->load(tile.terrain, range);
    }
}

}  // namespace eaveshed
