#include "eaveshed/record/output_rows.hpp"

namespace eaveshed {

namespace {

template <typename... Rows>
std::vector<OutputTable> tables_of(RowTypes<Rows...>) {
    return {OutputTable{Rows::kTable, columns_of<typename CheckedRow<Rows>::Type>()}...};
}

}  // namespace

const std::vector<OutputTable>& output_tables() {
    static const std::vector<OutputTable> kTables = tables_of(OutputRows{});
    return kTables;
}

}  // namespace eaveshed
