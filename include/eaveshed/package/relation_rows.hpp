// Which rows of a layer belong to which row of another, found out while they are written: asking the finished tables
// would read them all again.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/files/spill_array.hpp"
#include "eaveshed/outside/sqlite.hpp"
#include "eaveshed/package/geopackage_writer.hpp"
#include "eaveshed/record/values.hpp"

namespace eaveshed {

// Numbers for texts, 1, 2, 3, ... as they first come. A text is known by 128 bits made from it, so that a million take
// little room; two of them that share all bits would pass as one.
class TextNumbers {
public:
    // `scratch`: a folder for what many texts outgrow memory with, or empty.
    explicit TextNumbers(const std::filesystem::path& scratch = {}) : m_hashes(scratch) {}

    [[nodiscard]] std::uint32_t number_of(std::string_view text);
    // Memory goes back to the system until the next call.
    void rest() const { m_hashes.rest(); }

private:
    struct Hashes {
        std::uint64_t first = 0;
        std::uint64_t second = 0;
        friend bool operator==(const Hashes&, const Hashes&) = default;
    };
    void grow();
    [[nodiscard]] static Hashes hashes_of(std::string_view text);
    // Of a text with these hashes, or the free one where it belongs.
    [[nodiscard]] std::uint32_t& slot_of(const Hashes& hashes);

    std::vector<std::uint32_t> m_slots;  // a power of two; the text's number, or 0 for a free one
    SpillArray<Hashes> m_hashes;         // by number less 1
};

class RelationRows {
public:
    // `spec` outlives this.
    explicit RelationRows(const GeoPackageSpec& spec);

    // Memory goes back to the system until the next call.
    void rest() const;
    // Rows of each layer in the order of their numbers.
    void see(std::size_t layer, std::int64_t number, std::span<const ValueView> values);
    // The pairs of a relation of the spec, (number of the base row, number of the related row), in the order of the
    // related rows, into an empty table of two columns. How many there are.
    std::int64_t write(Database& database, std::size_t relation, const std::string& table) const;

private:
    // What a layer's rows have to do with a key.
    struct Use {
        std::size_t layer = 0;
        std::size_t column = 0;  // of the key
    };
    // The rows of a base by their key, for all relations of that base and key.
    struct Base {
        Use use;
        TextNumbers keys;
        SpillArray<std::uint32_t> first_row;  // by key; 0: none yet
    };
    struct Related {
        Use use;
        std::size_t base = 0;               // position in m_bases
        SpillArray<std::uint32_t> row_key;  // by row; 0: none
    };
    [[nodiscard]] Use use_of(const std::string& layer, const std::string& key) const;

    const GeoPackageSpec& m_spec;
    std::vector<Base> m_bases;
    std::vector<Related> m_related;  // as the relations of the spec
};

}  // namespace eaveshed
