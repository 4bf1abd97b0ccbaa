// A finished file's run opened again, and stored rows held against recomputed ones. Private to the module.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "eaveshed/explain/explain.hpp"
#include "eaveshed/feed/tile_loader.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/record/columns.hpp"
#include "eaveshed/result/result_reader.hpp"

namespace eaveshed {

// Everything up to the tiles. The recorded run stands in the explanation.
struct Reopened {
    OpenInputs inputs;
    ScratchFolder scratch;
    std::optional<Plan> plan;
    BasinClimate climate;
};
// Input errors for inputs that cannot be used; warnings for those that changed.
void reopen(const ResultReader& result, const ExplainRequest& request, RecordedRun& run, Reopened& reopened,
            Findings& findings, Progress& progress);

// One row of a layer, by an id that it alone has.
struct RowAsked {
    std::string_view table;
    std::string_view column;
    const char* noun;  // "roof"
    std::string id;
    const char* remedy;  // for an id that several rows have
};
// Input errors, with the nearest ids, where there is not exactly one.
[[nodiscard]] ResultRow stored_row(const ResultReader& result, const std::string& file, const RowAsked& asked);

// The row's number in its layer as a position from 0; none for a row without a sound one.
[[nodiscard]] std::optional<std::uint32_t> position_in(const ResultRow& stored, std::size_t count);

class Comparison {
public:
    explicit Comparison(Explained& explained) : m_explained(explained) {}

    // Column by column; `table` names the row where they differ.
    template <typename Row>
    void compare(const std::optional<Row>& recomputed, const ResultRow* stored,
                 const std::string& table = std::string(Row::kTable.name)) {
        if (recomputed.has_value() != (stored != nullptr)) {
            add(table, "(row)", "", stored != nullptr ? Value(std::string("a row")) : Value(),
                recomputed ? Value(std::string("a row")) : Value());
            return;
        }
        if (!recomputed) {
            return;
        }
        std::vector<Value> values;
        values_of(*recomputed, values);
        const std::vector<Column> columns = columns_of<Row>();
        for (std::size_t i = 0; i < columns.size(); ++i) {
            const auto found = stored->find(std::string(columns[i].field.name));
            add(table, std::string(columns[i].field.name), std::string(columns[i].field.unit),
                found == stored->end() ? Value() : found->second, values[i]);
        }
    }
    // Row by row, in their order; the table and the number name a row.
    template <typename Row>
    void compare_all(const std::vector<Row>& recomputed, const std::vector<ResultRow>& stored) {
        for (std::size_t i = 0; i < std::max(stored.size(), recomputed.size()); ++i) {
            compare(i < recomputed.size() ? std::optional(recomputed[i]) : std::nullopt,
                    i < stored.size() ? &stored[i] : nullptr,
                    std::string(Row::kTable.name) + ' ' + std::to_string(i + 1));
        }
    }

private:
    void add(const std::string& table, const std::string& column, const std::string& unit, Value stored,
             Value recomputed) {
        ++m_explained.values_compared;
        if (!agree(stored, recomputed)) {
            m_explained.differences.push_back({table, column, unit, std::move(stored), std::move(recomputed)});
        }
    }

    Explained& m_explained;
};

// The stored rows of a table whose column holds `text`, at most `most`.
template <typename Row, typename Member>
std::vector<ResultRow> stored_rows(const ResultReader& result, Member Row::*member, const std::string& text,
                                   std::size_t most) {
    return result.rows_where(std::string(Row::kTable.name), std::string(column_name(member)), text, most);
}

// Rows of the layer pads that belong to `level`.
void keep_level(std::vector<ResultRow>& pads, PadLevel level);

// As many rows of one roof or parcel as are ever read.
inline constexpr std::size_t kMostRows = 1000;

}  // namespace eaveshed
