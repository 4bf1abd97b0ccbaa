#include "eaveshed/raster/raster_source.hpp"

#include <limits>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/raster/block_reader.hpp"
#include "eaveshed/raster/raster_mosaic.hpp"

namespace eaveshed {

namespace {

// From the whole's rows and columns to the file's.
CellRange in_file(const MosaicMember& member, const CellRange& whole) {
    return member.layout.in_file(whole.seen_from({member.row_begin, member.col_begin}));
}

// Values outside are not laid.
struct Kept {
    double low = kLowestHeightM;
    double high = kHighestHeightM;
};
constexpr Kept kEverything{-std::numeric_limits<double>::max(), std::numeric_limits<double>::max()};

// Values row-major over a range of the whole.
struct Sheet {
    CellRange range;
    std::vector<double> values;

    [[nodiscard]] double* at(std::int64_t row, std::int64_t col) {
        return values.data() + (row - range.row_begin) * range.cols() + (col - range.col_begin);
    }
};

// Numbers as stored become values in metres and are laid over what is there, each `step` values after the one before,
// where they are neither missing nor beyond what is kept.
template <typename Number, typename Value>
void lay_row(const Number* stored, std::int64_t count, const MosaicMember& member, const Kept& kept, Value* out,
             std::int64_t step) {
    const double scale = member.rule.scale;
    const double offset = member.rule.offset;
    const double metres = member.metres_per_value;
    const auto laid = [&](Number number, Value below) {
        const double value = (static_cast<double>(number) * scale + offset) * metres;
        return ((value >= kept.low) & (value <= kept.high)) ? static_cast<Value>(value) : below;
    };
    if (step == 1) {
        for (std::int64_t i = 0; i < count; ++i) {
            out[i] = laid(stored[i], out[i]);
        }
        return;
    }
    for (std::int64_t i = 0; i < count; ++i) {
        out[i * step] = laid(stored[i], out[i * step]);
    }
}

// How far apart in a sheet two cells lie that follow each other in a row of the file.
std::int64_t step_in(const RasterLayout& layout, const Sheet& sheet) {
    const std::int64_t width = sheet.range.cols();
    return layout.transposed ? (layout.south_up ? -width : width) : (layout.mirrored ? -1 : 1);
}

// The cells of a block, of which the first is the block's own first, that lie in `wanted`: both as the file counts.
void lay_block(const RasterBlock& block, const CellRange& range, const CellRange& wanted, const MosaicMember& member,
               const Kept& kept, Sheet& sheet) {
    const CellRange cells = range.common_with(wanted);
    const std::int64_t step = step_in(member.layout, sheet);
    for (std::int64_t row = cells.row_begin; row < cells.row_end; ++row) {
        const std::int64_t at = (row - range.row_begin) * block.cols + (cells.col_begin - range.col_begin);
        const Cell cell = member.layout.in_grid({row, cells.col_begin});
        double* const out = sheet.at(member.row_begin + cell.row, member.col_begin + cell.col);
        block.singles.empty() ? lay_row(block.doubles.data() + at, cells.cols(), member, kept, out, step)
                              : lay_row(block.singles.data() + at, cells.cols(), member, kept, out, step);
    }
}

}  // namespace

// What all handles of a source have in common.
struct RasterSource::Shared {
    Shared(Mosaic mosaic_, std::shared_ptr<BlockCache> cache_)
        : mosaic(std::make_shared<const Mosaic>(std::move(mosaic_))),
          cache(std::move(cache_)),
          trust(std::make_shared<DirectTrust>(mosaic->members.size())),
          source(cache->new_source()) {}

    std::shared_ptr<const Mosaic> mosaic;
    std::shared_ptr<BlockCache> cache;
    std::shared_ptr<DirectTrust> trust;
    std::uint32_t source;  // in the cache
    BlockListener listener;
};

struct RasterSource::Impl {
    explicit Impl(std::shared_ptr<Shared> shared_)
        : shared(std::move(shared_)), reader(shared->mosaic, shared->trust) {}

    std::shared_ptr<Shared> shared;
    BlockReader reader;
    std::vector<float> told;  // a block's values

    std::vector<double> read(const CellRange& range, const Kept& kept, bool& damaged);

    void tell(const MosaicMember& member, std::uint64_t number, const RasterBlock& block);

private:
    void read_member(std::uint32_t position, const Kept& kept, Sheet& sheet, bool& damaged);
};

// Of the only member, whose rows and columns are the whole's.
void RasterSource::Impl::tell(const MosaicMember& member, std::uint64_t number, const RasterBlock& block) {
    const CellRange range = member.blocks.shape.range_of(number);
    if (block.damaged) {
        shared->listener({range, {}});
        return;
    }
    told.assign(static_cast<std::size_t>(range.rows() * range.cols()), std::numeric_limits<float>::quiet_NaN());
    for (std::int64_t row = 0; row < range.rows(); ++row) {
        float* const out = told.data() + row * range.cols();
        const std::int64_t at = row * block.cols;
        block.singles.empty() ? lay_row(block.doubles.data() + at, range.cols(), member, Kept{}, out, 1)
                              : lay_row(block.singles.data() + at, range.cols(), member, Kept{}, out, 1);
    }
    shared->listener({range, told});
}

void RasterSource::Impl::read_member(std::uint32_t position, const Kept& kept, Sheet& sheet, bool& damaged) {
    const MosaicMember& member = shared->mosaic->members[position];
    const CellRange wanted = in_file(member, member.range().common_with(sheet.range));
    const BlockShape& shape = member.blocks.shape;
    for_each_block(shape, wanted, [&](std::uint64_t number) {
        const BlockCache::Block block = shared->cache->get({shared->source, position, number}, [&](RasterBlock& fresh) {
            reader.read(position, number, fresh);  // NOLINT(readability-suspicious-call-argument)
            if (shared->listener) {
                tell(member, number, fresh);
            }
        });
        if (block->damaged) {
            damaged = true;
        } else {
            lay_block(*block, shape.range_of(number), wanted, member, kept, sheet);
        }
    });
}

RasterRequest elevation_request(const TerrainSettings& terrain) {
    return {.unit = terrain.vertical_unit,
            .nodata = terrain.nodata,
            .band = terrain.band,
            .unit_setting = "terrain.vertical_unit",
            .nodata_setting = "terrain.nodata",
            .band_setting = "terrain.band"};
}

RasterRequest surface_request(const TerrainSettings& terrain) {
    return {.unit = terrain.vertical_unit,
            .file_wins = true,
            .nodata = terrain.surface_nodata,
            .band = terrain.surface_band,
            .unit_setting = "terrain.vertical_unit",
            .nodata_setting = "terrain.surface_nodata",
            .band_setting = "terrain.surface_band"};
}

RasterSource::RasterSource(std::unique_ptr<Impl> impl) : m_impl(std::move(impl)) {}
RasterSource::~RasterSource() = default;
RasterSource::RasterSource(RasterSource&&) noexcept = default;
RasterSource& RasterSource::operator=(RasterSource&&) noexcept = default;

RasterSource RasterSource::open(const std::string& setting, const std::vector<std::string>& paths,
                                const RasterRequest& request, Findings& findings, std::shared_ptr<BlockCache> cache) {
    Mosaic mosaic = look_at_mosaic(setting, paths, request, findings);
    if (cache == nullptr) {
        cache = std::make_shared<BlockCache>(kOwnCacheBytes);
    }
    return RasterSource(std::make_unique<Impl>(std::make_shared<Shared>(std::move(mosaic), std::move(cache))));
}

RasterSource RasterSource::another() const {
    return RasterSource(std::make_unique<Impl>(m_impl->shared));
}

const RasterInfo& RasterSource::info() const {
    return m_impl->shared->mosaic->info;
}

std::vector<double> RasterSource::Impl::read(const CellRange& range, const Kept& kept, bool& damaged) {
    const Grid& grid = shared->mosaic->info.grid;
    if (range.row_begin < 0 || range.col_begin < 0 || range.row_end > grid.rows || range.col_end > grid.cols) {
        internal_error("a raster range outside its grid");
    }
    if (range.empty()) {
        return {};
    }
    Sheet sheet{range, std::vector<double>(static_cast<std::size_t>(range.rows() * range.cols()), kMissing)};
    for (const std::uint32_t member : shared->mosaic->members_in(range)) {
        read_member(member, kept, sheet, damaged);
    }
    return std::move(sheet.values);
}

std::vector<double> RasterSource::read(const CellRange& range, bool& damaged) {
    return m_impl->read(range, {}, damaged);
}

std::vector<double> RasterSource::read_with_odd(const CellRange& range, bool& damaged) {
    return m_impl->read(range, kEverything, damaged);
}

void RasterSource::load(SparseRaster& raster, const CellRange& range) {
    if (!(raster.grid() == info().grid)) {
        internal_error("a sparse raster of another grid");
    }
    const Grid& grid = info().grid;
    const CellRange cut = range.common_with(grid.cells());
    for (const Cell block : raster.missing_blocks(cut)) {
        bool damaged = false;
        std::vector<double> values = read(raster.block_range(block), damaged);
        raster.put_block(block, std::move(values), damaged);
    }
}

std::vector<BlockKey> RasterSource::blocks_of(const CellRange& range) const {
    const Grid& grid = info().grid;
    constexpr std::int64_t kSide = SparseRaster::kBlockSide;
    CellRange loaded = range.common_with(grid.cells());
    std::vector<BlockKey> keys;
    if (loaded.empty()) {
        return keys;
    }
    loaded = CellRange{loaded.row_begin / kSide * kSide, (loaded.row_end + kSide - 1) / kSide * kSide,
                       loaded.col_begin / kSide * kSide, (loaded.col_end + kSide - 1) / kSide * kSide}
                 .common_with(grid.cells());
    for (const std::uint32_t position : m_impl->shared->mosaic->members_in(loaded)) {
        const MosaicMember& member = m_impl->shared->mosaic->members[position];
        for_each_block(member.blocks.shape, in_file(member, member.range().common_with(loaded)),
                       [&](std::uint64_t number) {
                           keys.push_back({m_impl->shared->source, position, number});
                       });
    }
    return keys;
}

std::optional<BlockShape> RasterSource::block_shape() const {
    const Mosaic& mosaic = *m_impl->shared->mosaic;
    const MosaicMember& first = mosaic.members.front();
    const RasterLayout& layout = first.layout;
    const bool plain = mosaic.members.size() == 1 && !layout.south_up && !layout.mirrored && !layout.transposed;
    return plain ? std::optional(first.blocks.shape) : std::nullopt;
}

void RasterSource::tell(BlockListener listener) {
    if (listener && !block_shape()) {
        internal_error("a raster told by blocks that has none of its own");
    }
    m_impl->shared->listener = std::move(listener);
}

}  // namespace eaveshed
