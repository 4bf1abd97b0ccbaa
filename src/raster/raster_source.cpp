#include "eaveshed/raster/raster_source.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/raster/block_reader.hpp"
#include "eaveshed/raster/raster_mosaic.hpp"

namespace eaveshed {

namespace {

CellRange common(const CellRange& a, const CellRange& b) {
    return {std::max(a.row_begin, b.row_begin), std::min(a.row_end, b.row_end), std::max(a.col_begin, b.col_begin),
            std::min(a.col_end, b.col_end)};
}

// From the whole's rows and columns to the file's, and back: a file that runs from south to north is turned.
CellRange in_file(const MosaicMember& member, const CellRange& whole) {
    CellRange range{whole.row_begin - member.row_begin, whole.row_end - member.row_begin,
                    whole.col_begin - member.col_begin, whole.col_end - member.col_begin};
    if (member.layout.south_up) {
        const std::int64_t rows = member.layout.grid.rows;
        range = {rows - range.row_end, rows - range.row_begin, range.col_begin, range.col_end};
    }
    return range;
}

std::int64_t whole_row(const MosaicMember& member, std::int64_t file_row) {
    return member.row_begin + (member.layout.south_up ? member.layout.grid.rows - 1 - file_row : file_row);
}

// Values row-major over a range of the whole.
struct Sheet {
    CellRange range;
    std::vector<double> values;

    [[nodiscard]] double* at(std::int64_t row, std::int64_t col) {
        return values.data() + (row - range.row_begin) * range.cols() + (col - range.col_begin);
    }
};

// Numbers as stored become values in metres and are laid over what is there, where they are not missing.
template <typename Number>
void lay_row(const Number* stored, std::int64_t count, const MosaicMember& member, double* out) {
    const double scale = member.rule.scale;
    const double offset = member.rule.offset;
    const double metres = member.metres_per_value;
    for (std::int64_t i = 0; i < count; ++i) {
        const double value = (static_cast<double>(stored[i]) * scale + offset) * metres;
        out[i] = std::isnan(value) ? out[i] : value;
    }
}

// The cells of a block, of which the first is the block's own first, that lie in `wanted`: both as the file counts.
void lay_block(const RasterBlock& block, const CellRange& range, const CellRange& wanted, const MosaicMember& member,
               Sheet& sheet) {
    const CellRange cells = common(range, wanted);
    for (std::int64_t row = cells.row_begin; row < cells.row_end; ++row) {
        const std::int64_t at = (row - range.row_begin) * block.cols + (cells.col_begin - range.col_begin);
        double* const out = sheet.at(whole_row(member, row), member.col_begin + cells.col_begin);
        block.singles.empty() ? lay_row(block.doubles.data() + at, cells.cols(), member, out)
                              : lay_row(block.singles.data() + at, cells.cols(), member, out);
    }
}

}  // namespace

struct RasterSource::Impl {
    Impl(std::shared_ptr<const Mosaic> mosaic_, std::shared_ptr<BlockCache> cache_, std::shared_ptr<DirectTrust> trust_,
         std::uint32_t source_)
        : mosaic(std::move(mosaic_)),
          cache(std::move(cache_)),
          trust(std::move(trust_)),
          source(source_),
          reader(mosaic, trust) {}

    std::shared_ptr<const Mosaic> mosaic;
    std::shared_ptr<BlockCache> cache;
    std::shared_ptr<DirectTrust> trust;
    std::uint32_t source;  // in the cache
    BlockReader reader;

    void read_member(std::uint32_t position, Sheet& sheet, bool& damaged);
};

void RasterSource::Impl::read_member(std::uint32_t position, Sheet& sheet, bool& damaged) {
    const MosaicMember& member = mosaic->members[position];
    const CellRange wanted = in_file(member, common(member.range(), sheet.range));
    const BlockShape& shape = member.blocks.shape;
    for_each_block(shape, wanted, [&](std::uint64_t number) {
        const BlockCache::Block block =
            cache->get({source, position, number}, [&] { return reader.read(position, number); });
        if (block->damaged) {
            damaged = true;
        } else {
            lay_block(*block, shape.range_of(number), wanted, member, sheet);
        }
    });
}

RasterSource::RasterSource(std::unique_ptr<Impl> impl) : m_impl(std::move(impl)) {}
RasterSource::~RasterSource() = default;
RasterSource::RasterSource(RasterSource&&) noexcept = default;
RasterSource& RasterSource::operator=(RasterSource&&) noexcept = default;

RasterSource RasterSource::open(const std::string& setting, const std::vector<std::string>& paths, VerticalUnit unit,
                                Findings& findings, std::shared_ptr<BlockCache> cache) {
    auto mosaic = std::make_shared<const Mosaic>(look_at_mosaic(setting, paths, unit, findings));
    auto trust = std::make_shared<DirectTrust>(mosaic->members.size());
    if (cache == nullptr) {
        cache = std::make_shared<BlockCache>(kOwnCacheBytes);
    }
    const std::uint32_t source = cache->new_source();
    return RasterSource(std::make_unique<Impl>(std::move(mosaic), std::move(cache), std::move(trust), source));
}

RasterSource RasterSource::another() const {
    return RasterSource(std::make_unique<Impl>(m_impl->mosaic, m_impl->cache, m_impl->trust, m_impl->source));
}

RasterSource RasterSource::another(std::shared_ptr<BlockCache> cache) const {
    const std::uint32_t source = cache->new_source();
    return RasterSource(std::make_unique<Impl>(m_impl->mosaic, std::move(cache), m_impl->trust, source));
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
    Sheet sheet{range, std::vector<double>(static_cast<std::size_t>(range.rows() * range.cols()), kMissing)};
    for (const std::uint32_t member : m_impl->mosaic->members_in(range)) {
        m_impl->read_member(member, sheet, damaged);
    }
    return std::move(sheet.values);
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

std::vector<BlockKey> RasterSource::blocks_of(const CellRange& range) const {
    const Grid& grid = info().grid;
    constexpr std::int64_t kSide = SparseRaster::kBlockSide;
    CellRange loaded = common(range, {0, grid.rows, 0, grid.cols});
    std::vector<BlockKey> keys;
    if (loaded.empty()) {
        return keys;
    }
    loaded = common({loaded.row_begin / kSide * kSide, (loaded.row_end + kSide - 1) / kSide * kSide,
                     loaded.col_begin / kSide * kSide, (loaded.col_end + kSide - 1) / kSide * kSide},
                    {0, grid.rows, 0, grid.cols});
    for (const std::uint32_t position : m_impl->mosaic->members_in(loaded)) {
        const MosaicMember& member = m_impl->mosaic->members[position];
        for_each_block(member.blocks.shape, in_file(member, common(member.range(), loaded)), [&](std::uint64_t number) {
            keys.push_back({m_impl->source, position, number});
        });
    }
    return keys;
}

}  // namespace eaveshed
