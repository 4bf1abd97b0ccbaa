// The settled basin: which lots are taken, what stands on them, which parcels are on record.
#pragma once
#include <vector>

#include "buildings.hpp"
#include "parcels.hpp"

namespace demo {

struct Tap {
    std::string apn;
    Point at;
};

struct Settlement {
    std::vector<Lot> lots;            // those taken, in order of valley, side, lane and knot
    std::vector<Building> buildings;  // in the order of the lots
    std::vector<Parcel> parcels;
    std::vector<Tap> taps;
};

// Fills lots, best first, until `plan.roofs` buildings stand. Throws std::runtime_error when the basin is too small for
// them.
Settlement settle(const BasinPlan& plan, const Terrain& terrain, const LotGrid& grid, const StreamIndex& streams);

}  // namespace demo
