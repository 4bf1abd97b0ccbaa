// Parcel records: who (invented), how many people and how much garden, where the summer water comes from, what is known
// of it.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "buildings.hpp"

namespace demo {

struct Parcel {
    std::string apn;
    std::vector<Ring> parts;
    int owner = 0;
    std::optional<double> people;
    std::optional<double> irrigated_m2;
    std::optional<double> season_use_m3;
    std::optional<std::string> source;
    std::optional<double> pump_lps;
    std::optional<double> tank_m3;
    std::optional<std::string> status;
    std::optional<double> stream_m;
};

struct Owner {
    std::string name, phone, key;
};

Parcel make_parcel(const BasinPlan& plan, const LotGrid& grid, const Lot& lot, bool has_house,
                   const StreamIndex& streams);
Owner make_owner(const BasinPlan& plan, int number);  // the same number is always the same person

// A garden tap on about one built parcel in seven: well inside the lot and clear of every building.
std::optional<Point> make_tap(const BasinPlan& plan, const Terrain& terrain, const LotGrid& grid, const Lot& lot,
                              const std::vector<Building>& buildings);

}  // namespace demo
