// The rows of one layer out of a batch into their table, by one statement for all of them: it reads the batch as if
// that were a table of the database. A statement a row takes twice the time, most of it to begin and to end.
#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/outside/sqlite.hpp"
#include "eaveshed/record/row_batch.hpp"

namespace eaveshed {

struct RowsShown;  // to SQLite

class BatchInsert {
public:
    // `columns`: of `table`, one for each value of a row; `geometry_column`: before them, empty for none. `number`: one
    // that no other of this database has. The database outlives this.
    BatchInsert(Database& database, std::size_t number, const std::string& table, const std::string& geometry_column,
                const std::vector<std::string>& columns);
    ~BatchInsert();
    BatchInsert(BatchInsert&& other) noexcept;
    BatchInsert& operator=(BatchInsert&& other) noexcept;

    // The rows that stand at these positions of the batch.
    void run(const RowBatch& batch, std::span<const std::size_t> positions);

private:
    std::unique_ptr<RowsShown> m_shown;
    Statement m_insert;
};

}  // namespace eaveshed
