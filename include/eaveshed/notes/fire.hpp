// Water for the fire brigade: what a building of its size asks for where no hydrant stands.
#pragma once

namespace eaveshed {

// By NFPA 1142, Standard on Water Supplies for Suburban and Rural Fire Fighting: the total volume of the structure over
// its occupancy hazard number, times its construction number.
struct StructureAtRisk {
    double volume_m3 = 0.0;
    // 3 (severe) to 7 (light); dwellings are 7.
    double occupancy_hazard = 7.0;
    // 0.5 (type I, fire resistive) to 1.5 (type V, wood frame). Some editions let a dwelling count as 1.0 at most (from
    // memory): 1.5 is the cautious value.
    double construction = 1.5;
};

// The minimum water supply. Never less than 2,000 gal (7.571 m3), with exposures 1.5 times as much and at least 3,000
// gal. An exposure is another building of 100 ft2 or more within 50 ft.
// method.md 10.8.
struct FireWater {
    double without_exposure_m3 = 0.0;
    double with_exposure_m3 = 0.0;
};
[[nodiscard]] FireWater fire_water_need(const StructureAtRisk& structure);

// Volume below the eaves, m3: plan area times storeys times their height. The attic is left out; the standard counts
// it.
[[nodiscard]] constexpr double walls_volume_m3(double plan_area_m2, double storeys, double storey_height_m) {
    return plan_area_m2 * storeys * storey_height_m;
}

}  // namespace eaveshed
