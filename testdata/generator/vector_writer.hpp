// The basin's GeoPackages (version 1.3, one layer each), written row by row. All throw std::runtime_error on failure.
#pragma once
#include <vector>

#include "roads.hpp"
#include "settlement.hpp"

namespace demo {

void write_buildings(const BasinPlan& plan, const std::vector<Building>& buildings);
void write_parcels(const BasinPlan& plan, const std::vector<Parcel>& parcels);
void write_streams(const BasinPlan& plan, const std::vector<Reach>& reaches);
void write_use_points(const BasinPlan& plan, const std::vector<Tap>& taps);
void write_roads(const BasinPlan& plan, const std::vector<Road>& roads);
void write_habitat(const BasinPlan& plan, const std::vector<Polygon>& areas);

}  // namespace demo
