#include "eaveshed/raster/block_reader.hpp"

#include "eaveshed/files/refusal.hpp"

#include <algorithm>
#include <cstring>
#include <utility>

#include <gdal_priv.h>

#include "eaveshed/network/remote_file.hpp"
#include "eaveshed/outside/remote_names.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kFilesOpen = 32;  // of one source; the longest unused one is closed for another

// Bit for bit, over the cells that lie in the raster.
bool same_bits(const RasterBlock& a, const RasterBlock& b, const CellRange& range) {
    for (std::int64_t row = 0; row < range.rows(); ++row) {
        if (std::memcmp(a.singles.data() + row * a.cols, b.singles.data() + row * b.cols,
                        static_cast<std::size_t>(range.cols()) * sizeof(float)) != 0) {
            return false;
        }
    }
    return true;
}

// A mask or a block too large to hold: only the window itself, through GDAL's own cache.
bool read_window(GDALRasterBand& band, const MosaicMember& member, const CellRange& range, RasterBlock& out) {
    BandRule stored = member.rule;  // numbers stay as stored
    stored.scale = 1.0;
    stored.offset = 0.0;
    out.cols = range.cols();
    out.singles.clear();
    out.doubles.resize(static_cast<std::size_t>(range.rows() * range.cols()));
    if (!read_values(band, stored, range, out.doubles.data())) {
        return false;
    }
    if (member.cover != nullptr) {
        member.cover->hide(range, out.doubles.data());
    }
    return true;
}

// The block as it is, past GDAL's cache: it is kept in ours.
bool read_native(GDALRasterBand& band, const MemberBlocks& blocks, std::uint64_t number, RasterBlock& out) {
    const auto across = static_cast<std::uint64_t>(blocks.shape.blocks_across());
    const auto cells = static_cast<std::size_t>(blocks.shape.cells());
    const GDALDataType type = band.GetRasterDataType();
    const int size = GDALGetDataTypeSizeBytes(type);
    const GDALDataType kept = blocks.single ? GDT_Float32 : GDT_Float64;
    out.cols = blocks.shape.block_cols;
    // Zeros, for of a damaged block the library may leave some of what was there before: see TiffBlocks.
    out.singles.assign(blocks.single ? cells : 0, 0.0F);
    out.doubles.assign(blocks.single ? 0 : cells, 0.0);
    void* const values = blocks.single ? static_cast<void*>(out.singles.data()) : out.doubles.data();
    std::vector<std::uint8_t> other(type == kept ? 0 : cells * static_cast<std::size_t>(size));
    void* const read_into = type == kept ? values : other.data();
    const GdalErrors errors;
    if (band.ReadBlock(static_cast<int>(number % across), static_cast<int>(number / across), read_into) != CE_None ||
        errors.failures() > 0) {
        return false;
    }
    if (type != kept) {
        GDALCopyWords(other.data(), type, size, values, kept, GDALGetDataTypeSizeBytes(kept), static_cast<int>(cells));
    }
    return true;
}

}  // namespace

void DirectTrust::prove(std::size_t member) {
    std::uint8_t open = kOpen;
    m_levels[member].compare_exchange_strong(open, kProved);  // what was refused meanwhile stays so
}

BlockReader::OpenFile& BlockReader::file_of(std::size_t member) {
    const auto found =
        std::find_if(m_files.begin(), m_files.end(), [member](const OpenFile& file) { return file.member == member; });
    if (found != m_files.end()) {
        m_files.splice(m_files.begin(), m_files, found);
        return m_files.front();
    }
    if (m_files.size() >= kFilesOpen) {
        m_files.pop_back();
    }
    m_files.emplace_front();
    m_files.front().member = member;
    return m_files.front();
}

// Null when it can no longer be opened as what it was when the source was opened.
GDALRasterBand* BlockReader::band_of(OpenFile& file) const {
    const MosaicMember& member = m_mosaic->members[file.member];
    if (!file.tried_gdal) {
        file.tried_gdal = true;
        const GdalErrors errors;
        std::vector<const char*> drivers;
        for (const std::string& name : elevation_drivers()) {
            drivers.push_back(name.c_str());
        }
        drivers.push_back(nullptr);
        file.dataset.reset(GDALDataset::Open(gdal_name(member.file).c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY,
                                             drivers.data(), nullptr, nullptr));
        if (file.dataset != nullptr && !(blocks_of(*file.dataset, member) == member.blocks &&
                                         file.dataset->GetRasterXSize() == member.layout.file_cols() &&
                                         file.dataset->GetRasterYSize() == member.layout.file_rows())) {
            file.dataset.reset();
        }
    }
    return file.dataset != nullptr ? file.dataset->GetRasterBand(member.band) : nullptr;
}

// Null where the file is not one for it.
TiffBlocks* BlockReader::tiff_of(OpenFile& file) const {
    const MosaicMember& member = m_mosaic->members[file.member];
    if (!member.blocks.maybe_direct || m_trust->refused(file.member)) {
        return nullptr;
    }
    if (!file.tried_direct) {
        file.tried_direct = true;
        file.tiff = TiffBlocks::open(member.file, member.blocks.shape);
    }
    return file.tiff.get();
}

bool BlockReader::read_by_gdal(OpenFile& file, std::uint64_t block, RasterBlock& out) const {
    const MosaicMember& member = m_mosaic->members[file.member];
    GDALRasterBand* const band = band_of(file);
    if (band == nullptr) {
        return false;
    }
    return member.blocks.windows ? read_window(*band, member, member.blocks.shape.range_of(block), out)
                                 : read_native(*band, member.blocks, block, out);
}

bool BlockReader::read_direct(OpenFile& file, std::uint64_t block, RasterBlock& out) const {
    TiffBlocks* const tiff = tiff_of(file);
    if (tiff == nullptr) {
        return false;
    }
    const BlockShape& shape = m_mosaic->members[file.member].blocks.shape;
    out.cols = shape.block_cols;
    out.doubles.clear();
    out.singles.resize(static_cast<std::size_t>(shape.cells()));
    out.direct = tiff->read(block, out.singles) && (m_trust->proved(file.member) || prove(file, block, out));
    return out.direct;
}

// Whether GDAL gives the same.
bool BlockReader::prove(OpenFile& file, std::uint64_t block, RasterBlock& out) const {
    RasterBlock by_gdal;
    if (!read_by_gdal(file, block, by_gdal)) {
        return false;
    }
    if (!same_bits(out, by_gdal, m_mosaic->members[file.member].blocks.shape.range_of(block))) {
        m_trust->refuse(file.member);
        return false;
    }
    if (file.tiff->telling()) {
        m_trust->prove(file.member);
    }
    return true;
}

bool BlockReader::read_either_way(std::size_t member, std::uint64_t block, RasterBlock& out) {
    OpenFile& file = file_of(member);
    out.damaged = false;
    out.direct = false;
    return read_direct(file, block, out) || read_by_gdal(file, block, out);
}

// Once more with the file opened anew: a library that was refused something when it opened the file never asks again.
// What then still fails is the file's fault, unless the system says otherwise.
bool BlockReader::read_again(std::size_t member, std::uint64_t block, RasterBlock& out) {
    const std::string& path = m_mosaic->members[member].file;
    m_files.remove_if([member](const OpenFile& file) { return file.member == member; });
    const Refusal refusal;
    if (read_either_way(member, block, out)) {
        return true;
    }
    refusal.rethrow(path);
    if (std::ranges::find(m_whole, member) == m_whole.end()) {
        require_readable(path);
        m_whole.push_back(member);
    }
    return false;
}

void BlockReader::read(std::size_t member, std::uint64_t block, RasterBlock& out) {
    if (!read_either_way(member, block, out) && !read_again(member, block, out)) {
        out = {};
        out.damaged = true;
    }
    throw_network_fault();  // what did not arrive says nothing of the block
    const BandRule& rule = m_mosaic->members[member].rule;
    rule.mark_missing(out.singles);
    rule.mark_missing(out.doubles);
}

}  // namespace eaveshed
