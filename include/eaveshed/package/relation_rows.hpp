// Which rows of a layer belong to which row of another, found out while they are written: asking the finished tables
// would read them all again.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/outside/sqlite.hpp"
#include "eaveshed/package/geopackage_writer.hpp"
#include "eaveshed/record/values.hpp"

namespace eaveshed {

// Numbers for texts, 1, 2, 3, ... as they first come. A text is known by 128 bits made from it, so that a million take
// little room; two of them that share all bits would pass as one.
class TextNumbers {
public:
    [[nodiscard]] std::uint32_t number_of(std::string_view text);

private:
    struct Slot {
        std::uint64_t first = 0;
        std::uint64_t second = 0;
        std::uint32_t number = 0;  // 0: free
    };
    void grow();
    [[nodiscard]] Slot& slot_of(std::uint64_t first, std::uint64_t second);

    std::vector<Slot> m_slots;  // a power of two
    std::uint32_t m_count = 0;
};

class RelationRows {
public:
    // `spec` outlives this.
    explicit RelationRows(const GeoPackageSpec& spec);

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
        std::vector<std::uint32_t> first_row;  // by key; 0: none yet
    };
    struct Related {
        Use use;
        std::size_t base = 0;                // position in m_bases
        std::vector<std::uint32_t> row_key;  // by row; 0: none
    };
    [[nodiscard]] Use use_of(const std::string& layer, const std::string& key) const;

    const GeoPackageSpec& m_spec;
    std::vector<Base> m_bases;
    std::vector<Related> m_related;  // as the relations of the spec
};

}  // namespace eaveshed
