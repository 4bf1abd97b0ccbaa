// Stored rows held against recomputed ones. Private to the module.
#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "eaveshed/explain/explain.hpp"
#include "eaveshed/record/columns.hpp"
#include "eaveshed/result/result_reader.hpp"

namespace eaveshed {

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

}  // namespace eaveshed
