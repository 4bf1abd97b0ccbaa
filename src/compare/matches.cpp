#include "eaveshed/compare/matches.hpp"

#include <algorithm>
#include <functional>
#include <optional>
#include <utility>

#include "eaveshed/compare/compared_table.hpp"
#include "eaveshed/geometry/footprint_geometry.hpp"
#include "eaveshed/geometry/wkb.hpp"
#include "eaveshed/shape/box_index.hpp"

namespace eaveshed {

namespace {

constexpr const char* kShapeColumn = "geom";
constexpr std::size_t kNamedIds = 10;

// The rows of one identifier after another.
class IdGroups {
public:
    IdGroups(const ResultReader& file, const std::string& table, const std::string& id_column)
        : m_rows(file.rows(table, {id_column}, RowOrder::first_column)), m_more(m_rows.next()) {
        advance();
    }
    [[nodiscard]] bool done() const { return m_numbers.empty(); }
    [[nodiscard]] const std::string& id() const { return m_id; }
    [[nodiscard]] const std::vector<std::int64_t>& numbers() const { return m_numbers; }
    void advance() {
        m_numbers.clear();
        if (!m_more) {
            return;
        }
        m_id = text_in(m_rows.values()[0]);
        while (m_more && text_in(m_rows.values()[0]) == m_id) {
            m_numbers.push_back(m_rows.number());
            m_more = m_rows.next();
        }
    }

private:
    RowCursor m_rows;
    bool m_more;
    std::string m_id;
    std::vector<std::int64_t> m_numbers;
};

void append(std::vector<std::int64_t>& to, const std::vector<std::int64_t>& numbers) {
    to.insert(to.end(), numbers.begin(), numbers.end());
}

void note_repeated(const std::string& id, Matches& matches) {
    ++matches.repeated;
    if (matches.repeated_ids.size() < kNamedIds) {
        matches.repeated_ids.push_back(id);
    }
}

void sort_all(Matches& matches) {
    std::ranges::sort(matches.pairs, {}, &RowPair::before);
    for (auto* const numbers :
         {&matches.only_before, &matches.only_after, &matches.repeated_before, &matches.repeated_after}) {
        std::ranges::sort(*numbers);
    }
}

// Outlines of single rows, as they are asked for.
class Outlines {
public:
    Outlines(const ResultReader& file, const std::string& table) : m_finder(file.finder(table, {kShapeColumn})) {}
    // Empty for a row without one.
    [[nodiscard]] MultiPolygon of(std::int64_t number) {
        m_finder.find(number);
        const auto wkb = geopackage_wkb(m_finder.bytes(0));
        auto found = wkb ? wkb_polygons(*wkb) : std::nullopt;
        return found ? std::move(found->outline) : MultiPolygon();
    }

private:
    RowFinder m_finder;
};

struct HashedRow {
    std::size_t hash = 0;
    std::int64_t number = 0;
    friend auto operator<=>(const HashedRow&, const HashedRow&) = default;
};

std::vector<HashedRow> hashed(Outlines& outlines, GeometryKit& kit, const std::vector<std::int64_t>& numbers) {
    std::vector<HashedRow> rows;
    rows.reserve(numbers.size());
    for (const std::int64_t number : numbers) {
        const MultiPolygon outline = outlines.of(number);
        if (!outline.empty()) {
            rows.push_back({std::hash<std::string>()(kit.normal_form(outline)), number});
        }
    }
    std::ranges::sort(rows);
    return rows;
}

// The end of the rows with the hash of the one at `begin`.
std::size_t end_of_group(const std::vector<HashedRow>& rows, std::size_t begin) {
    std::size_t end = begin;
    while (end < rows.size() && rows[end].hash == rows[begin].hash) {
        ++end;
    }
    return end;
}

// Takes the rows of new pairs out of those that only one file has.
void remove_paired(const std::vector<RowPair>& pairs, Matches& matches) {
    std::vector<std::int64_t> before;
    std::vector<std::int64_t> after;
    for (const RowPair& pair : pairs) {
        before.push_back(pair.before);
        after.push_back(pair.after);
    }
    std::ranges::sort(before);
    std::ranges::sort(after);
    std::erase_if(matches.only_before, [&](std::int64_t number) { return std::ranges::binary_search(before, number); });
    std::erase_if(matches.only_after, [&](std::int64_t number) { return std::ranges::binary_search(after, number); });
    matches.pairs.insert(matches.pairs.end(), pairs.begin(), pairs.end());
}

// Pairs of outlines that are equal, each the only one of its kind in its file.
std::vector<RowPair> equal_outlines(const std::vector<HashedRow>& a, const std::vector<HashedRow>& b, Outlines& before,
                                    Outlines& after, GeometryKit& kit) {
    std::vector<RowPair> pairs;
    std::size_t i = 0;
    std::size_t j = 0;
    while (i < a.size() && j < b.size()) {
        const std::size_t i_end = end_of_group(a, i);
        const std::size_t j_end = end_of_group(b, j);
        if (a[i].hash < b[j].hash) {
            i = i_end;
        } else if (b[j].hash < a[i].hash) {
            j = j_end;
        } else {
            if (i_end - i == 1 && j_end - j == 1 &&
                kit.normal_form(before.of(a[i].number)) == kit.normal_form(after.of(b[j].number))) {
                pairs.push_back({a[i].number, b[j].number, MatchedBy::outline});
            }
            i = i_end;
            j = j_end;
        }
    }
    return pairs;
}

// An outline that was not found in the other file. Of several that are equal one stands for all: it says that a place
// is taken, and is itself never found.
struct PlacedRow {
    std::int64_t number = 0;
    bool several = false;
};

// `left`: the rows that are not paired, ascending.
std::vector<PlacedRow> placed(const std::vector<HashedRow>& rows, const std::vector<std::int64_t>& left) {
    std::vector<PlacedRow> found;
    for (std::size_t i = 0; i < rows.size();) {
        const std::size_t end = end_of_group(rows, i);
        if (std::ranges::binary_search(left, rows[i].number)) {
            found.push_back({rows[i].number, end - i > 1});
        }
        i = end;
    }
    return found;
}

// Pairs of outlines that share more than half of the smaller area with each other and with no other.
std::vector<RowPair> overlapping(const std::vector<PlacedRow>& a, const std::vector<PlacedRow>& b, Outlines& before,
                                 Outlines& after, GeometryKit& kit) {
    std::vector<Box> boxes;
    boxes.reserve(b.size());
    for (const PlacedRow& row : b) {
        boxes.push_back(bounds(after.of(row.number)));
    }
    const BoxIndex index(boxes);
    std::vector<std::uint32_t> hits_of_after(boxes.size());
    std::vector<std::pair<std::int64_t, std::uint32_t>> single;  // to the only one that lies where it lay
    for (const PlacedRow& row : a) {
        const MultiPolygon outline = before.of(row.number);
        std::size_t hits = 0;
        std::uint32_t there = 0;
        for (const std::uint32_t at : index.query(bounds(outline))) {
            if (kit.same_place(outline, after.of(b[at].number))) {
                ++hits;
                there = at;
                ++hits_of_after[at];
            }
        }
        if (hits == 1 && !row.several && !b[there].several) {
            single.emplace_back(row.number, there);
        }
    }
    std::vector<RowPair> pairs;
    for (const auto& [number, at] : single) {
        if (hits_of_after[at] == 1) {
            pairs.push_back({number, b[at].number, MatchedBy::carried});
        }
    }
    return pairs;
}

}  // namespace

Matches match_by_id(const ResultReader& before, const ResultReader& after, const std::string& table,
                    const std::string& id_column) {
    IdGroups a(before, table, id_column);
    IdGroups b(after, table, id_column);
    Matches matches;
    while (!a.done() || !b.done()) {
        const bool from_a = !a.done() && (b.done() || a.id() <= b.id());
        const bool from_b = !b.done() && (a.done() || b.id() <= a.id());
        const std::size_t in_a = from_a ? a.numbers().size() : 0;
        const std::size_t in_b = from_b ? b.numbers().size() : 0;
        if (in_a > 1 || in_b > 1) {
            note_repeated(from_a ? a.id() : b.id(), matches);
            append(matches.repeated_before, from_a ? a.numbers() : std::vector<std::int64_t>());
            append(matches.repeated_after, from_b ? b.numbers() : std::vector<std::int64_t>());
        } else if (from_a && from_b) {
            matches.pairs.push_back({a.numbers()[0], b.numbers()[0], MatchedBy::id});
        } else {
            append(from_a ? matches.only_before : matches.only_after, from_a ? a.numbers() : b.numbers());
        }
        if (from_a) {
            a.advance();
        }
        if (from_b) {
            b.advance();
        }
    }
    sort_all(matches);
    return matches;
}

void match_by_outline(const ResultReader& before, const ResultReader& after, const std::string& table,
                      Matches& matches) {
    if (matches.only_before.empty() || matches.only_after.empty()) {
        return;
    }
    GeometryKit kit;
    Outlines in_before(before, table);
    Outlines in_after(after, table);
    const std::vector<HashedRow> a = hashed(in_before, kit, matches.only_before);
    const std::vector<HashedRow> b = hashed(in_after, kit, matches.only_after);
    remove_paired(equal_outlines(a, b, in_before, in_after, kit), matches);
    remove_paired(overlapping(placed(a, matches.only_before), placed(b, matches.only_after), in_before, in_after, kit),
                  matches);
    sort_all(matches);
}

}  // namespace eaveshed
