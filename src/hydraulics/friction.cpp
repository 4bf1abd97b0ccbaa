#include "eaveshed/hydraulics/friction.hpp"

#include <cmath>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

constexpr double kFactor = 10.67;
constexpr double kFlowExponent = 1.852;
constexpr double kBoreExponent = 4.8704;

// C^1.852 D^4.8704 / 10.67: what a flow to the power 1.852 is divided by.
double conveyance(const Pipe& pipe) {
    if (!(pipe.bore_m > 0.0 && pipe.hazen_williams_c > 0.0)) {
        internal_error("a pipe without bore or smoothness");
    }
    return std::pow(pipe.hazen_williams_c, kFlowExponent) * std::pow(pipe.bore_m, kBoreExponent) / kFactor;
}

}  // namespace

double friction_slope(const Pipe& pipe, Flow flow) {
    return std::copysign(std::pow(std::fabs(flow.m3_per_s), kFlowExponent) / conveyance(pipe), flow.m3_per_s);
}

Head friction_loss(const Pipe& pipe, double length_m, Flow flow) {
    if (!(length_m >= 0.0)) {
        internal_error("a pipe of negative length");
    }
    return {length_m * friction_slope(pipe, flow)};
}

Flow flow_at_slope(const Pipe& pipe, double slope) {
    return {std::copysign(std::pow(std::fabs(slope) * conveyance(pipe), 1.0 / kFlowExponent), slope)};
}

}  // namespace eaveshed
