// Road centre lines: along the lots that are taken, and lanes across the valley that join them.
#pragma once
#include <string>
#include <vector>

#include "lots.hpp"

namespace demo {

struct Road {
    std::string name;
    std::string kind;  // road or lane
    Line line;
};

std::vector<Road> make_roads(const LotGrid& grid, int valley_count, const std::vector<Lot>& lots);

}  // namespace demo
