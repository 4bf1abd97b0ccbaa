// The rain of one tile, out of the file in which the basin's is kept.
#include <utility>

#include "eaveshed/feed/basin_climate.hpp"
#include "eaveshed/rain/sampling.hpp"
#include "eaveshed/site/climate.hpp"

namespace eaveshed {

StepField TileRain::around(const std::vector<TileSite>& sites) {
    StepField rain = m_basin.input.rain;
    for (const TileSite& site : sites) {
        for (const TileRoof& roof : site.roofs) {
            if (roof.rain_point) {
                add_sampled_cells(rain, *roof.rain_point, [&](Cell cell) { rain.add(cell, series_of(cell)); });
            }
        }
    }
    return rain;
}

std::span<const double> TileRain::series_of(Cell cell) {
    if (const auto found = m_place.find(cell); found != m_place.end()) {
        m_kept.splice(m_kept.begin(), m_kept, found->second);
    } else {
        const std::size_t bytes_each = m_basin.input.rain.steps * sizeof(double);
        while (!m_kept.empty() && (m_kept.size() + 1) * bytes_each > m_basin.rain.most_kept_bytes) {
            m_place.erase(m_kept.back().cell);
            m_kept.pop_back();
        }
        m_kept.push_front({cell, read(cell)});
        m_place.emplace(cell, m_kept.begin());
    }
    return m_kept.front().series;
}

std::vector<double> TileRain::read(Cell cell) {
    ++m_reads;
    std::vector<double> all(m_basin.rain.series->steps());
    m_basin.rain.series->read(cell, all);
    if (!m_basin.input.of_days()) {
        return all;
    }
    std::vector<double> kept;
    kept.reserve(m_basin.rain.kept_days.size());
    keep_days(all, m_basin.rain.kept_days, kept);
    return kept;
}

}  // namespace eaveshed
