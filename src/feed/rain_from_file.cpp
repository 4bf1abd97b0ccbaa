#include "eaveshed/feed/rain_from_file.hpp"

#include <utility>

#include "eaveshed/rain/sampling.hpp"

namespace eaveshed {

RainFromFile::RainFromFile(std::shared_ptr<const RainRecord> record, FieldInFile field, std::size_t most_kept_bytes)
    : m_record(std::move(record)), m_field(std::move(field)), m_most_kept_bytes(most_kept_bytes) {}

SparseStepField RainFromFile::sampled_by(const std::vector<TileSite>& sites) {
    SparseStepField rain({m_field.grid, m_field.series->window(), depth_count(*m_record)});
    for (const TileSite& site : sites) {
        for (const TileRoof& roof : site.roofs) {
            if (const auto& place = roof.climate_place.rain) {
                add_sampled_cells(rain, *place, [this](Cell cell) { return series_of(cell); });
            }
        }
    }
    return rain;
}

std::span<const double> RainFromFile::series_of(Cell cell) {
    if (const auto found = m_place.find(cell); found != m_place.end()) {
        m_kept.splice(m_kept.begin(), m_kept, found->second);
    } else {
        const std::size_t bytes_each = depth_count(*m_record) * sizeof(double);
        while (!m_kept.empty() && (m_kept.size() + 1) * bytes_each > m_most_kept_bytes) {
            m_place.erase(m_kept.back().cell);
            m_kept.pop_back();
        }
        m_kept.push_front({cell, read(cell)});
        m_place.emplace(cell, m_kept.begin());
    }
    return m_kept.front().depths_mm;
}

std::vector<double> RainFromFile::read(Cell cell) {
    ++m_reads;
    std::vector<double> recorded(m_field.series->steps());
    m_field.series->read(cell, recorded);
    return depths_of(*m_record, std::move(recorded));
}

}  // namespace eaveshed
