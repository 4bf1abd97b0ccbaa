#include "eaveshed/gauges/gauge_normals.hpp"

#include <optional>

#include <fmt/format.h>

#include "eaveshed/climate/climate_stack.hpp"
#include "eaveshed/climate/rain_rules.hpp"
#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/core/raster.hpp"
#include "eaveshed/rain/sampling.hpp"
#include "eaveshed/words/unit_text.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kNormalMonths = 12;

// What one of a value is in so many days, mm. A text that says no more than "mm" is a depth.
double normal_mm(const RainUnitText& unit, double days) {
    return mm_per_value(unit.unit, days) * (unit.per == PerStep::day ? days : 1.0);
}

// What a value of each band adds to the year, mm: rates count by the days of their months.
std::vector<double> band_factors(const ClimateStack& stack, Findings& findings) {
    const std::string text = only_unit(stack);
    const auto unit = rain_unit_from_text(text);
    if (!unit && !text.empty()) {
        throw input_error(stack.where, fmt::format("the unit \"{}\"", printable(text)),
                          "a depth or a rate of rain, such as mm or mm day-1", "name a grid of rain, or convert it");
    }
    const std::size_t bands = stack.bands.size();
    std::vector<double> factors(bands, 1.0);
    if (!unit) {
        if (bands > 1) {
            findings.note({stack.where, "no unit; depths of the months are taken", "", ""});
        }
        return factors;
    }
    constexpr double kYearDays = 365.0;
    factors.assign(bands, normal_mm(*unit, kYearDays));
    if (bands > 1 && normal_mm(*unit, 1.0) != normal_mm(*unit, kYearDays)) {
        const auto order = bands_by_month(stack, findings);
        for (std::size_t month = 0; month < order.size(); ++month) {
            factors[order.at(month)] = normal_mm(*unit, mean_year_days(static_cast<int>(month) + 1));
        }
    }
    return factors;
}

}  // namespace

NormalsSource NormalsSource::open(const std::vector<std::string>& paths, Findings& findings) {
    NormalsSource source;
    source.m_stack = std::make_shared<const ClimateStack>(open_stack(
        {.setting = "rain.normals", .standard_names = rain_standard_names(), .calendar = {}}, paths, findings));
    const std::size_t bands = source.m_stack->bands.size();
    if (bands != 1 && bands != kNormalMonths) {
        throw input_error(source.m_stack->where, fmt::format("{} bands", bands),
                          "one band, the rain of a mean year, or twelve, its months", "name such a grid");
    }
    source.m_factors = band_factors(*source.m_stack, findings);
    return source;
}

const std::string& NormalsSource::where() const {
    return m_stack->where;
}
const Crs& NormalsSource::crs() const {
    return m_stack->crs;
}
std::vector<std::string> NormalsSource::files() const {
    std::vector<std::string> files;
    for (const StackFile& file : m_stack->files) {
        files.push_back(file.path);
    }
    return files;
}

StepField NormalsSource::read(const Box& area) const {
    StepPlan bands{.steps = m_stack->bands.size(), .per_step = 1, .bands = {}};
    for (std::size_t band = 0; band < m_stack->bands.size(); ++band) {
        bands.bands.push_back({.band = band, .step = band});
    }
    const StepField months =
        read_stack(*m_stack, area, bands,
                   [this](std::size_t /*step*/, double value, std::size_t band) { return value * m_factors[band]; });
    FieldFrame frame = months;
    frame.steps = 1;
    std::vector<double> sums;
    for (std::size_t first = 0; first < months.values.size(); first += months.steps) {
        double sum = 0.0;
        for (std::size_t i = 0; i < months.steps; ++i) {
            sum += months.values[first + i];  // a missing one makes it missing
        }
        sums.push_back(sum);
    }
    return {frame, std::move(sums)};
}

std::vector<double> NormalsSource::at(const std::vector<Point>& degrees, const Crs& geographic) const {
    const Transform to_grid(geographic, crs(), where());
    const double unit = geographic.degrees_per_unit();
    std::vector<double> normals;
    for (const Point& place : degrees) {
        double normal = kMissing;
        if (const auto there = to_grid(Point{place.x / unit, place.y / unit})) {
            Box area;
            area.add(*there);
            if (stack_reaches(*m_stack, area)) {
                const StepField field = read(area);
                normal = normal_at(field, crs().is_geographic() ? turned_into(field.grid, *there) : *there);
            }
        }
        normals.push_back(normal);
    }
    return normals;
}

double normal_at(const StepField& field, Point place) {
    const auto sampled = sample_series(field, place);
    return sampled && sampled->values.front() > 0.0 ? sampled->values.front() : kMissing;
}

}  // namespace eaveshed
