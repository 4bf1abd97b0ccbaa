#include "eaveshed/package/relation_rows.hpp"

#include <algorithm>
#include <limits>
#include <utility>
#include <variant>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kFewestSlots = 64;

}  // namespace

// Fowler, Noll and Vo's FNV-1a; the second hash begins elsewhere and is stirred after each letter, so that texts with
// one hash in common do not have both.
TextNumbers::Hashes TextNumbers::hashes_of(std::string_view text) {
    constexpr std::uint64_t kPrime = 0x00000100000001B3;
    std::uint64_t first = 0xCBF29CE484222325;
    std::uint64_t second = 0x9E3779B97F4A7C15;
    for (const char letter : text) {
        first = (first ^ static_cast<unsigned char>(letter)) * kPrime;
        second = (second ^ static_cast<unsigned char>(letter)) * 0xBF58476D1CE4E5B9;
        second ^= second >> 29U;
    }
    return {first, second};
}

std::uint32_t& TextNumbers::slot_of(const Hashes& hashes) {
    const std::size_t mask = m_slots.size() - 1;
    std::size_t at = (hashes.first ^ hashes.first >> 32U) & mask;
    while (m_slots[at] != 0 && m_hashes[m_slots[at] - 1] != hashes) {
        at = (at + 1) & mask;
    }
    return m_slots[at];
}

void TextNumbers::grow() {
    const std::size_t slots = std::max(kFewestSlots, 2 * m_slots.size());
    m_slots = {};  // its room goes before another is taken
    m_slots.resize(slots);
    const std::size_t mask = slots - 1;
    std::uint32_t number = 0;
    for (const Hashes& hashes : m_hashes) {  // all differ
        std::size_t at = (hashes.first ^ hashes.first >> 32U) & mask;
        while (m_slots[at] != 0) {
            at = (at + 1) & mask;
        }
        m_slots[at] = ++number;
    }
}

std::uint32_t TextNumbers::number_of(std::string_view text) {
    if (4 * (m_hashes.size() + 1) > 3 * m_slots.size()) {  // at most three quarters are taken
        grow();
    }
    const Hashes hashes = hashes_of(text);
    std::uint32_t& number = slot_of(hashes);
    if (number == 0) {
        m_hashes.push_back(hashes);
        number = static_cast<std::uint32_t>(m_hashes.size());
    }
    return number;
}

RelationRows::Use RelationRows::use_of(const std::string& layer, const std::string& key) const {
    const auto found = std::ranges::find(m_spec.layers, layer, &LayerSpec::name);
    if (found == m_spec.layers.end()) {
        internal_error("a relation of a layer that is not written: " + layer);
    }
    const auto column = std::ranges::find(found->columns, key, &LayerColumn::name);
    if (column == found->columns.end()) {
        internal_error("a relation by a column that its layer lacks: " + key);
    }
    return {static_cast<std::size_t>(found - m_spec.layers.begin()),
            static_cast<std::size_t>(column - found->columns.begin())};
}

RelationRows::RelationRows(const GeoPackageSpec& spec) : m_spec(spec) {
    for (const LayerRelation& relation : spec.relations) {
        const Use base = use_of(relation.base, relation.key);
        const auto same = [&](const Base& one) { return one.use.layer == base.layer && one.use.column == base.column; };
        const auto found = std::ranges::find_if(m_bases, same);
        const auto position = static_cast<std::size_t>(found - m_bases.begin());
        if (found == m_bases.end()) {
            m_bases.push_back({base, TextNumbers(spec.build_in), SpillArray<std::uint32_t>(spec.build_in)});
        }
        m_related.push_back(
            {use_of(relation.related, relation.key), position, SpillArray<std::uint32_t>(spec.build_in)});
    }
}

void RelationRows::rest() const {
    for (const Base& base : m_bases) {
        base.keys.rest();
        base.first_row.rest();
    }
    for (const Related& related : m_related) {
        related.row_key.rest();
    }
}

void RelationRows::see(std::size_t layer, std::int64_t number, std::span<const ValueView> values) {
    if (number > std::numeric_limits<std::uint32_t>::max()) {
        internal_error("more rows than a relation counts");
    }
    for (Base& base : m_bases) {
        const auto* const key =
            base.use.layer == layer ? std::get_if<std::string_view>(&values[base.use.column]) : nullptr;
        if (key == nullptr) {
            continue;
        }
        const std::uint32_t of = base.keys.number_of(*key);
        base.first_row.resize(std::max<std::size_t>(base.first_row.size(), of + 1));
        if (base.first_row[of] == 0) {
            base.first_row[of] = static_cast<std::uint32_t>(number);
        }
    }
    for (Related& related : m_related) {
        if (related.use.layer == layer) {
            const auto* const key = std::get_if<std::string_view>(&values[related.use.column]);
            related.row_key.push_back(key != nullptr ? m_bases[related.base].keys.number_of(*key) : 0);
        }
    }
}

std::int64_t RelationRows::write(Database& database, std::size_t relation, const std::string& table) const {
    const Related& related = m_related.at(relation);
    const SpillArray<std::uint32_t>& first_row = m_bases[related.base].first_row;
    Statement pair(database, "INSERT INTO " + quoted_identifier(table) + " VALUES (?, ?)");
    std::int64_t pairs = 0;
    for (std::size_t i = 0; i < related.row_key.size(); ++i) {
        const std::uint32_t key = related.row_key[i];
        if (key != 0 && key < first_row.size() && first_row[key] != 0) {
            pair.bind(1, std::int64_t{first_row[key]});
            pair.bind(2, static_cast<std::int64_t>(i + 1));
            pair.run();
            ++pairs;
        }
    }
    return pairs;
}

}  // namespace eaveshed
