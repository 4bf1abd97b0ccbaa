// Valleys as curved coordinates. A basin is a row of valleys side by side, each drained towards the south (y = 0).
// `along` is measured up the valley axis, `across` from it (east positive). Terrain, lots and roads share the one
// mapping, so that lots keep their neighbours' corners and roads follow the slope.
#pragma once
#include <vector>

#include "basin_plan.hpp"
#include "geometry.hpp"

namespace demo {

struct ValleyPoint {
    double along_m = 0.0;
    double across_m = 0.0;
};

class Valley {
public:
    Valley(const BasinPlan& plan, int index, double centre_x_m);

    [[nodiscard]] Point to_world(double along_m, double across_m) const;
    [[nodiscard]] ValleyPoint to_valley(
        Point p) const;  // inverse of to_world, to a millimetre within 1200 m of the axis
    [[nodiscard]] double channel_offset_m(double along_m) const;  // where the stream meanders, across the axis
    [[nodiscard]] Point upstream(double along_m) const;           // unit vector up the axis

private:
    struct Bend {
        double amplitude_m, wavelength_m, phase_turns;
    };
    struct AxisPoint {
        double x_m, slope, curvature;  // position, first and second derivative by along
    };
    [[nodiscard]] AxisPoint axis(double along_m) const;

    double m_centre_x_m;
    Bend m_wide;
    Bend m_narrow;
    Bend m_channel;
};

struct ValleyRow {
    std::vector<Valley> valleys;
    double spacing_m = 0.0;
    [[nodiscard]] int nearest(Point p) const;
};

ValleyRow lay_out_valleys(const BasinPlan& plan);

}  // namespace demo
