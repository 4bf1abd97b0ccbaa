// The spool: each tile's rows in a file of their own, fixed in width, with a checksum, published by rename. Everything
// after it (order of the output, bounded memory, a run taken up again, parts on several machines) rests on these files.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "eaveshed/record/rows_in_order.hpp"
#include "eaveshed/record/tile_row_sink.hpp"
#include "eaveshed/record/tile_rows.hpp"

namespace eaveshed {

// What the rows of one plan have in common.
struct SpoolFormat {
    std::string plan;              // fingerprint of inputs and settings: rows of another plan are refused
    std::size_t option_count = 0;  // storage options of a computed roof
    std::size_t scenario_count = 0;
    bool curve = true;  // whether the rows of a roof's options are kept
};

// Bytes of one packed roof, and of one packed parcel.
[[nodiscard]] std::size_t packed_width(const SpoolFormat& format);
[[nodiscard]] std::size_t packed_parcel_width(const SpoolFormat& format);

// Writes FOLDER/TILE.rows under a temporary name, with a SHA-256 at its end, and publishes it. Safe to call for
// different tiles from several threads. No room is a passing error.
void write_tile(const std::filesystem::path& folder, std::uint64_t tile, const SpoolFormat& format,
                const TileRows& result);

// How many rows the input has.
struct InputRows {
    std::uint64_t roofs = 0;
    std::uint64_t parcels = 0;
};

// The rows of all tiles, asked for in input order: files of fixed-width rows, found by their ordinal. Reading is for
// one thread, when all have come.
class GatheredRows final : public RowsInOrder {
public:
    // Two files are created, whose names begin with `path`.
    GatheredRows(const std::filesystem::path& path, const SpoolFormat& format, InputRows count);
    ~GatheredRows() override;
    GatheredRows(GatheredRows&&) noexcept;
    GatheredRows& operator=(GatheredRows&&) noexcept;

    // Takes one tile's file. Its length, checksum and plan are checked; a mismatch, an ordinal beyond the input and a
    // row that came before are working errors. Safe to call for different tiles from several threads.
    void add(const std::filesystem::path& folder, std::uint64_t tile);
    // Whether every roof has come.
    [[nodiscard]] bool complete() const;
    [[nodiscard]] RoofRows roof(std::uint64_t ordinal) override;
    [[nodiscard]] std::optional<ParcelRows> parcel(std::uint64_t ordinal) override;

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

// Writes each tile's file, and takes it to the others at once.
class SpoolWriter final : public TileRowSink {
public:
    // The folder exists; `rows` outlives this.
    SpoolWriter(std::filesystem::path folder, SpoolFormat format, GatheredRows& rows)
        : m_folder(std::move(folder)), m_format(std::move(format)), m_rows(rows) {}
    void write(std::uint64_t tile, const TileRows& rows) override {
        write_tile(m_folder, tile, m_format, rows);
        m_rows.add(m_folder, tile);
    }

private:
    std::filesystem::path m_folder;
    SpoolFormat m_format;
    GatheredRows& m_rows;
};

}  // namespace eaveshed
