// What the words on the command line ask for; every part of the generator reads this and nothing else.
#pragma once
#include <cstdint>
#include <string>

namespace demo {

inline constexpr int kEpsg = 32627;  // UTM zone 27 north: this corner of it is open ocean
inline constexpr double kOriginX_m = 500000.0;
inline constexpr double kOriginY_m = 4428000.0;

// Local coordinates run from (0, 0), the south-west corner, to (width_m, height_m); writers add the origin.
struct BasinPlan {
    std::string out_dir;
    std::uint64_t seed = 7;
    int roofs = 340;
    double width_m = 2000.0;
    double height_m = 2400.0;
    double cell_m = 2.0;
    int years = 23;  // whole years from 1 October of first_year, and the autumn after them
    int first_year = 1999;
};

}  // namespace demo
