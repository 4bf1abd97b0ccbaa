#include "eaveshed/store/series_file.hpp"

#include <algorithm>
#include <bit>
#include <cstdint>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/raster.hpp"

namespace eaveshed {

namespace {

static_assert(sizeof(double) == sizeof(std::uint64_t));

// Places of a file that were never written are zeros. Stored bits are those of the value against those of a missing
// one, so that such places are missing.
void turn_bits(std::span<double> values) {
    constexpr auto kMissingBits = std::bit_cast<std::uint64_t>(kMissing);
    for (double& value : values) {
        value = std::bit_cast<double>(std::bit_cast<std::uint64_t>(value) ^ kMissingBits);
    }
}

std::span<unsigned char> bytes_of(std::span<double> values) {
    return {reinterpret_cast<unsigned char*>(values.data()), values.size_bytes()};
}

std::size_t count_of(const CellRange& cells) {
    return static_cast<std::size_t>(cells.rows() * cells.cols());
}

}  // namespace

SeriesFile::SeriesFile(const std::filesystem::path& path, const CellRange& window, std::size_t steps)
    : m_file(path, File::Mode::create_private), m_window(window), m_steps(steps) {}

SeriesFile SeriesFile::written(const std::filesystem::path& path, const CellRange& window, std::size_t steps) {
    return {File(path, File::Mode::read), window, steps};
}

std::uint64_t SeriesFile::offset_of(Cell cell, std::size_t first_step, std::size_t count) const {
    if (cell.row < m_window.row_begin || cell.row >= m_window.row_end || cell.col < m_window.col_begin ||
        cell.col >= m_window.col_end || first_step > m_steps || count > m_steps - first_step) {
        internal_error("a series outside its file");
    }
    const auto place =
        static_cast<std::uint64_t>((cell.row - m_window.row_begin) * m_window.cols() + (cell.col - m_window.col_begin));
    return (place * m_steps + first_step) * sizeof(double);
}

void SeriesFile::write(Cell cell, std::size_t first_step, std::span<double> values) {
    turn_bits(values);
    m_file.write_at(offset_of(cell, first_step, values.size()), bytes_of(values));
}

void SeriesFile::read(Cell cell, std::span<double> values) const {
    if (values.size() != m_steps) {
        internal_error("room for another number of steps than a series has");
    }
    const std::span<unsigned char> bytes = bytes_of(values);
    const std::size_t got = m_file.read_some(offset_of(cell, 0, m_steps), bytes);
    std::ranges::fill(bytes.subspan(got), static_cast<unsigned char>(0));
    turn_bits(values);
}

void SeriesWriter::put(const CellRange& cells, std::size_t step, std::span<const double> values) {
    if (values.size() != count_of(cells)) {
        internal_error("a map of another size than its cells");
    }
    if (m_cells != cells || m_values.size() + values.size() > m_most_values) {
        finish();
        m_cells = cells;
    }
    m_values.reserve(std::max(m_most_values, values.size()));
    m_steps.push_back(step);
    m_values.insert(m_values.end(), values.begin(), values.end());
}

// Some cells at a time, so that a line of the processor's cache is used whole when the maps are turned.
void SeriesWriter::finish() {
    constexpr std::size_t kTogether = 8;
    const std::size_t cells = count_of(m_cells);
    const std::size_t steps = m_steps.size();
    std::vector<double> series(kTogether * steps);
    for (std::size_t first = 0; steps > 0 && first < cells; first += kTogether) {
        const std::size_t together = std::min(kTogether, cells - first);
        for (std::size_t i = 0; i < steps; ++i) {
            for (std::size_t k = 0; k < together; ++k) {
                series[k * steps + i] = m_values[i * cells + first + k];
            }
        }
        for (std::size_t k = 0; k < together; ++k) {
            write_cell(first + k, std::span(series).subspan(k * steps, steps));
        }
    }
    m_steps.clear();
    m_values.clear();
}

// One write for every run of steps that follow each other: for all of them, mostly.
void SeriesWriter::write_cell(std::size_t position, std::span<double> series) {
    const auto at = static_cast<std::int64_t>(position);
    const Cell cell{m_cells.row_begin + at / m_cells.cols(), m_cells.col_begin + at % m_cells.cols()};
    for (std::size_t begin = 0; begin < series.size();) {
        std::size_t end = begin + 1;
        while (end < series.size() && m_steps[end] == m_steps[end - 1] + 1) {
            ++end;
        }
        m_file.write(cell, m_steps[begin], series.subspan(begin, end - begin));
        begin = end;
    }
}

}  // namespace eaveshed
