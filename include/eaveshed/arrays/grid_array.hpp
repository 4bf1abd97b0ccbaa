// A variable of a netCDF file or a Zarr store by the CF conventions: which one is meant, where its cells lie and when
// its steps are, by the coordinates alone; and blocks of it as numbers. Whatever the order of the dimensions and
// whichever way an axis runs, what is read here has rows from north to south and columns from west to east.
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/raster/band_rule.hpp"

class GDALMDArray;

namespace eaveshed {

// What is asked for, and how messages name it.
struct ArrayWish {
    std::string where;                        // `rain.source "a.nc"`
    std::string section;                      // "rain": where its settings `variable` and `select` are; empty: none
    std::vector<std::string> standard_names;  // CF names that pick one variable of several
    std::string variable;                     // from the settings; empty: found by the standard names
    std::string select;                       // "member=3, height=2": of dimensions besides rows, columns and time
};

// How to find the cells again.
struct ArrayPlace {
    std::string path;
    std::string variable;              // its full name
    std::vector<std::uint64_t> sizes;  // of its dimensions, in the file's order
    std::vector<std::uint64_t> at;     // the index on each; that of x, y and step is 0
    std::size_t x = 0;                 // which dimension has the columns
    std::size_t y = 0;
    std::optional<std::size_t> step;
    bool x_down = false;  // columns of the file run from east to west
    bool y_up = false;    // rows of the file run from south to north
};

struct GridArray {
    ArrayPlace place;
    Grid grid;
    Crs crs;
    BandRule rule;
    // CF valid_min, valid_max, valid_range: stored numbers beyond are missing.
    double least = -std::numeric_limits<double>::infinity();
    double most = std::numeric_limits<double>::infinity();
    std::string unit;
    std::string words;  // what the variable calls itself: its name, standard name and long name
    std::size_t steps = 1;
    // Of the time axis, in its own units; empty where the file has none.
    std::string time_units;
    std::string calendar;
    std::vector<double> times;
    std::vector<double> step_bounds;  // pairs, by the bounds variable; empty without
};

// A netCDF file by its content, or a folder that is a Zarr store.
[[nodiscard]] bool is_array_file(const std::string& path);

// Throws input errors: several variables or dimensions and none chosen, rows or columns that are uneven, rotated or
// curved, no coordinates, a store that cannot be read. Notes what was decided.
[[nodiscard]] GridArray open_array(const std::string& path, const ArrayWish& wish, Findings& findings);

// Reads blocks. Of one thread at a time.
class ArrayReader {
public:
    // `intact` is false where the file is no longer what it was.
    explicit ArrayReader(const ArrayPlace& place);
    [[nodiscard]] bool intact() const { return m_array != nullptr; }
    // Stored numbers of the cells in steps [step, step + count), step by step and row by row, into `out` of
    // cells.rows() x cells.cols() x count. False when something cannot be read.
    [[nodiscard]] bool read(const CellRange& cells, std::size_t step, std::size_t count, double* out) const;

private:
    ArrayPlace m_place;
    std::shared_ptr<GDALMDArray> m_array;
};

}  // namespace eaveshed
