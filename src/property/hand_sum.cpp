#include "eaveshed/property/hand_sum.hpp"

#include <fmt/format.h>

#include <cmath>
#include <string_view>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/record/us_units.hpp"

namespace eaveshed {

namespace {

// What the numbers of a system of units are called, and their digits.
struct HandUnits {
    std::string_view area;
    std::string_view rain;
    std::string_view volume;
    int area_decimals = 0;
    int rain_decimals = 0;
    int volume_decimals = 0;
    double area_per_m2 = 1.0;
    double rain_per_mm = 1.0;
    double volume_per_m3 = 1.0;
    double factor = 1.0;  // volume of one area and one rain
    int factor_decimals = 0;
};

HandUnits hand_units(OutputUnits units) {
    if (units == OutputUnits::us) {
        const UsUnit area = us_unit("m2").value();
        const UsUnit rain = us_unit("mm").value();
        const UsUnit volume = us_unit("m3").value();
        return {.area = area.shown,
                .rain = rain.shown,
                .volume = volume.shown,
                .area_decimals = 0,
                .rain_decimals = 2,
                .volume_decimals = 0,
                .area_per_m2 = area.factor,
                .rain_per_mm = rain.factor,
                .volume_per_m3 = volume.factor,
                .factor = 144.0 / 231.0,
                .factor_decimals = 4};
    }
    return {.area = "m2",
            .rain = "m",
            .volume = "m3",
            .area_decimals = 1,
            .rain_decimals = 3,
            .volume_decimals = 1,
            .rain_per_mm = 1.0 / kMmPerMetre};
}

// Two decimals say what most settings and fields say; others have three.
Printed printed_share(double share) {
    constexpr double kSame = 1e-9;
    const Printed two = printed(share, 2);
    return std::abs(two.value - share) < kSame ? two : printed(share, 3);
}

HandLine line_of(const RoofRow& roof, const HandUnits& units) {
    HandLine line;
    line.roof_id = roof.roof_id;
    line.area = printed(*roof.plan_area_m2 * units.area_per_m2, units.area_decimals);
    line.rain = printed(*roof.fill_rain_mm * units.rain_per_mm, units.rain_decimals);
    line.factor = printed(units.factor, units.factor_decimals);
    line.runoff_coefficient = printed_share(*roof.runoff_coefficient);
    line.connected_share = printed_share(*roof.connected_share);
    line.runoff = printed(line.area.value * line.rain.value * line.factor.value * line.runoff_coefficient.value *
                              line.connected_share.value,
                          units.volume_decimals);
    return line;
}

std::string line_text(const HandLine& line, const HandUnits& units, bool named) {
    return fmt::format(
        "{}{} {} of roof x {} {} of rain{} x {} that runs off x {} that reaches the downspouts = {} {}",
        named ? fmt::format("roof {}: ", line.roof_id) : "", line.area.text(), units.area, line.rain.text(), units.rain,
        line.factor.value == 1.0
            ? ""
            : fmt::format(" x {} {} a {} and {}", line.factor.text(), units.volume, units.area, units.rain),
        line.runoff_coefficient.text(), line.connected_share.text(), line.runoff.text(), units.volume);
}

}  // namespace

Printed printed(double value, int decimals) {
    const double scale = std::pow(10.0, decimals);
    return {std::round(value * scale) / scale, decimals};
}

std::string Printed::text() const {
    return fmt::format("{:.{}f}", value, decimals);
}

std::optional<HandSum> hand_sum(std::span<const RoofRow> roofs, double collection_efficiency, OutputUnits units) {
    if (roofs.empty()) {
        return std::nullopt;
    }
    const HandUnits words = hand_units(units);
    HandSum sum;
    sum.units = units;
    double runoff = 0.0;
    double flush_m3 = 0.0;
    for (const RoofRow& roof : roofs) {
        sum.roofs.push_back(line_of(roof, words));
        runoff += sum.roofs.back().runoff.value;
        flush_m3 += *roof.first_flush_m3;
    }
    sum.runoff = printed(runoff, words.volume_decimals);
    sum.first_flush = printed(flush_m3 * words.volume_per_m3, words.volume_decimals);
    sum.efficiency = printed_share(collection_efficiency);
    sum.harvest = printed((sum.runoff.value - sum.first_flush.value) * sum.efficiency.value, words.volume_decimals);
    return sum;
}

std::string hand_sentence(const HandSum& sum) {
    const HandUnits units = hand_units(sum.units);
    std::string text;
    const bool several = sum.roofs.size() > 1;
    for (const HandLine& line : sum.roofs) {
        text += line_text(line, units, several) + "; ";
    }
    if (several) {
        std::string terms;
        for (const HandLine& line : sum.roofs) {
            terms += (terms.empty() ? "" : " + ") + line.runoff.text();
        }
        text += fmt::format("together {} = {} {}; ", terms, sum.runoff.text(), units.volume);
    }
    return text + fmt::format(
                      "less {} {} of first flush, and what is lost on the way: ({} - {}) x {} = {} {} in a mean "
                      "winter.",
                      sum.first_flush.text(), units.volume, sum.runoff.text(), sum.first_flush.text(),
                      sum.efficiency.text(), sum.harvest.text(), units.volume);
}

}  // namespace eaveshed
