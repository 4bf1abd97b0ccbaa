// The rows of the table `run_record`: what was run, on what, and what came out, as keys and values.
#pragma once

#include <string>
#include <type_traits>

#include "eaveshed/record/field.hpp"

namespace eaveshed {

struct RunRecordRow {
    std::string key;
    std::string value;
};

template <typename Row, typename Visitor>
requires std::is_same_v<std::remove_const_t<Row>, RunRecordRow>
void visit_fields(Row& row, Visitor&& visit) {
    visit(Field{"key", "", "Key", "What the value is: program, settings, inputs, counts or warnings."}, row.key);
    visit(Field{"value", "", "Value", "The value as text, in SI units."}, row.value);
}

}  // namespace eaveshed
