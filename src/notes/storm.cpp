#include "eaveshed/notes/storm.hpp"

#include <cmath>
#include <numbers>

namespace eaveshed {

Head wet_line_loss(const WetLine& line, Flow flow) {
    const double velocity_ms = flow.m3_per_s / (std::numbers::pi / 4.0 * line.pipe.bore_m * line.pipe.bore_m);
    const double velocity_head_m = velocity_ms * std::abs(velocity_ms) / (2.0 * kGravityMS2);
    return {friction_loss(line.pipe, line.length_m, flow).m + line.fittings * velocity_head_m};
}

}  // namespace eaveshed
