// The rows of some tiles in one file: fixed in width, each tile's at a place of its own that the plan decides, with a
// checksum a tile. So the bytes do not depend on which tile was done first, a run that was killed is taken up where it
// stood, and parts of a run are files that come together on one machine (gathered_rows.hpp).
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <span>
#include <vector>

#include "eaveshed/record/tile_row_sink.hpp"
#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/store/spool.hpp"

namespace eaveshed {

// How many rows a tile has.
struct TileSize {
    std::uint32_t roofs = 0;
    std::uint32_t parcels = 0;
};

// Whose rows a file holds.
struct RowsOf {
    std::uint64_t first_tile = 0;  // number in the plan of the first; the others follow it
    std::vector<TileSize> tiles;
};

// Roofs, or parcels, of one file: rows of one width, one after another.
struct RowsRegion {
    std::uint64_t begin = 0;  // in the file, bytes
    std::size_t width = 0;
    std::vector<std::uint32_t> ordinals;  // of each row, where its tile is whole
};

// Tiles are numbered here as in the plan. Lack of room is a passing error, other failures are working errors.
class RowsFile final : public TileRowSink {
public:
    enum class Begin : std::uint8_t {
        anew,      // a new file; nothing may stand under its name
        taken_up,  // what is whole of an existing one stays; anew where there is none or it is another run's
    };
    RowsFile(const std::filesystem::path& path, const SpoolFormat& format, RowsOf of, Begin begin);
    // One that is complete, to be read. Another run's or part's rows, a tile that is not whole or more than belongs
    // there: a working error that names the file.
    [[nodiscard]] static RowsFile finished(const std::filesystem::path& path, const SpoolFormat& format, RowsOf of);
    ~RowsFile() override;
    RowsFile(RowsFile&&) noexcept;
    RowsFile& operator=(RowsFile&&) noexcept;

    // Another number of rows than the plan says is a broken invariant. Safe for different tiles at once.
    void write(std::uint64_t tile, const TileRows& rows) override;
    [[nodiscard]] bool holds(std::uint64_t tile) const override;
    // Whether every tile is whole. Like all below it, for when no thread writes.
    [[nodiscard]] bool complete() const;
    [[nodiscard]] std::uint64_t tiles_held() const;
    void sync();

    [[nodiscard]] const std::filesystem::path& path() const;
    [[nodiscard]] RowsRegion& roofs();
    [[nodiscard]] RowsRegion& parcels();
    void read(std::uint64_t offset, std::span<unsigned char> bytes) const;

private:
    struct Impl;
    explicit RowsFile(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> m_impl;
};

}  // namespace eaveshed
