// The steps of making a plan, in the order in which they run. Private to the module.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "eaveshed/plan/plan.hpp"

namespace eaveshed {

// The next few features of a source, to be judged while more are read; none after the last.
[[nodiscard]] inline std::optional<std::vector<Feature>> next_features(FeatureSource& source) {
    constexpr std::size_t kAtOnce = 128;
    std::vector<Feature> features;
    for (Feature feature; features.size() < kAtOnce && source.next(feature);) {
        features.push_back(std::move(feature));
    }
    return features.empty() ? std::nullopt : std::optional(std::move(features));
}

// The first parcel of each id: numbers in a table of slots, and the ids in the plan.
class ParcelsById {
public:
    explicit ParcelsById(const std::filesystem::path& scratch) : m_slots(scratch) {}

    // kNone without one.
    [[nodiscard]] std::uint32_t find(const Plan& plan, std::string_view id) const;
    // Whether no parcel before this one, the plan's last, has its id.
    bool add(const Plan& plan, std::uint32_t position);

private:
    [[nodiscard]] std::size_t slot_of(const Plan& plan, std::string_view id) const;
    SpillArray<std::uint32_t> m_slots;  // a power of two; kNone for a free one
    std::size_t m_count = 0;
};

// Parcels by place and by name, while the footprints are read.
struct ParcelIndex {
    explicit ParcelIndex(const std::filesystem::path& scratch) : by_id(scratch) {}

    ParcelsById by_id;
    BoxIndex by_box;                   // boxes in the parcels' CRS
    std::vector<std::uint32_t> wells;  // of which the distance to a stream is asked
};

// Reads parcels, use points and diversions into the plan. Empty index without parcels.
[[nodiscard]] ParcelIndex plan_parcels(const Project& project, const Inputs& inputs, const Creeks& creeks, Plan& plan,
                                       Findings& findings);

// The first parcel in input order that holds the point (in the parcels' CRS); kNone without one.
[[nodiscard]] std::uint32_t parcel_at(const Plan& plan, const ParcelIndex& index, Point point);

// Takes reaches and exclusions into the plan, in the terrain's CRS.
void plan_obstacles(const Project& project, const Inputs& inputs, const Creeks& creeks, Plan& plan, Findings& findings);

// A long line in pieces of a few hundred edges, so that a tile reads the part that it needs.
[[nodiscard]] std::vector<Line> pieces_of(const Line& line);

// Reads the roads into the plan, in the terrain's CRS.
void plan_roads(const Inputs& inputs, Plan& plan, Findings& findings);

// Of each outline, planar in the source CRS: what overlaps are looked for by.
struct PlanarOutlines {
    explicit PlanarOutlines(const std::filesystem::path& scratch) : boxes(scratch), areas(scratch) {}
    SpillArray<Box> boxes;
    SpillArray<double> areas;
    void rest() const {
        boxes.rest();
        areas.rest();
    }
};

// Reads the footprints: ids, shapes, areas, status and geometry flags, parcels, boxes; not their overlaps.
[[nodiscard]] PlanarOutlines plan_footprints(const Project& project, const Inputs& inputs, const ParcelIndex& index,
                                             Plan& plan, Findings& findings, Progress& progress);

// Flags the pairs that overlap by more than the share.
void flag_overlaps(Plan& plan, const PlanarOutlines& outlines, double overlap_share);

// Groups roofs into sites and sites into tiles.
void plan_sites(const Inputs& inputs, double tile_side_m, Plan& plan);

}  // namespace eaveshed
