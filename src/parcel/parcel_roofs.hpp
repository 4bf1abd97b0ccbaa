// One parcel's roofs and the questions asked of them together: which of them fill a storage at which pad. Private to
// the module.
#pragma once

#include <optional>
#include <vector>

#include "eaveshed/shape/prepared_area.hpp"
#include "eaveshed/site/pipes.hpp"
#include "eaveshed/site/site_survey.hpp"
#include "shared_storage.hpp"

namespace eaveshed {

// What decides between the pads of a parcel, in this order.
enum class StoreCriterion : std::uint8_t { stage, lift, feed, volume, pressure, order };

// The first in which two storages differ; order when they differ in no other.
[[nodiscard]] StoreCriterion deciding_criterion(const SharedStorage& a, const SharedStorage& b);
// By that criterion; of equal ones neither.
[[nodiscard]] bool better(const SharedStorage& a, const SharedStorage& b);

class ParcelRoofs {
public:
    // What is named here outlives the object.
    ParcelRoofs(const TileInput& tile, const TileRules& rules, std::span<const ComputedRoof> roofs);

    // The storage at the pad of one of the roofs, with the roofs that fill it; none where storage replaces nothing, and
    // where no storage as small as they need has a pad.
    [[nodiscard]] std::optional<SharedStorage> system_at(std::size_t owner) const;
    // The best of those at all pads.
    [[nodiscard]] std::optional<SharedStorage> best_system() const;
    // All computed roofs together, without a pad.
    [[nodiscard]] std::optional<SharedStorage> system_without_pad() const;

    // Horizontal distance from the roof to the pad of roof `owner`, in the metres of the owner (method.md 0.12);
    // infinite beyond max_fill_m and for a roof without an eave.
    [[nodiscard]] double fill_distance_m(std::size_t roof, std::size_t owner, const Pad& pad) const;
    // Height left over at the pad for a roof whose distance is finite.
    [[nodiscard]] double fill_margin_m(std::size_t roof, const OptionTried& at, double distance_m) const;
    // Whether the storage there is within the roof's reach, and low enough for its gutter.
    [[nodiscard]] bool connects(std::size_t roof, std::size_t owner, const OptionTried& at) const;
    // Beside a roof with a pad.
    [[nodiscard]] const PadSearch& search_at(std::size_t roof) const { return m_roofs[roof].site->search(); }
    [[nodiscard]] PadRow row_of(const SharedStorage& system) const;
    // From a roof within reach of the storage's pad.
    [[nodiscard]] PipeRow fill_pipe(std::size_t roof, const SharedStorage& system) const;

private:
    [[nodiscard]] Members connected(std::size_t owner, const Members& among, const OptionTried& at) const;
    // Those of the roofs that have a year in common become the members, and fill record and options.
    void join(const Members& roofs, SharedStorage& system) const;

    const TileInput& m_tile;
    const TileRules& m_rules;
    std::span<const ComputedRoof> m_roofs;
    // The roofs in the metres of one of them; empty for roofs that cannot connect.
    struct InMetres {
        LocalFrame frame;
        std::vector<PreparedArea> areas;
    };
    [[nodiscard]] const InMetres& in_metres_of(std::size_t owner) const;

    mutable std::vector<std::optional<InMetres>> m_in_metres;  // by owner; the first is that of all in a projected CRS
};

}  // namespace eaveshed
