// What stands on a lot: a house or a farm or a hall, with its sheds, garages, barns and greenhouses, and their roof
// data.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "lots.hpp"

namespace demo {

struct Building {
    Box box;  // the space it takes
    Polygon footprint;
    std::string use;
    std::string material;  // empty: not recorded
    std::optional<int> floors;
    std::optional<double> eave_height_m;
    std::optional<double> connected_share;
    std::optional<std::string> parcel_text;  // as the assessor wrote it
    bool null_material = false;
};

std::vector<Building> make_buildings(const BasinPlan& plan, const LotGrid& grid, const Lot& lot,
                                     const StreamIndex& streams);

}  // namespace demo
