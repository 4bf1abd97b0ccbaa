// The series of a window of cells in one file, for records that memory should not hold: one cell's series after
// another, so that a roof's cells are four short reads.
//
// Native byte order: for machines of one kind. What was never written reads as missing.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <span>
#include <utility>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/files/file.hpp"

namespace eaveshed {

// Where the series of a field go: into memory up to so many bytes, beyond that into the file. Without a file a larger
// field is an input error.
struct SeriesRoom {
    std::uint64_t most_bytes = 1ULL << 33;
    std::filesystem::path beyond = {};
};

// Writing is for one thread; reading what is written is safe from several at once. Lack of room is a passing error,
// other failures are working errors.
class SeriesFile {
public:
    // Creates the file; an existing one is replaced. Only its owner may read it.
    SeriesFile(const std::filesystem::path& path, const CellRange& window, std::size_t steps);
    // One that was written before, to be read.
    [[nodiscard]] static SeriesFile written(const std::filesystem::path& path, const CellRange& window,
                                            std::size_t steps);

    [[nodiscard]] const CellRange& window() const { return m_window; }
    [[nodiscard]] std::size_t steps() const { return m_steps; }

    // Steps of one cell's series from `first_step` on. A cell outside the window, or more steps than there are, is a
    // broken invariant; so in `read`. Changes `values`.
    void write(Cell cell, std::size_t first_step, std::span<double> values);
    // The whole series of a cell into `values`, which has room for exactly that.
    void read(Cell cell, std::span<double> values) const;

private:
    SeriesFile(File file, const CellRange& window, std::size_t steps)
        : m_file(std::move(file)), m_window(window), m_steps(steps) {}
    [[nodiscard]] std::uint64_t offset_of(Cell cell, std::size_t first_step, std::size_t count) const;

    File m_file;
    CellRange m_window;
    std::size_t m_steps;
};

// Turns maps, one a step, into series: it gathers as many steps of the same cells as `most_values` allows and writes
// each cell's at once.
class SeriesWriter {
public:
    SeriesWriter(SeriesFile& file, std::size_t most_values) : m_file(file), m_most_values(most_values) {}

    // One step of a rectangle of cells, row by row.
    void put(const CellRange& cells, std::size_t step, std::span<const double> values);
    // Writes what is gathered: before anything is read, and at the end.
    void finish();

private:
    void write_cell(std::size_t position, std::span<double> series);

    SeriesFile& m_file;
    std::size_t m_most_values;
    CellRange m_cells;                 // of what is gathered
    std::vector<std::size_t> m_steps;  // in the order in which they came
    std::vector<double> m_values;      // step by step
};

}  // namespace eaveshed
