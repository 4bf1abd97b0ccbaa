// What a VRT is put together from: where its files lie in it, and which cells none of them covers. GDAL fills those
// with 0 where the VRT has no nodata value: ground at the level of the sea that nobody measured.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/shape/box_index.hpp"

namespace eaveshed {

struct VrtPart {
    std::string file;
    int band = 1;         // of the file
    bool scaled = false;  // its numbers are changed on the way
    CellRange cells;      // in the VRT's own rows and columns, cut to it
    bool plain = true;    // a cell of the file for each of these
    Cell first;           // of the file, where it is plain: the cell that lies at the first of `cells`
};

// The parts of one band in their order: of two that overlap the later lies on top. For a VRT that check_vrt() let pass;
// none for what is no VRT or does not say.
[[nodiscard]] std::vector<VrtPart> parts_of_vrt(const std::string& path, int band);

// Which cells of a raster are covered by some part. Immutable, safe to share.
class VrtCover {
public:
    VrtCover(const std::vector<VrtPart>& parts, std::int64_t rows, std::int64_t cols);

    [[nodiscard]] bool everywhere() const { return m_everywhere; }
    // Makes NaN of the values, row-major over the range, that no part covers.
    void hide(const CellRange& range, double* values) const;

private:
    std::vector<CellRange> m_parts;
    BoxIndex m_index;
    bool m_everywhere = false;
};

}  // namespace eaveshed
