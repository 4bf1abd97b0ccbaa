// A finished file's run opened again: settings and inputs as its run record names them, and any of its sites evaluated
// once more. What is opened is opened once, however many sites are asked for.
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/publish/parcel_assembly.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/result/result_reader.hpp"
#include "eaveshed/revisit/places.hpp"
#include "eaveshed/site/tile_input.hpp"

namespace eaveshed {

// One thread.
class Revisit {
public:
    // `file`: that `result` reads; `project` as recorded_project() has it. Input errors for inputs that cannot be used;
    // warnings for those that changed. Writes nothing beside the file.
    Revisit(const ResultReader& result, const std::string& file, const std::string& project, Findings& findings,
            Progress& progress);
    ~Revisit();
    Revisit(const Revisit&) = delete;
    Revisit& operator=(const Revisit&) = delete;

    [[nodiscard]] const RecordedRun& run() const;
    [[nodiscard]] const Settings& settings() const { return run().project.settings; }
    [[nodiscard]] const Inputs& inputs() const;
    [[nodiscard]] const Plan& plan() const;
    [[nodiscard]] const RunPlaces& places() const;
    // The rows of the parcels as they are put together.
    [[nodiscard]] ParcelAssembly& parcels();

    // The columns that tell of streams, into the row of a roof, and of a parcel that parcels() completed.
    void add_streams(std::uint32_t ordinal, RoofRows& roof);
    void add_streams(std::uint32_t position, ParcelRows& parcel);

    // The site alone, as a tile of its own: `site` is its position in the plan.
    [[nodiscard]] TileInput tile_of(std::uint32_t site);
    // More of the terrain into a tile.
    void load_ground(std::span<const CellRange> ranges, TileInput& tile);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

// The interior point of a footprint; none for one without a shape.
[[nodiscard]] std::optional<MapPlace> roof_place(const Revisit& run, std::uint32_t ordinal);

}  // namespace eaveshed
