// Twelve-band fields: evapotranspiration and temperature.
#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <utility>

#include <fmt/format.h>

#include "eaveshed/climate/climate_source.hpp"
#include "eaveshed/climate/climate_stack.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/words/unit_text.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

EvapotranspirationUnit et0_unit(const ClimateStack& stack, EvapotranspirationUnit setting) {
    const std::string text = only_unit(stack);
    const auto known = rain_unit_from_text(text);
    std::optional<EvapotranspirationUnit> stated;
    if (known && known->unit == RainUnit::mm_per_day) {
        stated = EvapotranspirationUnit::mm_per_day;
    } else if (known && known->unit == RainUnit::mm && known->per == PerStep::month) {
        stated = EvapotranspirationUnit::mm_per_month;
    }
    const bool depth_of_a_step = known && known->unit == RainUnit::mm && known->per == PerStep::any;
    const bool other_unit = known && !stated && !depth_of_a_step;
    if (other_unit || (!stated && setting == EvapotranspirationUnit::from_file)) {
        throw input_error(stack.where, text.empty() ? "no unit" : fmt::format("the unit \"{}\"", printable(text)),
                          "mm day-1 or mm month-1",
                          other_unit ? "convert the file" : "set evapotranspiration.unit to what the values are");
    }
    if (stated && setting != EvapotranspirationUnit::from_file && setting != *stated) {
        throw input_error(stack.where,
                          fmt::format("the unit \"{}\" in the file, and evapotranspiration.unit = \"{}\"",
                                      printable(text), to_text(setting)),
                          "one of them", "leave the setting out if the file is right; else correct the file");
    }
    return stated.value_or(setting);
}

double largest(const StepField& field) {
    double most = -std::numeric_limits<double>::infinity();
    for (const double value : field.values) {
        most = std::isnan(value) ? most : std::max(most, value);
    }
    return most;
}

}  // namespace

MonthSource::MonthSource(std::shared_ptr<const ClimateStack> stack, Convert convert, double most, Findings& findings)
    : m_stack(std::move(stack)),
      m_convert(std::move(convert)),
      m_most(most),
      m_band_of_month(bands_by_month(*m_stack, findings)) {}

MonthSource MonthSource::open_et0(const EvapotranspirationSettings& settings, Findings& findings) {
    const auto stack = std::make_shared<const ClimateStack>(
        open_stack({.setting = "evapotranspiration.source",
                    .standard_names = {"water_potential_evaporation_flux", "water_potential_evaporation_amount"},
                    .calendar = {}},
                   settings.source, findings));
    const bool monthly = et0_unit(*stack, settings.unit) == EvapotranspirationUnit::mm_per_month;
    const auto convert = [stack, monthly](std::size_t step, double value, std::size_t band) {
        constexpr double kMostNegative = -0.05;  // mm/day: rounding, or frost on a winter's day
        const double mm_day = monthly ? value / mean_year_days(static_cast<int>(step) + 1) : value;
        if (mm_day < kMostNegative) {
            throw input_error(band_text(*stack, band), fmt::format("evapotranspiration of {}", value), "0 or more",
                              "if it stands for missing, declare it: gdal_edit.py -a_nodata VALUE FILE");
        }
        return std::max(0.0, mm_day);
    };
    constexpr double kMost = 20.0;  // mm/day; deserts reach about 15 in their hottest month
    return {stack, convert, kMost, findings};
}

MonthSource MonthSource::open_temperature(const std::string& setting, const std::vector<std::string>& paths,
                                          Findings& findings) {
    const auto stack = std::make_shared<const ClimateStack>(
        open_stack({.setting = setting, .standard_names = {"air_temperature"}, .calendar = {}}, paths, findings));
    const std::string text = only_unit(*stack);
    const auto known = temperature_unit_from_text(text);
    if (!known && !text.empty()) {
        throw input_error(stack->where, fmt::format("the unit \"{}\"", printable(text)), "degrees C or kelvin",
                          "convert the file to degrees C");
    }
    if (!known) {
        findings.note({stack->where, "no unit; degrees C are taken", "", ""});
    }
    constexpr double kZeroCelsius = 273.15;  // K, exact
    const double zero = known == TemperatureUnit::kelvin ? kZeroCelsius : 0.0;
    const auto convert = [stack, zero](std::size_t /*step*/, double value, std::size_t band) {
        constexpr double kColdest = -90.0;
        constexpr double kHottest = 60.0;
        const double celsius = value - zero;
        if (celsius < kColdest || celsius > kHottest) {
            throw input_error(band_text(*stack, band), fmt::format("a monthly mean of {} degrees C", celsius),
                              fmt::format("{} to {} degrees C", kColdest, kHottest),
                              "convert kelvin or tenths of a degree first, and declare values that stand for missing");
        }
        return celsius;
    };
    return {stack, convert, std::numeric_limits<double>::infinity(), findings};
}

MonthField MonthSource::read(const Crs& area_crs, const Box& area) const {
    const ClimateStack& stack = *m_stack;
    const Transform to_grid(area_crs, stack.crs, stack.where);
    const auto box = to_grid(area);
    if (!box) {
        throw input_error(stack.where,
                          fmt::format("a grid in {}, which does not reach the footprints", stack.crs.name()),
                          "a grid that covers the footprints", "name a grid of this area");
    }
    MonthField field;
    field.where = stack.where;
    for (const StackFile& file : stack.files) {
        field.files.push_back(file.path);
    }
    field.crs = stack.crs;
    StepPlan plan{m_band_of_month.size(), 1, {}};
    for (std::size_t month = 0; month < m_band_of_month.size(); ++month) {
        plan.bands.push_back({m_band_of_month.at(month), month});
    }
    field.field = read_stack(stack, *box, plan, m_convert);
    return field;
}

void MonthSource::look_at(const MonthField& field, Findings& findings) const {
    if (const double most = largest(field.field); most > m_most) {
        findings.warn({field.where, fmt::format("evapotranspiration of {:.1f} mm/day", most),
                       fmt::format("at most {} mm/day", m_most), "look whether the values are mm month-1"});
    }
}

}  // namespace eaveshed
