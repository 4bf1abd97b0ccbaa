// The columns of every output table, in order: what a writer or a document needs to know of a row type.
#pragma once

#include <vector>

#include "eaveshed/record/field.hpp"

namespace eaveshed {

struct Column {
    Field field;
    ColumnType type = ColumnType::text;
};

[[nodiscard]] std::vector<Column> roof_columns();
[[nodiscard]] std::vector<Column> curve_columns();
[[nodiscard]] std::vector<Column> pad_columns();
[[nodiscard]] std::vector<Column> parcel_columns();
[[nodiscard]] std::vector<Column> use_point_columns();
[[nodiscard]] std::vector<Column> scenario_columns();
[[nodiscard]] std::vector<Column> override_columns();
[[nodiscard]] std::vector<Column> run_record_columns();

}  // namespace eaveshed
