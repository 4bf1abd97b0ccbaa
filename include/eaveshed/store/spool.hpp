// The spool: the rows of tiles between their computation and the output, packed to one width, in files that say whose
// they are (rows_file.hpp), and asked for in the order of the input. Order, bounded memory, a run taken up again and
// parts on several machines all rest on it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/record/rows_in_order.hpp"
#include "eaveshed/record/tile_rows.hpp"

namespace eaveshed {

class RowsFile;

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

// How many rows the input has.
struct InputRows {
    std::uint64_t roofs = 0;
    std::uint64_t parcels = 0;
};

// The rows of all tiles, asked for in input order. For one thread.
class GatheredRows final : public RowsInOrder {
public:
    // `files`: whose tiles together are those of the plan, each whole. An ordinal beyond the input and a row that came
    // before are working errors.
    // `scratch`: a folder for what large basins outgrow memory with, or empty.
    GatheredRows(const SpoolFormat& format, InputRows count, std::vector<RowsFile> files,
                 const std::filesystem::path& scratch = {});
    ~GatheredRows() override;
    GatheredRows(GatheredRows&&) noexcept;
    GatheredRows& operator=(GatheredRows&&) noexcept;

    // Whether every roof has come.
    [[nodiscard]] bool complete() const;
    [[nodiscard]] RoofRows roof(std::uint64_t ordinal) override;
    [[nodiscard]] std::optional<ParcelRows> parcel(std::uint64_t ordinal) override;
    void rest() override;

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

}  // namespace eaveshed
