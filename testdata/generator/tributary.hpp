// One side stream: a gently winding line from the hillside down to the main channel, and the ravine it has cut.
#pragma once
#include <vector>

#include "geometry.hpp"
#include "random.hpp"

namespace demo {

class Tributary {
public:
    struct Course {
        int valley = 0;
        double junction_along_m = 0.0;
        Point junction;   // on the main channel
        Point direction;  // unit, up the side valley
        double length_m = 0.0;
    };
    struct Position {
        double up_m = 0.0;     // along the course, 0 at the junction
        double aside_m = 0.0;  // from the winding line
    };

    Tributary(const Course& course, Random random);

    [[nodiscard]] const Course& course() const { return m_course; }
    [[nodiscard]] Point point_at(double up_m) const;
    [[nodiscard]] Position position(Point p) const;
    [[nodiscard]] double presence(double up_m) const;          // 1 in the middle, 0 at both ends and beyond
    [[nodiscard]] double channel_presence(double up_m) const;  // the same, but kept down to the junction
    [[nodiscard]] double depth_m(double up_m) const;           // of the ravine below the smooth hillside

    // Cuts the bed into the smooth ground heights met every kStep_m along the course; the bed always falls.
    void cut(const std::vector<double>& ground_m);
    [[nodiscard]] int step_count() const;

    static constexpr double kStep_m = 10.0;
    static constexpr double kRavineHalfWidth_m = 110.0;

private:
    [[nodiscard]] double wind_m(double up_m) const;

    Course m_course;
    double m_wind_phase_turns;
    std::vector<double> m_depth_m;
};

}  // namespace demo
