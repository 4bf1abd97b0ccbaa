#include "eaveshed/gauges/gauge_normals.hpp"

#include <optional>

#include <fmt/format.h>

#include "eaveshed/climate/climate_stack.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/core/raster.hpp"
#include "eaveshed/rain/sampling.hpp"

namespace eaveshed {

NormalsSource NormalsSource::open(const std::vector<std::string>& paths, Findings& findings) {
    NormalsSource source;
    source.m_stack = std::make_shared<const ClimateStack>(
        open_stack({.setting = "rain.normals",
                    .standard_names = {"precipitation_amount", "lwe_thickness_of_precipitation_amount",
                                       "thickness_of_rainfall_amount", "precipitation_flux"},
                    .calendar = {}},
                   paths, findings));
    const std::size_t bands = source.m_stack->bands.size();
    constexpr std::size_t kMonths = 12;
    if (bands != 1 && bands != kMonths) {
        throw input_error(source.m_stack->where, fmt::format("{} bands", bands),
                          "one band, the rain of a mean year, or twelve, its months", "name such a grid");
    }
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
    const StepField months = read_stack(*m_stack, area, bands,
                                        [](std::size_t /*step*/, double value, std::size_t /*band*/) { return value; });
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
            try {
                const StepField field = read(area);
                normal = normal_at(field, crs().is_geographic() ? turned_into(field.grid, *there) : *there);
            } catch (const Error& error) {
                if (error.fault() != Fault::input) {
                    throw;
                }  // the place lies outside the grid
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
