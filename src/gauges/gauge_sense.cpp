#include "gauge_sense.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include <fmt/format.h>

#include "eaveshed/climate/cumulative.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/rain/years.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

void refuse_sums(const GaugeRain& rain) {
    SeriesTrend trend(rain.info.timeline);
    for (const std::vector<double>& depths : rain.depths_mm) {
        trend.add(depths);
    }
    if (const auto found = trend.adding_up()) {
        throw input_error(rain.info.where, *found, "the rain of each step alone",
                          "take the difference of each line and the one before; the line after each new start keeps "
                          "its own value");
    }
}

// A value of any gauge for each step: more than any roof has.
std::vector<double> of_any_gauge(const GaugeRain& rain) {
    std::vector<double> depths = rain.depths_mm.front();
    for (const std::vector<double>& other : rain.depths_mm) {
        for (std::size_t step = 0; step < depths.size(); ++step) {
            depths[step] = std::isnan(depths[step]) ? other[step] : depths[step];
        }
    }
    return depths;
}

void require_years(const GaugeRain& rain, Findings& findings) {
    const Timeline& timeline = rain.info.timeline;
    const std::vector<double> depths = of_any_gauge(rain);
    const std::size_t usable = counted_years(timeline, depths).size();
    const auto missing = std::ranges::count_if(depths, [](double depth) { return std::isnan(depth); });
    const std::string steps = timeline.kind == RainKind::daily ? "days" : "months";
    if (usable == 0) {
        throw input_error(
            rain.info.where,
            fmt::format("no tank year with a value for at least {} % of its days: {} of {} {} have none",
                        100 - kMaxMissingPercent, missing, depths.size(), steps),
            "a record of whole years",
            "where days without a line were dry, write them with 0; share out readings of several days over their "
            "days; readings of summer alone tell nothing of winter");
    }
    if (usable * 2 < timeline.years.size()) {
        findings.warn({rain.info.where,
                       fmt::format("{} of {} complete tank years with a value for at least {} % of their days", usable,
                                   timeline.years.size(), 100 - kMaxMissingPercent),
                       "years without long gaps",
                       "the others count in no statistic: fill them from a neighbouring gauge (rain.stations)"});
    }
}

}  // namespace

void require_sense(const GaugeRain& rain, Findings& findings) {
    if (rain.depths_mm.empty() || !rain.info.timeline.is_series()) {
        return;
    }
    refuse_sums(rain);
    require_years(rain, findings);
}

}  // namespace eaveshed
