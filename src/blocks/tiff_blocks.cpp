#include "eaveshed/blocks/tiff_blocks.hpp"

#include <algorithm>
#include <bit>
#include <cstring>
#include <filesystem>
#include <memory>
#include <system_error>
#include <utility>

#include <fmt/format.h>
#include <tiffio.h>

#include "eaveshed/blocks/float_predictor.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/files/refusal.hpp"
#include "eaveshed/outside/gdal_setup.hpp"

namespace eaveshed {

namespace {

TIFF* tiff(void* file) {
    return static_cast<TIFF*>(file);
}

// No memory map, for a file cut short by another program would end this one; offsets of blocks are read as needed.
constexpr const char* kMode = "rmO";

// Handlers of one file, so that nothing is printed and GDAL's own stay as they are; before libtiff 4.5 there are only
// those of the process, which GDAL has set to its own.
#if defined(TIFFLIB_VERSION) && TIFFLIB_VERSION >= 20221213
int say_nothing(TIFF* /*file*/, void* /*data*/, const char* /*module*/, const char* /*text*/, va_list /*values*/) {
    return 1;
}

TIFF* open_quietly(const char* path) {
    TIFFOpenOptions* const options = TIFFOpenOptionsAlloc();
    if (options == nullptr) {
        return nullptr;
    }
    TIFFOpenOptionsSetErrorHandlerExtR(options, say_nothing, nullptr);
    TIFFOpenOptionsSetWarningHandlerExtR(options, say_nothing, nullptr);
    TIFF* const file = TIFFOpenExt(path, kMode, options);
    TIFFOpenOptionsFree(options);
    return file;
}
#else
TIFF* open_quietly(const char* path) {
    return TIFFOpen(path, kMode);
}
#endif

template <typename Number>
Number field(TIFF* file, std::uint32_t tag) {
    Number value = 0;
    return TIFFGetFieldDefaulted(file, tag, &value) == 1 ? value : Number{0};
}

// The shape as libtiff sees it.
BlockShape shape_of(TIFF* file) {
    BlockShape shape;
    shape.rows = field<std::uint32_t>(file, TIFFTAG_IMAGELENGTH);
    shape.cols = field<std::uint32_t>(file, TIFFTAG_IMAGEWIDTH);
    if (TIFFIsTiled(file) != 0) {
        shape.block_rows = field<std::uint32_t>(file, TIFFTAG_TILELENGTH);
        shape.block_cols = field<std::uint32_t>(file, TIFFTAG_TILEWIDTH);
    } else {
        shape.block_rows = std::min<std::int64_t>(field<std::uint32_t>(file, TIFFTAG_ROWSPERSTRIP), shape.rows);
        shape.block_cols = shape.cols;
    }
    return shape;
}

bool known_codec(std::uint16_t compression) {
    switch (compression) {
        case COMPRESSION_NONE:
        case COMPRESSION_LZW:
        case COMPRESSION_ADOBE_DEFLATE:
        case COMPRESSION_DEFLATE:
        case COMPRESSION_ZSTD: return TIFFIsCODECConfigured(compression) != 0;
        default: return false;
    }
}

bool holds_floats(TIFF* file) {
    return field<std::uint16_t>(file, TIFFTAG_BITSPERSAMPLE) == 32 &&
           field<std::uint16_t>(file, TIFFTAG_SAMPLEFORMAT) == SAMPLEFORMAT_IEEEFP &&
           field<std::uint16_t>(file, TIFFTAG_SAMPLESPERPIXEL) == 1 &&
           field<std::uint32_t>(file, TIFFTAG_IMAGEDEPTH) <= 1 && field<std::uint32_t>(file, TIFFTAG_TILEDEPTH) <= 1;
}

// Of a codec that has one; 0 for none.
std::uint16_t predictor_of(TIFF* file) {
    const auto compression = field<std::uint16_t>(file, TIFFTAG_COMPRESSION);
    return compression == COMPRESSION_NONE ? std::uint16_t{PREDICTOR_NONE}
                                           : field<std::uint16_t>(file, TIFFTAG_PREDICTOR);
}

}  // namespace

void TiffBlocks::Closer::operator()(void* file) const noexcept {
    TIFFClose(tiff(file));
}

TiffBlocks::TiffBlocks(File file, const BlockShape& shape, bool predicted)
    : m_file(std::move(file)), m_shape(shape), m_predicted(predicted), m_tiled(TIFFIsTiled(tiff(m_file.get())) != 0) {
    if (m_predicted) {
        m_coded.resize(static_cast<std::size_t>(shape.cells()) * sizeof(float));
    }
}

TiffBlocks::~TiffBlocks() = default;

std::unique_ptr<TiffBlocks> TiffBlocks::open(const std::string& path, const BlockShape& shape) {
    if constexpr (std::endian::native != std::endian::little) {
        return nullptr;
    }
    const GdalErrors quiet;
    File file(open_quietly(path.c_str()));
    TIFF* const opened = tiff(file.get());
    if (opened == nullptr || TIFFIsByteSwapped(opened) != 0 || !(shape_of(opened) == shape) || !holds_floats(opened) ||
        !known_codec(field<std::uint16_t>(opened, TIFFTAG_COMPRESSION))) {
        return nullptr;
    }
    const std::uint16_t predictor = predictor_of(opened);
    const auto bytes = static_cast<std::uint64_t>(shape.cells()) * sizeof(float);
    const std::uint64_t said = TIFFIsTiled(opened) != 0 ? TIFFTileSize64(opened) : TIFFStripSize64(opened);
    if ((predictor != PREDICTOR_NONE && predictor != PREDICTOR_FLOATINGPOINT) || bytes != said) {
        return nullptr;
    }
    // On the handle only: the codec then leaves the bytes as they were coded.
    const bool predicted = predictor == PREDICTOR_FLOATINGPOINT;
    if (predicted && TIFFSetField(opened, TIFFTAG_PREDICTOR, PREDICTOR_NONE) != 1) {
        return nullptr;
    }
    return std::unique_ptr<TiffBlocks>(new TiffBlocks(std::move(file), shape, predicted));
}

// What the library makes of a damaged block can hang on what its buffer held before: every block begins with zeros, so
// that the same file gives the same numbers in any order.
bool TiffBlocks::read_strile(std::uint32_t number, void* bytes, std::size_t count) const {
    std::memset(bytes, 0, count);
    TIFF* const file = tiff(m_file.get());
    if (TIFFGetStrileByteCount(file, number) == 0 || TIFFGetStrileOffset(file, number) == 0) {
        return false;
    }
    const auto size = static_cast<tmsize_t>(count);
    const tmsize_t got =
        m_tiled ? TIFFReadEncodedTile(file, number, bytes, size) : TIFFReadEncodedStrip(file, number, bytes, size);
    return got == size;
}

bool TiffBlocks::read(std::uint64_t block, std::span<float> values) {
    if (static_cast<std::int64_t>(values.size()) != m_shape.cells()) {
        internal_error("a block of the wrong size");
    }
    const GdalErrors quiet;
    const auto number = static_cast<std::uint32_t>(block);
    const std::int64_t rows = m_tiled ? m_shape.block_rows : m_shape.range_of(block).rows();
    const std::span<float> stored = values.first(static_cast<std::size_t>(rows * m_shape.block_cols));
    m_telling = true;
    if (!m_predicted) {
        return read_strile(number, stored.data(), stored.size_bytes());
    }
    const std::span<std::uint8_t> coded = std::span(m_coded).first(stored.size_bytes());
    if (!read_strile(number, coded.data(), coded.size())) {
        return false;
    }
    m_telling = std::ranges::any_of(coded, [](std::uint8_t byte) { return byte != 0; });
    undo_float_predictor(coded, static_cast<std::size_t>(m_shape.block_cols), stored);
    return true;
}

CutBlocks cut_blocks(const std::string& path) {
    const GdalErrors quiet;
    std::error_code fault;
    const std::uint64_t size = std::filesystem::file_size(path, fault);
    const std::unique_ptr<TIFF, decltype(&TIFFClose)> file(fault ? nullptr : open_quietly(path.c_str()), &TIFFClose);
    CutBlocks blocks;
    if (file == nullptr) {
        return blocks;
    }
    const bool tiled = TIFFIsTiled(file.get()) != 0;
    blocks.of = tiled ? TIFFNumberOfTiles(file.get()) : TIFFNumberOfStrips(file.get());
    for (std::uint32_t i = 0; i < blocks.of; ++i) {
        int unreadable = 0;
        const Refusal refusal;
        const std::uint64_t offset = TIFFGetStrileOffsetWithErr(file.get(), i, &unreadable);
        const std::uint64_t bytes = unreadable != 0 ? 0 : TIFFGetStrileByteCountWithErr(file.get(), i, &unreadable);
        if (unreadable != 0) {
            refusal.rethrow(path);
        }
        blocks.cut += unreadable != 0 || (bytes > 0 && (offset > size || bytes > size - offset)) ? 1U : 0U;
    }
    return blocks;
}

void report_cut_blocks(const std::string& where, const std::string& path, const std::string& effect,
                       Findings& findings) {
    const CutBlocks blocks = cut_blocks(path);
    if (blocks.cut > 0) {
        findings.warn(
            {where, fmt::format("{} of {} blocks beyond the end of the file: it was cut short", blocks.cut, blocks.of),
             "a file that is whole", "get the file again: " + effect});
    }
}

}  // namespace eaveshed
