// The plan of a run: every footprint, parcel, stream, exclusion and road read once, judged as far as no raster is
// needed, and grouped into sites and tiles. Shapes go to disk, and of large basins the lists of roofs and parcels too
// (files/spill_array.hpp).
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/creeks/creeks.hpp"
#include "eaveshed/files/spill_array.hpp"
#include "eaveshed/files/spill_memory.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/measured/overrides.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/shape/box_index.hpp"
#include "eaveshed/store/plan_records.hpp"
#include "eaveshed/store/record_store.hpp"
#include "eaveshed/store/rows_file.hpp"

namespace eaveshed {

inline constexpr std::uint32_t kNone = 0xFFFFFFFFU;

// A footprint in memory; the rest is in Plan::footprint_store.
struct PlannedRoof {
    std::uint64_t record = 0;      // offset in the store
    std::uint32_t parcel = kNone;  // position among the parcels
    Status status = Status::ok;
    Flags flags;
};

struct PlannedParcel {
    std::uint64_t record = 0;
    std::uint64_t id_begin = 0;  // in Plan::parcel_ids: Plan::parcel_id()
    std::uint32_t id_length = 0;
    std::optional<Point> use_point{};  // in the terrain's CRS, as are all places here
    std::optional<Point> diversion{};  // where its water is taken
    // Of a shallow well of which the data do not say it, from the diversion, else from a point inside the parcel.
    std::optional<double> nearest_reach_m{};
    ContactStatus contact = ContactStatus::candidate;
    bool measured = false;                 // some value came from the overrides
    std::optional<double> inside_share{};  // of its area, within the elevation raster's extent; none without a shape
    std::uint32_t owner_group = kNone;     // equal for equal owner keys, numbered as they come; kNone without a key
};

// A parcel with its roofs, or a roof without one: roofs [first, first + count) of Plan::site_roofs.
struct PlannedSite {
    std::uint32_t parcel = kNone;
    std::uint32_t first = 0;
    std::uint32_t count = 0;
};

// Sites [first, first + count) of Plan::sites.
struct PlannedTile {
    std::uint32_t first = 0;
    std::uint32_t count = 0;
};

struct Plan {
    explicit Plan(const std::filesystem::path& folder);
    // With its records in files without a name.
    Plan() = default;

    RecordStore footprint_store;
    RecordStore parcel_store;
    RecordStore obstacle_store;
    RecordStore road_store;
    Overrides overrides;
    SpillArray<PlannedRoof> roofs;  // by ordinal: input order
    SpillArray<PlannedParcel> parcels;
    SpillArray<char> parcel_ids;  // one after another
    SpillArray<std::uint32_t> site_roofs;
    SpillArray<PlannedSite> sites;
    std::vector<PlannedTile> tiles;
    std::unique_ptr<SpillMemory> index_memory;  // what indexes lie in; without it on the heap
    SpillArray<Box> roof_boxes;                 // in the terrain's CRS; empty without a usable outline
    BoxIndex roof_index;                        // over roof_boxes
    std::vector<std::uint64_t> obstacles;       // streams, then exclusions: offsets in the store
    BoxIndex obstacle_index;                    // over their boxes in the terrain's CRS
    std::vector<std::uint64_t> roads;           // pieces of roads: offsets in the store
    BoxIndex road_index;                        // over their boxes in the terrain's CRS

    [[nodiscard]] FootprintRecord footprint(std::uint32_t ordinal) const;
    [[nodiscard]] ParcelRecord parcel(std::uint32_t position) const;
    [[nodiscard]] ObstacleRecord obstacle(std::uint32_t position) const;
    [[nodiscard]] Line road(std::uint32_t position) const;
    [[nodiscard]] std::string_view parcel_id(std::uint32_t position) const;
    // Another parcel, of which only its id and its place in the store are known yet.
    PlannedParcel& add_parcel(std::uint64_t record, std::string_view id);
    // The lists and indexes in files under this folder, where they are large; while they are empty.
    void keep_lists_in(const std::filesystem::path& folder);
    std::filesystem::path lists_folder;  // that one; empty where all stand in memory
    // In index_memory, where there is one.
    [[nodiscard]] BoxIndex index_of(std::span<const Box> boxes) const;
    // Of large lists the memory goes back to the system until they are asked again.
    void rest() const;
    // When no tile is left to load: boxes and indexes make room for what comes after.
    void let_go_of_places();
};

// A finished plan's records for one who goes through them in order: reads ahead. The plan outlives it.
class PlanReader {
public:
    explicit PlanReader(const Plan& plan);
    [[nodiscard]] FootprintRecord footprint(std::uint32_t ordinal);
    [[nodiscard]] ParcelRecord parcel(std::uint32_t position);

private:
    const Plan& m_plan;
    RecordReader m_footprints;
    RecordReader m_parcels;
};

// How many rows a tile will have: one for each of its roofs, and for each of its sites that is a parcel.
[[nodiscard]] TileSize size_of(const Plan& plan, const PlannedTile& tile);
[[nodiscard]] std::vector<TileSize> tile_sizes(const Plan& plan);

// How many metres a tile's side is. Results do not depend on it.
inline constexpr double kTileSideM = 1000.0;

// Tiles are worked on in strips about so wide, row by row: blocks of elevations stay in memory from one row of tiles to
// the next, which are few across a strip, however wide the basin. Blocks on the border of two strips may be decoded
// twice, so a strip is wide beside the widest block. Results do not depend on it.
[[nodiscard]] double strip_width_m(const Inputs& inputs, double tile_side_m);

struct PlanOptions {
    std::optional<double> tile_side_m{};  // kTileSideM without it
};

// Reads everything the plan needs into `folder`. Tanks keep away from the creeks' reaches. Faults of a feature are
// outcomes of its row.
[[nodiscard]] Plan make_plan(const Project& project, const Inputs& inputs, const Creeks& creeks,
                             const std::filesystem::path& folder, const PlanOptions& options, Findings& findings,
                             Progress& progress);

// The same reading for a look at the inputs: what a run would say of the features is told among the findings, roofs and
// parcels have their status and facts, and nothing stays on disk. Overlaps, sites and tiles are left out.
[[nodiscard]] Plan look_at_features(const Project& project, const Inputs& inputs, const Creeks& creeks,
                                    Findings& findings, Progress& progress);

}  // namespace eaveshed
