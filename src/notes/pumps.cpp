#include "eaveshed/notes/pumps.hpp"

#include "eaveshed/core/constants.hpp"

namespace eaveshed {

double pump_kwh(double volume_m3, double head_m, double efficiency) {
    constexpr double kKjPerKwh = 3600.0;
    return kKpaPerMetre * volume_m3 * head_m / kKjPerKwh / efficiency;
}

double feed_pump_head_m(const FeedDuty& duty) {
    return (duty.required_kpa + duty.filter_loss_kpa) / kKpaPerMetre - duty.static_head_m + duty.friction_m;
}

}  // namespace eaveshed
