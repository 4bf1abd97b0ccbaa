// What roofs and parcels mean for streams and sub-basins: the reach and the part of the basin that each counts to, and
// the sums there.
#pragma once

#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <vector>

#include "eaveshed/creeks/creeks.hpp"
#include "eaveshed/creeks/subbasins.hpp"
#include "eaveshed/files/spill_array.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/record/reach_row.hpp"
#include "eaveshed/record/subbasin_row.hpp"
#include "eaveshed/record/tile_rows.hpp"

namespace eaveshed {

// Offers that enter a reach, and of them those for which only the nearest was found.
struct NearestEntries {
    std::uint64_t number = 0;
    std::uint64_t nearest = 0;
    double farthest_m = 0.0;  // of the nearest

    void see(EntryWay way, double distance_m) {
        ++number;
        if (way == EntryWay::nearest) {
            ++nearest;
            farthest_m = std::max(farthest_m, distance_m);
        }
    }
};

// Fed in input order, so that sums are the same whatever the tiles and threads. One thread at a time.
class StreamAccounts {
public:
    // What is named here outlives this. `scratch`: a folder for what large basins outgrow memory with, or empty.
    StreamAccounts(const Creeks& creeks, const Subbasins& subbasins, const Inputs& inputs, const Plan& plan,
                   const std::filesystem::path& scratch = {});
    // Of large lists the memory goes back to the system until they are asked again.
    void rest() const { m_standings.rest(); }

    // Completes the row of a roof that stands at `interior` (in the footprints' CRS; none without an outline) and
    // counts it.
    void take(std::uint32_t ordinal, const std::optional<Point>& interior, RoofRows& result);
    // Completes the row of a parcel that came complete from ParcelAssembly. `first_ok_roof`: kNone without one. The
    // same every time.
    void place(std::uint32_t parcel, std::uint32_t first_ok_roof, ParcelRows& result);
    // After that, once a parcel: counts it.
    void count(std::uint32_t parcel, const ParcelRow& row);

    // When all were counted: a row for each reach of the creeks, in their order.
    [[nodiscard]] std::vector<ReachRow> reach_rows() const;
    // And one for each sub-basin, but for its area.
    [[nodiscard]] std::vector<SubbasinRow> subbasin_rows() const;
    // How computed roofs and parcels found their reach.
    [[nodiscard]] const NearestEntries& entries_of_roofs() const { return m_roof_entries; }
    [[nodiscard]] const NearestEntries& entries_of_parcels() const { return m_parcel_entries; }

private:
    // Where a parcel counts to, found once.
    struct Standing {
        double distance_m = 0.0;
        std::uint32_t reach = kNoReach;
        std::uint32_t subbasin = kNone;
        EntryWay way = EntryWay::nearest;
        bool known = false;
    };
    struct SubbasinSums {
        SubbasinRow row;
        double gravity_m3 = 0.0;
        double sure_m3 = 0.0;
    };
    struct ReachSums {
        std::int64_t parcels = 0;
        double gain_lps = 0.0;
        double open_lps = 0.0;
        double enrolled_lps = 0.0;
    };
    [[nodiscard]] bool idle() const { return m_creeks.empty() && m_subbasins.size() == 0; }
    // `place`: where an offer comes from, in the terrain's CRS.
    [[nodiscard]] Standing standing_of(const std::optional<Point>& place, const std::optional<Point>& diversion) const;
    // The reach's columns of a roof or parcel.
    template <typename Row>
    void fill(const ReachEntry& entry, Row& row) const;
    [[nodiscard]] std::optional<Point> diversion_of(std::uint32_t parcel) const;
    template <typename Row>
    static void add_property(const Row& row, SubbasinSums& sums);

    const Creeks& m_creeks;
    const Subbasins& m_subbasins;
    const Plan& m_plan;
    Transform m_to_terrain;
    SpillArray<Standing> m_standings;  // by parcel
    std::vector<ReachSums> m_reaches;
    std::vector<SubbasinSums> m_areas;
    NearestEntries m_roof_entries;
    NearestEntries m_parcel_entries;
};

}  // namespace eaveshed
