// What the direct path gives beside what GDAL gives, bit for bit, on every block of files of many kinds.
#include "eaveshed/blocks/tiff_blocks.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <limits>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/raster/block_reader.hpp"
#include "support/random_numbers.hpp"
#include "support/raster_file.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::RasterSpec;
using testing::TempFolder;
using testing::write_raster;

constexpr int kRows = 100;  // of no block's height and width a multiple
constexpr int kCols = 150;

RasterBlock block_from(BlockReader& reader, std::uint64_t number) {
    RasterBlock block;
    reader.read(0, number, block);
    return block;
}

enum class Relief { smooth, rough, odd };

std::vector<double> cells(Relief relief, int rows = kRows, int cols = kCols) {
    testing::RandomNumbers random(5);
    std::vector<double> values;
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            const double smooth = 300.0 + 40.0 * std::sin(row / 17.0) * std::cos(col / 23.0);
            values.push_back(relief == Relief::rough ? random.between(-3000.0, 3000.0) : smooth);
        }
    }
    if (relief == Relief::odd) {
        const double infinity = std::numeric_limits<double>::infinity();
        const double odd[] = {-0.0,    infinity, -infinity, std::numeric_limits<double>::quiet_NaN(), 1e-40,
                              -9999.0, 3.4e38,   0.0,       -std::numeric_limits<double>::quiet_NaN()};
        for (std::size_t i = 0; i < values.size(); i += 7) {
            values[i] = odd[(i / 7) % std::size(odd)];
        }
    }
    return values;
}

struct Kind {
    std::string name;
    std::vector<std::string> options;
    bool direct = true;
    GDALDataType type = GDT_Float32;
    std::string driver = "GTiff";
    bool south_up = false;
    std::optional<double> nodata = {};
};

std::vector<Kind> kinds() {
    std::vector<Kind> all;
    const std::vector<std::string> layouts[] = {
        {"TILED=YES", "BLOCKXSIZE=64", "BLOCKYSIZE=32"}, {"BLOCKYSIZE=1"}, {"BLOCKYSIZE=7"}, {"BLOCKYSIZE=100"}};
    int layout = 0;
    for (const std::vector<std::string>& options : layouts) {
        ++layout;
        for (const char* codec : {"NONE", "DEFLATE", "LZW", "ZSTD"}) {
            for (const char* predictor : {"1", "3"}) {
                if (codec == std::string("NONE") && predictor == std::string("3")) {
                    continue;
                }
                Kind kind{std::string(codec) + "_" + predictor + "_" + std::to_string(layout), options};
                kind.options.push_back(std::string("COMPRESS=") + codec);
                kind.options.push_back(std::string("PREDICTOR=") + predictor);
                all.push_back(kind);
            }
        }
    }
    const std::vector<std::string> plain{"TILED=YES", "BLOCKXSIZE=64", "BLOCKYSIZE=32", "COMPRESS=DEFLATE"};
    const auto with = [&plain](std::vector<std::string> more) {
        more.insert(more.begin(), plain.begin(), plain.end());
        return more;
    };
    all.push_back({.name = "big_tiff", .options = with({"PREDICTOR=3", "BIGTIFF=YES"})});
    all.push_back({.name = "south_up", .options = with({"PREDICTOR=3"}), .south_up = true});
    all.push_back({.name = "nodata", .options = with({"PREDICTOR=3"}), .nodata = -9999.0});
    all.push_back({.name = "cog",
                   .options = {"COMPRESS=DEFLATE", "PREDICTOR=YES", "BLOCKSIZE=128", "OVERVIEW_COUNT=1"},
                   .driver = "COG"});
    all.push_back({.name = "int16", .options = with({"PREDICTOR=2"}), .direct = false, .type = GDT_Int16});
    all.push_back({.name = "uint16", .options = with({}), .direct = false, .type = GDT_UInt16});
    all.push_back({.name = "byte", .options = with({}), .direct = false, .type = GDT_Byte});
    all.push_back({.name = "int32", .options = with({"PREDICTOR=2"}), .direct = false, .type = GDT_Int32});
    all.push_back({.name = "float64", .options = with({"PREDICTOR=3"}), .direct = false, .type = GDT_Float64});
    all.push_back({.name = "float32_integers_predictor", .options = with({"PREDICTOR=2"}), .direct = false});
    all.push_back({.name = "half", .options = with({"NBITS=16"}), .direct = false});
    all.push_back({.name = "big_endian", .options = with({"PREDICTOR=3", "ENDIANNESS=BIG"}), .direct = false});
    all.push_back(
        {.name = "lerc", .options = {"TILED=YES", "BLOCKXSIZE=64", "BLOCKYSIZE=32", "COMPRESS=LERC"}, .direct = false});
    all.push_back({.name = "hfa", .options = {}, .direct = false, .driver = "HFA"});
    return all;
}

bool driver_knows(const std::vector<std::string>& options) {
    const char* const list =
        GetGDALDriverManager()->GetDriverByName("GTiff")->GetMetadataItem(GDAL_DMD_CREATIONOPTIONLIST);
    for (const std::string& option : options) {
        const std::string key = "COMPRESS=";
        if (option.rfind(key, 0) == 0 &&
            std::string(list).find(">" + option.substr(key.size()) + "<") == std::string::npos) {
            return false;
        }
    }
    return true;
}

class BlocksOf : public ::testing::TestWithParam<Kind> {
protected:
    std::string write(Relief relief) const {
        const Kind& kind = GetParam();
        RasterSpec spec{.rows = kRows, .cols = kCols, .bands = {cells(relief)}};
        spec.type = kind.type;
        spec.driver = kind.driver;
        spec.options = kind.options;
        spec.nodata = kind.nodata;
        if (kind.south_up) {
            spec.transform[5] = 1.0;
        }
        const GdalErrors quiet;  // numbers that half precision cannot hold
        write_raster(m_folder.file("dem.tif"), spec);
        return m_folder.file("dem.tif");
    }
    TempFolder m_folder;
};

std::shared_ptr<const Mosaic> mosaic_of(const std::string& path) {
    Findings findings;
    return std::make_shared<const Mosaic>(look_at_mosaic("terrain.elevation", {path}, elevation_request({}), findings));
}

// Stored numbers of a block by GDAL's own reading of the rectangle, which shares nothing with ours.
std::vector<double> by_gdal(GDALRasterBand& band, const CellRange& range) {
    std::vector<double> values(static_cast<std::size_t>(range.rows() * range.cols()));
    const auto width = static_cast<int>(range.cols());
    const auto height = static_cast<int>(range.rows());
    EXPECT_EQ(band.RasterIO(GF_Read, static_cast<int>(range.col_begin), static_cast<int>(range.row_begin), width,
                            height, values.data(), width, height, GDT_Float64, 0, 0, nullptr),
              CE_None);
    return values;
}

std::vector<float> floats_by_gdal(GDALRasterBand& band, const CellRange& range) {
    std::vector<float> values(static_cast<std::size_t>(range.rows() * range.cols()));
    const auto width = static_cast<int>(range.cols());
    const auto height = static_cast<int>(range.rows());
    EXPECT_EQ(band.RasterIO(GF_Read, static_cast<int>(range.col_begin), static_cast<int>(range.row_begin), width,
                            height, values.data(), width, height, GDT_Float32, 0, 0, nullptr),
              CE_None);
    return values;
}

std::uint64_t block_count(const BlockShape& shape) {
    const std::int64_t down = (shape.rows + shape.block_rows - 1) / shape.block_rows;
    return static_cast<std::uint64_t>(down * shape.blocks_across());
}

void expect_direct_is_gdal(const std::string& path, const BlockShape& shape) {
    const std::unique_ptr<TiffBlocks> direct = TiffBlocks::open(path, shape);
    ASSERT_NE(direct, nullptr);
    const DatasetHandle dataset = open_raster("terrain.elevation", path, elevation_drivers());
    std::vector<float> block(static_cast<std::size_t>(shape.cells()));
    for (std::uint64_t number = 0; number < block_count(shape); ++number) {
        const CellRange range = shape.range_of(number);
        ASSERT_TRUE(direct->read(number, block)) << number;
        const std::vector<float> expected = floats_by_gdal(*dataset->GetRasterBand(1), range);
        for (std::int64_t row = 0; row < range.rows(); ++row) {
            ASSERT_EQ(std::memcmp(block.data() + row * shape.block_cols, expected.data() + row * range.cols(),
                                  static_cast<std::size_t>(range.cols()) * sizeof(float)),
                      0)
                << "block " << number << ", row " << row;
        }
    }
}

TEST_P(BlocksOf, AreThoseOfGdalBitForBit) {
    GdalSession::start();
    const Kind& kind = GetParam();
    if (!driver_knows(kind.options)) {
        GTEST_SKIP() << "this GDAL writes no such file";
    }
    for (const Relief relief : {Relief::smooth, Relief::rough, Relief::odd}) {
        SCOPED_TRACE(static_cast<int>(relief));
        const std::string path = write(relief);
        const auto mosaic = mosaic_of(path);
        const MemberBlocks& blocks = mosaic->members.front().blocks;
        if (kind.direct) {
            expect_direct_is_gdal(path, blocks.shape);
        } else {
            EXPECT_TRUE(!blocks.maybe_direct || TiffBlocks::open(path, blocks.shape) == nullptr);
        }
    }
}

// The reader's blocks are GDAL's numbers with the missing ones NaN, by whichever way they came.
TEST_P(BlocksOf, AreReadByTheWayThatFits) {
    GdalSession::start();
    const Kind& kind = GetParam();
    if (!driver_knows(kind.options)) {
        GTEST_SKIP() << "this GDAL writes no such file";
    }
    const std::string path = write(Relief::odd);
    const auto mosaic = mosaic_of(path);
    BlockReader reader(mosaic, std::make_shared<DirectTrust>(1));
    const MosaicMember& member = mosaic->members.front();
    const DatasetHandle dataset = open_raster("terrain.elevation", path, elevation_drivers());
    for (std::uint64_t number = 0; number < block_count(member.blocks.shape); ++number) {
        const CellRange range = member.blocks.shape.range_of(number);
        const RasterBlock block = block_from(reader, number);
        EXPECT_EQ(block.direct, kind.direct) << number;
        ASSERT_FALSE(block.damaged);
        const std::vector<double> expected = by_gdal(*dataset->GetRasterBand(1), range);
        for (std::int64_t row = 0; row < range.rows(); ++row) {
            for (std::int64_t col = 0; col < range.cols(); ++col) {
                const double stored = expected[static_cast<std::size_t>(row * range.cols() + col)];
                const auto at = static_cast<std::size_t>(row * block.cols + col);
                const double got =
                    block.singles.empty() ? block.doubles.at(at) : static_cast<double>(block.singles.at(at));
                if (member.rule.is_missing(stored)) {
                    ASSERT_TRUE(std::isnan(got)) << number << ' ' << row << ' ' << col;
                } else {
                    ASSERT_EQ(std::bit_cast<std::uint64_t>(got), std::bit_cast<std::uint64_t>(stored));
                }
            }
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Kinds, BlocksOf, ::testing::ValuesIn(kinds()),
                         [](const auto& kind) { return kind.param.name; });

class TiffBlocksTest : public ::testing::Test {
protected:
    std::string write(RasterSpec spec = {}) const {
        spec.rows = kRows;
        spec.cols = kCols;
        spec.bands = {cells(Relief::smooth)};
        spec.options = {"TILED=YES", "BLOCKXSIZE=64", "BLOCKYSIZE=32", "COMPRESS=DEFLATE", "PREDICTOR=3"};
        write_raster(m_folder.file("dem.tif"), spec);
        return m_folder.file("dem.tif");
    }
    TempFolder m_folder;
    const BlockShape m_shape{kRows, kCols, 32, 64};
};

TEST_F(TiffBlocksTest, AnotherShapeThanGdalsIsRefused) {
    const std::string path = write();
    EXPECT_NE(TiffBlocks::open(path, m_shape), nullptr);
    for (const BlockShape& other : {BlockShape{kRows + 1, kCols, 32, 64}, BlockShape{kRows, kCols - 1, 32, 64},
                                    BlockShape{kRows, kCols, 16, 64}, BlockShape{kRows, kCols, 32, 128}}) {
        EXPECT_EQ(TiffBlocks::open(path, other), nullptr);
    }
}

TEST_F(TiffBlocksTest, WhatIsNoTiffOrIsGoneIsRefusedInSilence) {
    ::testing::internal::CaptureStderr();
    EXPECT_EQ(TiffBlocks::open(m_folder.file("none.tif"), m_shape), nullptr);
    EXPECT_EQ(TiffBlocks::open(m_folder.write("text.tif", "no raster"), m_shape), nullptr);
    EXPECT_EQ(TiffBlocks::open(m_folder.write("cut.tif", std::string("II*\0\x08\0\0\0", 8)), m_shape), nullptr);
    EXPECT_EQ(::testing::internal::GetCapturedStderr(), "");
}

// F3: also what the library says of broken blocks is kept from the screen; they are then GDAL's to judge.
TEST_F(TiffBlocksTest, ABrokenBlockIsRefusedInSilenceAndTheOthersKept) {
    const std::string path = write();
    std::filesystem::resize_file(path, std::filesystem::file_size(path) - 500);
    const std::unique_ptr<TiffBlocks> direct = TiffBlocks::open(path, m_shape);
    ASSERT_NE(direct, nullptr);
    std::vector<float> values(static_cast<std::size_t>(m_shape.cells()));
    ::testing::internal::CaptureStderr();
    EXPECT_TRUE(direct->read(0, values));
    EXPECT_FALSE(direct->read(11, values));
    EXPECT_EQ(::testing::internal::GetCapturedStderr(), "");
    const auto mosaic = mosaic_of(path);
    BlockReader reader(mosaic, std::make_shared<DirectTrust>(1));
    EXPECT_TRUE(block_from(reader, 11).damaged);
    const RasterBlock whole = block_from(reader, 0);
    EXPECT_FALSE(whole.damaged);
    EXPECT_TRUE(whole.direct);
}

// One byte in the middle of a block: the codec's own checks decide, as they do for GDAL.
TEST_F(TiffBlocksTest, BytesTurnedInABlockAreJudgedAsGdalJudges) {
    const std::string path = write();
    const auto size = static_cast<std::streamoff>(std::filesystem::file_size(path));
    std::size_t damaged = 0;
    for (std::streamoff at = size / 3; at < size; at += size / 40) {
        write();
        {
            std::fstream file(path, std::ios::in | std::ios::out | std::ios::binary);
            file.seekp(at);
            file.put('\x55');
        }
        const auto mosaic = mosaic_of(path);
        BlockReader both(mosaic, std::make_shared<DirectTrust>(1));
        const auto no_trust = std::make_shared<DirectTrust>(1);
        no_trust->refuse(0);
        BlockReader by_gdal_alone(mosaic, no_trust);
        for (std::uint64_t number = 0; number < block_count(m_shape); ++number) {
            const RasterBlock one = block_from(both, number);
            const RasterBlock other = block_from(by_gdal_alone, number);
            EXPECT_EQ(one.damaged, other.damaged) << at << ' ' << number;
            ASSERT_EQ(one.singles.size(), other.singles.size());
            damaged += one.damaged ? 1U : 0U;
            const CellRange range = m_shape.range_of(number);
            for (std::int64_t row = 0; row < range.rows() && !one.damaged; ++row) {
                EXPECT_EQ(std::memcmp(one.singles.data() + row * one.cols, other.singles.data() + row * one.cols,
                                      static_cast<std::size_t>(range.cols()) * sizeof(float)),
                          0);
            }
        }
    }
    EXPECT_GT(damaged, 0U);
}

TEST_F(TiffBlocksTest, ABlockThatTheFileLeavesOutIsGdals) {
    GdalSession::start();
    const std::string path = m_folder.file("sparse.tif");
    std::vector<float> some(32 * 64, 7.5F);
    {
        CPLStringList options;
        for (const char* option :
             {"TILED=YES", "BLOCKXSIZE=64", "BLOCKYSIZE=32", "COMPRESS=DEFLATE", "PREDICTOR=3", "SPARSE_OK=TRUE"}) {
            options.AddString(option);
        }
        const DatasetHandle file(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(path.c_str(), kCols, kRows, 1,
                                                                                          GDT_Float32, options.List()));
        double transform[6] = {500000.0, 1.0, 0.0, 4000000.0, 0.0, -1.0};
        file->SetGeoTransform(transform);
        OGRSpatialReference srs;
        srs.importFromEPSG(32610);
        file->SetSpatialRef(&srs);
        file->GetRasterBand(1)->SetNoDataValue(-9999.0);
        ASSERT_EQ(
            file->GetRasterBand(1)->RasterIO(GF_Write, 64, 32, 64, 32, some.data(), 64, 32, GDT_Float32, 0, 0, nullptr),
            CE_None);
    }
    const auto mosaic = mosaic_of(path);
    BlockReader reader(mosaic, std::make_shared<DirectTrust>(1));
    const RasterBlock absent = block_from(reader, 0);
    EXPECT_FALSE(absent.direct);
    EXPECT_FALSE(absent.damaged);
    EXPECT_TRUE(std::isnan(absent.singles.at(0)));
    const RasterBlock present = block_from(reader, 4);
    EXPECT_TRUE(present.direct);
    EXPECT_EQ(present.singles.at(0), 7.5F);
}

// The safeguard: bytes that the library would have put right already are found out by the first block.
TEST_F(TiffBlocksTest, AFileThatIsRefusedOnceIsReadByGdalFromThenOn) {
    const std::string path = write();
    const auto mosaic = mosaic_of(path);
    const auto trust = std::make_shared<DirectTrust>(1);
    BlockReader reader(mosaic, trust);
    const RasterBlock before = block_from(reader, 0);
    EXPECT_TRUE(before.direct);
    EXPECT_TRUE(trust->proved(0));
    trust->refuse(0);
    trust->prove(0);
    EXPECT_TRUE(trust->refused(0));
    const RasterBlock after = block_from(reader, 0);
    EXPECT_FALSE(after.direct);
    EXPECT_EQ(after.singles, before.singles);
}

TEST_F(TiffBlocksTest, BlocksOfZerosProveNothing) {
    RasterSpec spec{.rows = kRows, .cols = kCols, .bands = {std::vector<double>(kRows * kCols, 0.0)}};
    spec.bands.front().back() = 1.0;
    spec.options = {"TILED=YES", "BLOCKXSIZE=64", "BLOCKYSIZE=32", "COMPRESS=DEFLATE", "PREDICTOR=3"};
    write_raster(m_folder.file("flat.tif"), spec);
    const auto trust = std::make_shared<DirectTrust>(1);
    BlockReader reader(mosaic_of(m_folder.file("flat.tif")), trust);
    EXPECT_TRUE(block_from(reader, 0).direct);
    EXPECT_FALSE(trust->proved(0));
    EXPECT_TRUE(block_from(reader, 11).direct);
    EXPECT_TRUE(trust->proved(0));
}

// Found by the fuzzer: a DEFLATE block whose checksum is wrong is given all the same, with a tail that the library
// leaves as its buffer was.
TEST_F(TiffBlocksTest, ADamagedBlockGivesTheSameNumbersWhateverWasReadBefore) {
    const auto mosaic = mosaic_of(EAVESHED_SOURCE_DIR "/testdata/fuzz/tiff/bad_checksum");
    constexpr std::uint64_t kDamaged = 1;
    for (const bool direct : {true, false}) {
        const auto reader = [&] {
            const auto trust = std::make_shared<DirectTrust>(1);
            if (!direct) {
                trust->refuse(0);
            }
            return BlockReader(mosaic, trust);
        };
        BlockReader first = reader();
        const RasterBlock expected = block_from(first, kDamaged);
        ASSERT_FALSE(expected.damaged);
        BlockReader second = reader();
        RasterBlock block;
        for (const std::uint64_t number : {std::uint64_t{0}, kDamaged, kDamaged}) {
            second.read(0, number, block);
        }
        EXPECT_EQ(block.singles, expected.singles) << (direct ? "direct" : "by GDAL");
        std::ranges::fill(block.singles, -77.7F);
        second.read(0, kDamaged, block);
        EXPECT_EQ(block.singles, expected.singles) << (direct ? "direct" : "by GDAL") << ", over other numbers";
    }
}

}  // namespace
}  // namespace eaveshed
