// Where around a roof a tank beside a cell may have its centre: a quick answer, before shapes are asked.
#pragma once

#include <cstdint>
#include <vector>

#include "eaveshed/siting/pad.hpp"

namespace eaveshed {

class RoomForTanks {
public:
    // For tanks whose level ground has this radius. The site has no given cell.
    RoomForTanks(const PadSite& site, const PadRules& rules, double tank_radius_m);

    [[nodiscard]] double tank_radius_m() const { return m_tank_radius_m; }
    // Of the cell that holds the centre. False: parcel, boundary or buildings forbid every place in it. True says
    // nothing.
    [[nodiscard]] bool may_hold(Cell cell) const;

private:
    double m_tank_radius_m;
    CellRange m_around;
    CellRange m_own;
    bool m_outside_parcel = false;      // what of the roof's reach does not belong to it
    std::vector<std::uint8_t> m_holds;  // of the own cells, row-major; empty: of all of them nothing is known
};

}  // namespace eaveshed
