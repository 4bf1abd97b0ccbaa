// Stream reaches, digitised downstream, and the distance from any place to the nearest of them.
#pragma once
#include <string>
#include <vector>

#include "terrain.hpp"

namespace demo {

struct Reach {
    std::string id;
    Line line;
    double low_flow_lps = 0.0;  // what late summer leaves in it
    std::string creek{};        // its name
};

std::vector<Reach> make_reaches(const BasinPlan& plan, const Terrain& terrain);

class StreamIndex {
public:
    StreamIndex(const BasinPlan& plan, const std::vector<Reach>& reaches);
    [[nodiscard]] double distance_m(Point p, double limit_m) const;  // limit_m when nothing is nearer

private:
    struct Segment {
        Point a, b;
    };
    std::vector<std::vector<Segment>> m_bins;
    int m_cols;
    int m_rows;
};

}  // namespace demo
