#include "valley.hpp"

#include <algorithm>
#include <cmath>

#include "portable_math.hpp"
#include "random.hpp"

namespace demo {
namespace {
constexpr double kTwoPi = 6.283185307179586;
constexpr double kWantedSpacing_m = 2000.0;
// Cross lines turn by half the axis' own turn: at a full turn they would meet on the inner side of a bend below the
// ridge.
constexpr double kTurnShare = 0.5;
}  // namespace

Valley::Valley(const BasinPlan& plan, int index, double centre_x_m) : m_centre_x_m(centre_x_m) {
    Random random(plan.seed, Purpose::kValley, {index});
    m_wide = {random.range(90.0, 110.0), random.range(2300.0, 2700.0), random.uniform()};
    m_narrow = {random.range(12.0, 18.0), random.range(1050.0, 1250.0), random.uniform()};
    m_channel = {random.range(5.0, 7.0), random.range(85.0, 110.0), random.uniform()};
}

Valley::AxisPoint Valley::axis(double along_m) const {
    AxisPoint out{m_centre_x_m, 0.0, 0.0};
    for (const Bend& bend : {m_wide, m_narrow}) {
        const double turns = along_m / bend.wavelength_m + bend.phase_turns;
        const double sine = sine_of_turns(turns);
        const double per_m = kTwoPi / bend.wavelength_m;
        out.x_m += bend.amplitude_m * sine;
        out.slope += bend.amplitude_m * per_m * cosine_of_turns(turns);
        out.curvature -= bend.amplitude_m * per_m * per_m * sine;
    }
    return out;
}

Point Valley::to_world(double along_m, double across_m) const {
    const AxisPoint at = axis(along_m);
    return {at.x_m + across_m, along_m - kTurnShare * at.slope * across_m};
}

ValleyPoint Valley::to_valley(Point p) const {
    double along = p.y;
    AxisPoint at = axis(along);
    for (int step = 0; step < 4; ++step) {  // Newton on along - share x slope x across = y
        const double across = p.x - at.x_m;
        const double miss = along - kTurnShare * at.slope * across - p.y;
        const double rate = 1.0 - kTurnShare * (at.curvature * across - at.slope * at.slope);
        along -= miss / std::max(rate, 0.25);
        at = axis(along);
        if (std::fabs(miss) < 1e-3) {
            break;
        }
    }
    return {along, p.x - at.x_m};
}

double Valley::channel_offset_m(double along_m) const {
    return m_channel.amplitude_m * sine_of_turns(along_m / m_channel.wavelength_m + m_channel.phase_turns);
}

Point Valley::upstream(double along_m) const {
    return unit({axis(along_m).slope, 1.0});
}

int ValleyRow::nearest(Point p) const {
    return std::clamp(static_cast<int>(std::floor(p.x / spacing_m)), 0, static_cast<int>(valleys.size()) - 1);
}

ValleyRow lay_out_valleys(const BasinPlan& plan) {
    ValleyRow row;
    const int count = std::max(1, static_cast<int>(std::floor(plan.width_m / kWantedSpacing_m + 0.5)));
    row.spacing_m = plan.width_m / count;
    for (int i = 0; i < count; ++i) {
        row.valleys.emplace_back(plan, i, (i + 0.5) * row.spacing_m);
    }
    return row;
}

}  // namespace demo
