// What the pumps of a storage have to do, where gravity does not.
#pragma once

namespace eaveshed {

// Electric energy for lifting a volume by a head, kWh: rho g V H / efficiency, with rho g = 9.80665 kN/m3 and 3600 kJ
// to the kWh. `efficiency`: of pump and motor together, above 0 and at most 1. Linear in volume and head.
// method.md 10.7.
[[nodiscard]] double pump_kwh(double volume_m3, double head_m, double efficiency);

// What the feed has to give at the tap, and what it has by itself; pressures in kPa, heads in m of water.
struct FeedDuty {
    double required_kpa = 0.0;
    double filter_loss_kpa = 0.0;
    double static_head_m = 0.0;  // of the store at its reserve level above the tap (siting/feed.hpp); may be negative
    double friction_m = 0.0;     // at the design flow
};

// Head that a feed pump has to give at the design flow, m: (required + filter) / 9.80665 - static head + friction,
// which is (required - pressure by gravity) / 9.80665. Negative where gravity gives more than is required.
// method.md 10.7.
[[nodiscard]] double feed_pump_head_m(const FeedDuty& duty);

}  // namespace eaveshed
