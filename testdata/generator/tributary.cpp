#include "tributary.hpp"

#include <algorithm>
#include <cmath>

#include "portable_math.hpp"

namespace demo {

Tributary::Tributary(const Course& course, Random random) : m_course(course), m_wind_phase_turns(random.uniform()) {}

double Tributary::presence(double up_m) const {
    return smoothstep(0.0, 60.0, up_m) * (1.0 - smoothstep(m_course.length_m - 80.0, m_course.length_m, up_m));
}

double Tributary::channel_presence(double up_m) const {
    return smoothstep(-4.0, 2.0, up_m) * (1.0 - smoothstep(m_course.length_m - 80.0, m_course.length_m, up_m));
}

double Tributary::wind_m(double up_m) const {
    return 10.0 * presence(up_m) * sine_of_turns(up_m / 190.0 + m_wind_phase_turns);
}

Point Tributary::point_at(double up_m) const {
    return m_course.junction + m_course.direction * up_m + turned_left(m_course.direction) * wind_m(up_m);
}

Tributary::Position Tributary::position(Point p) const {
    const Point from = p - m_course.junction;
    const double up = dot(from, m_course.direction);
    return {up, dot(from, turned_left(m_course.direction)) - wind_m(up)};
}

int Tributary::step_count() const {
    return static_cast<int>(std::ceil(m_course.length_m / kStep_m)) + 1;
}

void Tributary::cut(const std::vector<double>& ground_m) {
    m_depth_m.assign(ground_m.size(), 0.0);
    double bed = ground_m.front();
    for (std::size_t i = 1; i < ground_m.size(); ++i) {
        const double up = static_cast<double>(i) * kStep_m;
        const double share = 0.45 + 0.55 * smoothstep(0.35 * m_course.length_m, m_course.length_m, up);
        const double wanted = ground_m.front() + share * (ground_m[i] - ground_m.front());
        bed = std::max(wanted, bed + 0.005 * kStep_m);
        m_depth_m[i] = ground_m[i] - bed;
    }
}

double Tributary::depth_m(double up_m) const {
    const double at = up_m / kStep_m;
    const auto i = static_cast<std::size_t>(std::max(0.0, std::floor(at)));
    if (up_m <= 0.0 || i + 1 >= m_depth_m.size()) {
        return 0.0;
    }
    const double share = at - static_cast<double>(i);
    return m_depth_m[i] * (1.0 - share) + m_depth_m[i + 1] * share;
}

}  // namespace demo
