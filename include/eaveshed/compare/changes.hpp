// The rows in which two finished files differ, the largest change first.
#pragma once

#include <array>
#include <cstdint>
#include <set>
#include <string>
#include <vector>

#include "eaveshed/compare/compared_table.hpp"
#include "eaveshed/compare/matches.hpp"
#include "eaveshed/result/result_reader.hpp"

namespace eaveshed {

enum class RowFate : std::uint8_t { changed, only_before, only_after };
template <>
inline constexpr TermList<3> kTermList<RowFate>{"row_fate",
                                                "what became of a row",
                                                {{
                                                    {"changed", "in both files, not the same"},
                                                    {"only_before", "in the file before alone"},
                                                    {"only_after", "in the file after alone"},
                                                }}};

// By which of two changes the larger is told; all are sizes, without a sign.
struct ChangeSize {
    double asked_m3 = 0.0;   // of what is replaced each season, of a parcel only while it is ranked
    double volume_m3 = 0.0;  // of what is replaced each season
    double gain_lps = 0.0;
    double storage_m3 = 0.0;
    double rank = 0.0;
};

struct RowChange {
    RowFate fate = RowFate::changed;
    MatchedBy by = MatchedBy::id;
    bool measured = false;  // its own measured values differ
    ChangeSteps steps{};    // empty where only one file has the row
    RowPair rows;           // 0 in the file that does not have it
    ChangeSize size{};

    // Nothing but its place among the others changed: it moved because others did.
    [[nodiscard]] bool only_moved() const { return fate == RowFate::changed && steps.only(ChangeStep::ranking); }
};

// How many rows changed, and by what.
struct ChangeCounts {
    PerTerm<RowFate, std::uint64_t> fates{};
    PerTerm<MatchedBy, std::uint64_t> matched{};   // of all rows that both files have
    std::uint64_t measured = 0;                    // changed rows whose own measured values differ
    PerTerm<ChangeStep, std::uint64_t> first{};    // of the others, by the first step that changed
    PerTerm<ChangeStep, std::uint64_t> touched{};  // of all changed rows, by each step that changed
    std::uint64_t in_both = 0;
};

struct Changes {
    Matches matches;
    ChangeCounts counts;
    std::vector<RowChange> rows;  // the largest first; about 80 bytes a row
};

// `measured_ids`: rows whose measured values differ between the files.
// The order: by the change of the volume replaced each season that can be asked for (a row that only one file has
// counts whole, so does one that joins or leaves the ranking), then of all that is replaced, of stream gain and
// storage; those that only moved come after the others; then by the change of rank, and as the rows stand.
[[nodiscard]] Changes changed_rows(const ResultReader& before, const ResultReader& after, const ComparedTable& table,
                                   Matches matches, const std::set<std::string>& measured_ids);

// What a change is, read from the files again.
class ChangeReader {
public:
    ChangeReader(const ResultReader& before, const ResultReader& after, const ComparedTable& table);

    void read(const RowChange& change);
    // In the order of the table's columns; all null where the file has no such row. Until the next read().
    [[nodiscard]] const std::vector<Value>& before() const { return m_before; }
    [[nodiscard]] const std::vector<Value>& after() const { return m_after; }
    [[nodiscard]] Value before(Measure measure) const { return at(m_before, measure); }
    [[nodiscard]] Value after(Measure measure) const { return at(m_after, measure); }
    // Of the file after where it has the row.
    [[nodiscard]] std::string id() const;
    // In the file before, where it is another; else empty.
    [[nodiscard]] std::string id_before() const;
    // Positions of the columns that differ; the id is none of them.
    [[nodiscard]] std::vector<std::size_t> columns() const;

private:
    [[nodiscard]] Value at(const std::vector<Value>& values, Measure measure) const;

    const ComparedTable* m_table;
    RowFinder m_find_before;
    RowFinder m_find_after;
    std::vector<Value> m_before;
    std::vector<Value> m_after;
    RowFate m_fate = RowFate::changed;
};

}  // namespace eaveshed
