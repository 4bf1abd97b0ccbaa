// How a row's members become columns: each row type lists its members once, in column order, in a function
// `visit_fields(row, visitor)`; the writer, the spool and the documents are all made from that list.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>

#include "eaveshed/core/outcomes.hpp"

namespace eaveshed {

// A column: its name (the member's name too), its unit in UCUM-like text ("" for none), a title and a sentence for
// people.
struct Field {
    std::string_view name;
    std::string_view unit;
    std::string_view title;
    std::string_view meaning;
};

enum class ColumnType : std::uint8_t { text, real, integer, boolean };

template <typename Member>
constexpr ColumnType column_type() {
    if constexpr (std::is_same_v<Member, std::optional<double>>) {
        return ColumnType::real;
    } else if constexpr (std::is_same_v<Member, std::optional<std::int64_t>>) {
        return ColumnType::integer;
    } else if constexpr (std::is_same_v<Member, bool>) {
        return ColumnType::boolean;
    } else {
        return ColumnType::text;
    }
}

}  // namespace eaveshed
