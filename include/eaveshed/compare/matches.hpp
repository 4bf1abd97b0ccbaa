// Which row of one file is which of another: by identifier, and roofs that were numbered anew by their outline.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "eaveshed/core/closed_list.hpp"
#include "eaveshed/result/result_reader.hpp"

namespace eaveshed {

enum class MatchedBy : std::uint8_t { id, outline, carried };
template <>
inline constexpr TermList<3> kTermList<MatchedBy>{
    "matched_by",
    "how a row was found in the other file",
    {{
        {"id", "the same identifier"},
        {"outline", "another identifier, the same outline"},
        {"carried", "another identifier; the one outline that shares more than half of the smaller area"},
    }}};

struct RowPair {
    std::int64_t before = 0;  // numbers of the rows
    std::int64_t after = 0;
    MatchedBy by = MatchedBy::id;
};

// 24 bytes for each row; no identifier is kept but the first of those that repeat.
struct Matches {
    std::vector<RowPair> pairs;             // in the order of `before`
    std::vector<std::int64_t> only_before;  // ascending, as the others
    std::vector<std::int64_t> only_after;
    // Rows whose identifier stands more than once in one of the files: which is which cannot be told.
    std::vector<std::int64_t> repeated_before;
    std::vector<std::int64_t> repeated_after;
    std::vector<std::string> repeated_ids;  // the first few
    std::size_t repeated = 0;               // how many such identifiers
};

// Both files are read in the order of the identifiers, side by side.
[[nodiscard]] Matches match_by_id(const ResultReader& before, const ResultReader& after, const std::string& table,
                                  const std::string& id_column);

// Finds those that only one file has by their outlines: first those whose normalised outlines are equal (start,
// direction and order of rings do not count), then those that alone share more than half of the smaller area with each
// other (method.md 9.5). An outline that stands more than once in a file says nothing and is left. Both files are in
// one coordinate reference system. About 100 bytes for each of those rows.
void match_by_outline(const ResultReader& before, const ResultReader& after, const std::string& table,
                      Matches& matches);

}  // namespace eaveshed
