#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>
#include <utility>

#include "plan_parts.hpp"

namespace eaveshed {

namespace {

// The half-open tile that holds a point. What has no place in the terrain's CRS shares the last of all.
struct TileKey {
    std::int64_t row = std::numeric_limits<std::int64_t>::max();
    std::int64_t col = std::numeric_limits<std::int64_t>::max();
    friend auto operator<=>(const TileKey&, const TileKey&) = default;
};

TileKey key_of(const std::optional<Point>& place, double side) {
    constexpr double kFar = 1e15;
    if (!place || std::abs(place->x / side) > kFar || std::abs(place->y / side) > kFar) {
        return {};
    }
    return {static_cast<std::int64_t>(std::floor(-place->y / side)),
            static_cast<std::int64_t>(std::floor(place->x / side))};
}

struct KeyedSite {
    TileKey key;
    PlannedSite site;
};

// The order of the work: strips of the basin from west to east, in each of them rows of tiles from north to south.
class StripOrder {
public:
    // `wanted`: about so many tiles across a strip.
    StripOrder(const SpillArray<KeyedSite>& sites, double wanted) {
        std::int64_t end = std::numeric_limits<std::int64_t>::min();
        for (const KeyedSite& site : sites) {
            if (site.key != TileKey{}) {
                m_begin = std::min(m_begin, site.key.col);
                end = std::max(end, site.key.col + 1);
            }
        }
        if (m_begin < end) {
            const auto across = static_cast<double>(end - m_begin);
            m_tiles = static_cast<std::int64_t>(std::ceil(across / std::max(1.0, std::round(across / wanted))));
        }
    }
    [[nodiscard]] std::int64_t strip_of(const TileKey& key) const {
        return key == TileKey{} ? std::numeric_limits<std::int64_t>::max() : (key.col - m_begin) / m_tiles;
    }

private:
    std::int64_t m_begin = std::numeric_limits<std::int64_t>::max();
    std::int64_t m_tiles = 1;  // across a strip
};

class Sites {
public:
    Sites(const Inputs& inputs, const Plan& plan)
        : m_plan(plan),
          m_reader(plan),
          m_from_roofs(inputs.footprints().info.crs, inputs.terrain().crs, inputs.terrain().where) {
        if (const Layer* const parcels = inputs.layer("parcels.source")) {
            m_from_parcels.emplace(parcels->info.crs, inputs.terrain().crs, inputs.terrain().where);
        }
    }

    // A site lies where its parcel's interior point is; without one, where its first roof with an outline is.
    [[nodiscard]] std::optional<Point> place_of(const PlannedSite& site) {
        if (site.parcel != kNone) {
            const ParcelRecord parcel = m_reader.parcel(site.parcel);
            if (!parcel.outline.empty()) {
                return (*m_from_parcels)(parcel.interior);
            }
        }
        for (std::uint32_t i = 0; i < site.count; ++i) {
            const FootprintRecord roof = m_reader.footprint(m_plan.site_roofs[site.first + i]);
            if (!roof.outline.empty()) {
                return m_from_roofs(roof.interior);
            }
        }
        return std::nullopt;
    }

private:
    const Plan& m_plan;
    PlanReader m_reader;
    Transform m_from_roofs;
    std::optional<Transform> m_from_parcels;
};

// Roofs grouped by parcel, those without one each for itself; in the order of each group's first roof.
SpillArray<PlannedSite> group(Plan& plan) {
    SpillArray<std::uint32_t>& order = plan.site_roofs;
    order.resize(plan.roofs.size());
    for (std::uint32_t i = 0; i < order.size(); ++i) {
        order[i] = i;
    }
    const auto parcel_of = [&](std::uint32_t ordinal) { return plan.roofs[ordinal].parcel; };
    std::ranges::sort(order, {}, [&](std::uint32_t ordinal) { return std::pair(parcel_of(ordinal), ordinal); });
    SpillArray<PlannedSite> sites(plan.lists_folder);
    for (std::uint32_t i = 0; i < order.size(); ++i) {
        const std::uint32_t parcel = parcel_of(order[i]);
        if (parcel != kNone && i > 0 && parcel_of(order[i - 1]) == parcel) {
            ++sites.back().count;
        } else {
            sites.push_back({parcel, i, 1});
        }
    }
    return sites;
}

}  // namespace

double strip_width_m(const Inputs& inputs, double tile_side_m) {
    constexpr double kTilesAcross = 4.0;
    constexpr double kBlocksAcross = 16.0;
    double widest_m = 0.0;
    for (const auto& [setting, raster] : inputs.rasters) {
        widest_m = std::max(widest_m, static_cast<double>(raster.block_cols) * raster.grid.cell_width *
                                          raster.crs.rough_metres_per_unit());
    }
    return std::max(kTilesAcross * tile_side_m, kBlocksAcross * widest_m);
}

void plan_sites(const Inputs& inputs, double tile_side_m, Plan& plan) {
    const double side = tile_side_m / inputs.terrain().crs.rough_metres_per_unit();
    const SpillArray<PlannedSite> grouped = group(plan);
    Sites sites(inputs, plan);
    SpillArray<KeyedSite> keyed(plan.lists_folder);
    keyed.reserve(grouped.size());
    for (const PlannedSite& site : grouped) {
        keyed.push_back({key_of(sites.place_of(site), side), site});
    }
    const StripOrder order(keyed, strip_width_m(inputs, tile_side_m) / tile_side_m);
    std::ranges::sort(
        keyed, {}, [&](const KeyedSite& one) { return std::tuple(order.strip_of(one.key), one.key, one.site.first); });
    for (std::size_t i = 0; i < keyed.size(); ++i) {
        if (i == 0 || keyed[i].key != keyed[i - 1].key) {
            plan.tiles.push_back({static_cast<std::uint32_t>(i), 0});
        }
        ++plan.tiles.back().count;
        plan.sites.push_back(keyed[i].site);
    }
}

}  // namespace eaveshed
