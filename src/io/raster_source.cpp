#include "eaveshed/io/raster_source.hpp"

#include <algorithm>
#include <cmath>
#include <list>
#include <utility>

#include <gdal_priv.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/io/raster_dataset.hpp"
#include "eaveshed/io/raster_mosaic.hpp"

namespace eaveshed::io {

namespace {

constexpr std::size_t kFilesOpen = 32;  // of one source; the longest unused one is closed for another

CellRange common(const CellRange& a, const CellRange& b) {
    return {std::max(a.row_begin, b.row_begin), std::min(a.row_end, b.row_end), std::max(a.col_begin, b.col_begin),
            std::min(a.col_end, b.col_end)};
}

// Lays the values that are not missing over what is there. Both row-major over their ranges; `part` lies in `whole`.
void lay_over(std::vector<double>& whole, const CellRange& whole_range, const std::vector<double>& part,
              const CellRange& part_range) {
    for (std::int64_t row = part_range.row_begin; row < part_range.row_end; ++row) {
        double* const out = whole.data() + (row - whole_range.row_begin) * whole_range.cols() +
                            (part_range.col_begin - whole_range.col_begin);
        const double* const in = part.data() + (row - part_range.row_begin) * part_range.cols();
        for (std::int64_t col = 0; col < part_range.cols(); ++col) {
            out[col] = std::isnan(in[col]) ? out[col] : in[col];
        }
    }
}

}  // namespace

struct RasterSource::Impl {
    std::shared_ptr<const Mosaic> mosaic;
    // Open files by member, the last used first.
    struct OpenFile {
        std::size_t member = 0;
        DatasetHandle dataset;
    };
    std::list<OpenFile> open_files;

    GDALRasterBand* band_of(std::size_t member);
    void read_member(std::size_t member, const CellRange& range, std::vector<double>& out, bool& damaged);
    void read_blocks(GDALRasterBand& band, const MosaicMember& member, const CellRange& local,
                     std::vector<double>& out) const;
};

// Null when it can no longer be opened: the file was there and whole when the source was opened.
GDALRasterBand* RasterSource::Impl::band_of(std::size_t member) {
    const auto found = std::find_if(open_files.begin(), open_files.end(),
                                    [member](const OpenFile& file) { return file.member == member; });
    if (found != open_files.end()) {
        open_files.splice(open_files.begin(), open_files, found);
        return open_files.front().dataset->GetRasterBand(1);
    }
    if (open_files.size() >= kFilesOpen) {
        open_files.pop_back();
    }
    const GdalErrors errors;
    std::vector<const char*> drivers;
    for (const std::string& name : elevation_drivers()) {
        drivers.push_back(name.c_str());
    }
    drivers.push_back(nullptr);
    DatasetHandle dataset(GDALDataset::Open(mosaic->members[member].file.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY,
                                            drivers.data(), nullptr, nullptr));
    if (dataset == nullptr || dataset->GetRasterXSize() != mosaic->members[member].layout.grid.cols ||
        dataset->GetRasterYSize() != mosaic->members[member].layout.grid.rows) {
        return nullptr;
    }
    open_files.push_front({member, std::move(dataset)});
    return open_files.front().dataset->GetRasterBand(1);
}

// `local` in the member's own rows and columns, north-up. Block by block, so that only a broken block is lost.
void RasterSource::Impl::read_blocks(GDALRasterBand& band, const MosaicMember& member, const CellRange& local,
                                     std::vector<double>& out) const {
    int block_cols = 1;
    int block_rows = 1;
    band.GetBlockSize(&block_cols, &block_rows);
    const Grid& grid = member.layout.grid;
    const std::int64_t file_begin = file_row_begin(member.layout, local);
    std::fill(out.begin(), out.end(), kMissing);
    std::vector<double> part;
    for (std::int64_t top = file_begin / block_rows * block_rows; top < file_begin + local.rows(); top += block_rows) {
        for (std::int64_t left = local.col_begin / block_cols * block_cols; left < local.col_end; left += block_cols) {
            CellRange block{top, std::min(top + block_rows, grid.rows), left, std::min(left + block_cols, grid.cols)};
            if (member.layout.south_up) {
                block = {grid.rows - block.row_end, grid.rows - block.row_begin, block.col_begin, block.col_end};
            }
            const CellRange wanted = common(block, local);
            part.resize(static_cast<std::size_t>(wanted.rows() * wanted.cols()));
            if (read_values(band, member.rule, member.layout, wanted, part.data())) {
                lay_over(out, local, part, wanted);
            }
        }
    }
}

// Values of one member over a range of the whole that lies inside it.
void RasterSource::Impl::read_member(std::size_t member, const CellRange& range, std::vector<double>& out,
                                     bool& damaged) {
    const MosaicMember& at = mosaic->members[member];
    const CellRange local{range.row_begin - at.row_begin, range.row_end - at.row_begin, range.col_begin - at.col_begin,
                          range.col_end - at.col_begin};
    out.assign(static_cast<std::size_t>(range.rows() * range.cols()), kMissing);
    GDALRasterBand* const band = band_of(member);
    if (band == nullptr) {
        damaged = true;
        return;
    }
    if (!read_values(*band, at.rule, at.layout, local, out.data())) {
        damaged = true;
        read_blocks(*band, at, local, out);
    }
    for (double& value : out) {
        value *= at.metres_per_value;
    }
}

RasterSource::RasterSource(std::unique_ptr<Impl> impl) : m_impl(std::move(impl)) {}
RasterSource::~RasterSource() = default;
RasterSource::RasterSource(RasterSource&&) noexcept = default;
RasterSource& RasterSource::operator=(RasterSource&&) noexcept = default;

RasterSource RasterSource::open(const std::string& setting, const std::vector<std::string>& paths, VerticalUnit unit,
                                Findings& findings) {
    auto impl = std::make_unique<Impl>();
    impl->mosaic = std::make_shared<const Mosaic>(look_at_mosaic(setting, paths, unit, findings));
    return RasterSource(std::move(impl));
}

RasterSource RasterSource::another() const {
    auto impl = std::make_unique<Impl>();
    impl->mosaic = m_impl->mosaic;
    return RasterSource(std::move(impl));
}

const RasterInfo& RasterSource::info() const {
    return m_impl->mosaic->info;
}

std::vector<double> RasterSource::read(const CellRange& range, bool& damaged) {
    const Grid& grid = info().grid;
    if (range.row_begin < 0 || range.col_begin < 0 || range.row_end > grid.rows || range.col_end > grid.cols) {
        internal_error("a raster range outside its grid");
    }
    if (range.empty()) {
        return {};
    }
    std::vector<double> values(static_cast<std::size_t>(range.rows() * range.cols()), kMissing);
    std::vector<double> part;
    for (std::size_t i = 0; i < m_impl->mosaic->members.size(); ++i) {
        const CellRange shared = common(m_impl->mosaic->members[i].range(), range);
        if (!shared.empty()) {
            m_impl->read_member(i, shared, part, damaged);
            lay_over(values, range, part, shared);
        }
    }
    return values;
}

void RasterSource::load(SparseRaster& raster, const CellRange& range) {
    if (!(raster.grid() == info().grid)) {
        internal_error("a sparse raster of another grid");
    }
    const Grid& grid = info().grid;
    const CellRange cut = common(range, {0, grid.rows, 0, grid.cols});
    for (const Cell block : raster.missing_blocks(cut)) {
        bool damaged = false;
        std::vector<double> values = read(raster.block_range(block), damaged);
        raster.put_block(block, std::move(values), damaged);
    }
}

}  // namespace eaveshed::io
