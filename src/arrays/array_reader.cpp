// Blocks of an array as numbers, rows from north to south and columns from west to east.
#include <algorithm>

#include <gdal_priv.h>

#include "array_file.hpp"
#include "eaveshed/arrays/grid_array.hpp"
#include "eaveshed/raster/raster_dataset.hpp"

namespace eaveshed {

ArrayReader::ArrayReader(const ArrayPlace& place) : m_place(place) {
    const GdalErrors quiet;
    const DatasetHandle file = open_array_file(place.path);
    const auto root = file != nullptr ? file->GetRootGroup() : nullptr;
    m_array = root != nullptr ? root->OpenMDArrayFromFullname(place.variable) : nullptr;
    const bool same =
        m_array != nullptr && std::equal(place.sizes.begin(), place.sizes.end(), m_array->GetDimensions().begin(),
                                         m_array->GetDimensions().end(), [](std::uint64_t size, const auto& dimension) {
                                             return size == dimension->GetSize();
                                         });
    if (!same) {
        m_array.reset();
    }
}

bool ArrayReader::read(const CellRange& cells, std::size_t step, std::size_t count, double* out) const {
    const auto rows = static_cast<std::size_t>(cells.rows());
    const auto cols = static_cast<std::size_t>(cells.cols());
    std::vector<GUInt64> start(m_place.at.begin(), m_place.at.end());
    std::vector<std::size_t> counts(start.size(), 1);
    std::vector<GPtrDiff_t> strides(start.size(), 0);
    const auto cols_of_file = static_cast<std::int64_t>(m_place.sizes[m_place.x]);
    const auto rows_of_file = static_cast<std::int64_t>(m_place.sizes[m_place.y]);
    start[m_place.x] = static_cast<GUInt64>(m_place.x_down ? cols_of_file - cells.col_end : cells.col_begin);
    counts[m_place.x] = cols;
    strides[m_place.x] = 1;
    start[m_place.y] = static_cast<GUInt64>(m_place.y_up ? rows_of_file - cells.row_end : cells.row_begin);
    counts[m_place.y] = rows;
    strides[m_place.y] = static_cast<GPtrDiff_t>(cols);
    if (m_place.step) {
        start[*m_place.step] = step;
        counts[*m_place.step] = count;
        strides[*m_place.step] = static_cast<GPtrDiff_t>(rows) * static_cast<GPtrDiff_t>(cols);
    }
    if (!m_array->Read(start.data(), counts.data(), nullptr, strides.data(), GDALExtendedDataType::Create(GDT_Float64),
                       out)) {
        return false;
    }
    for (std::size_t i = 0; i < count; ++i) {
        double* const map = out + i * rows * cols;
        if (m_place.y_up) {
            turn_rows(map, cells.rows(), cells.cols());
        }
        for (std::size_t row = 0; m_place.x_down && row < rows; ++row) {
            std::reverse(map + row * cols, map + (row + 1) * cols);
        }
    }
    return true;
}

}  // namespace eaveshed
