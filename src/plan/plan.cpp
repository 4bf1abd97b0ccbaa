#include "eaveshed/plan/plan.hpp"

#include "plan_parts.hpp"

namespace eaveshed {

Plan::Plan(const std::filesystem::path& folder)
    : footprint_store(folder / "footprints.records"),
      parcel_store(folder / "parcels.records"),
      obstacle_store(folder / "obstacles.records"),
      road_store(folder / "roads.records") {
    keep_lists_in(folder);
}

void Plan::keep_lists_in(const std::filesystem::path& folder) {
    roofs = SpillArray<PlannedRoof>(folder);
    parcels = SpillArray<PlannedParcel>(folder);
    parcel_ids = SpillArray<char>(folder);
    site_roofs = SpillArray<std::uint32_t>(folder);
    sites = SpillArray<PlannedSite>(folder);
    roof_boxes = SpillArray<Box>(folder);
    lists_folder = folder;
    index_memory = std::make_unique<SpillMemory>(folder);
}

BoxIndex Plan::index_of(std::span<const Box> boxes) const {
    return index_memory ? BoxIndex(boxes, index_memory.get()) : BoxIndex(boxes);
}

void Plan::rest() const {
    roofs.rest();
    parcels.rest();
    parcel_ids.rest();
    site_roofs.rest();
    sites.rest();
    roof_boxes.rest();
}

std::string_view Plan::parcel_id(std::uint32_t position) const {
    const PlannedParcel& parcel = parcels.at(position);
    return {parcel_ids.data() + parcel.id_begin, parcel.id_length};
}

PlannedParcel& Plan::add_parcel(std::uint64_t record, std::string_view id) {
    PlannedParcel parcel;
    parcel.record = record;
    parcel.id_begin = parcel_ids.size();
    parcel.id_length = static_cast<std::uint32_t>(id.size());
    parcel_ids.append(id.begin(), id.end());
    return parcels.emplace_back(parcel);
}

FootprintRecord Plan::footprint(std::uint32_t ordinal) const {
    return unpacked_footprint(footprint_store.read(roofs.at(ordinal).record));
}

namespace {

// A parcel's record, with what was found after it was packed.
ParcelRecord completed(ParcelRecord record, const PlannedParcel& planned) {
    record.facts.nearest_reach_m = planned.nearest_reach_m;
    return record;
}

}  // namespace

ParcelRecord Plan::parcel(std::uint32_t position) const {
    const PlannedParcel& planned = parcels.at(position);
    return completed(unpacked_parcel(parcel_store.read(planned.record)), planned);
}

ObstacleRecord Plan::obstacle(std::uint32_t position) const {
    return unpacked_obstacle(obstacle_store.read(obstacles.at(position)));
}

Line Plan::road(std::uint32_t position) const {
    return unpacked_obstacle(road_store.read(roads.at(position))).line;
}

PlanReader::PlanReader(const Plan& plan)
    : m_plan(plan), m_footprints(plan.footprint_store), m_parcels(plan.parcel_store) {}

FootprintRecord PlanReader::footprint(std::uint32_t ordinal) {
    return unpacked_footprint(m_footprints.read(m_plan.roofs.at(ordinal).record));
}

ParcelRecord PlanReader::parcel(std::uint32_t position) {
    const PlannedParcel& planned = m_plan.parcels.at(position);
    return completed(unpacked_parcel(m_parcels.read(planned.record)), planned);
}

TileSize size_of(const Plan& plan, const PlannedTile& tile) {
    TileSize size;
    for (std::uint32_t i = 0; i < tile.count; ++i) {
        const PlannedSite& site = plan.sites[tile.first + i];
        size.roofs += site.count;
        size.parcels += site.parcel != kNone ? 1U : 0U;
    }
    return size;
}

std::vector<TileSize> tile_sizes(const Plan& plan) {
    std::vector<TileSize> sizes;
    sizes.reserve(plan.tiles.size());
    for (const PlannedTile& tile : plan.tiles) {
        sizes.push_back(size_of(plan, tile));
    }
    return sizes;
}

void Plan::let_go_of_places() {
    roof_boxes = SpillArray<Box>(lists_folder);
    roof_index = BoxIndex();
    obstacle_index = BoxIndex();
    road_index = BoxIndex();
}

namespace {

PlanarOutlines read_features(const Project& project, const Inputs& inputs, const Creeks& creeks, Plan& plan,
                             Findings& findings, Progress& progress) {
    plan.overrides = match_overrides(project, inputs, findings);
    const ParcelIndex parcels = plan_parcels(project, inputs, creeks, plan, findings);
    plan_obstacles(project, inputs, creeks, plan, findings);
    plan_roads(inputs, plan, findings);
    return plan_footprints(project, inputs, parcels, plan, findings, progress);
}

}  // namespace

Plan make_plan(const Project& project, const Inputs& inputs, const Creeks& creeks, const std::filesystem::path& folder,
               const PlanOptions& options, Findings& findings, Progress& progress) {
    Plan plan(folder);
    flag_overlaps(plan, read_features(project, inputs, creeks, plan, findings, progress),
                  project.resolved.footprints.overlap_share);
    plan.roof_index = plan.index_of(plan.roof_boxes);
    plan_sites(inputs, options.tile_side_m.value_or(kTileSideM), plan);
    return plan;
}

Plan look_at_features(const Project& project, const Inputs& inputs, const Creeks& creeks, Findings& findings,
                      Progress& progress) {
    Plan plan;
    static_cast<void>(read_features(project, inputs, creeks, plan, findings, progress));
    plan.roof_index = plan.index_of(plan.roof_boxes);
    return plan;
}

}  // namespace eaveshed
