// A row as a list of plain values, in column order: what a writer of any format takes.
#pragma once

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/field.hpp"

namespace eaveshed {

// std::monostate is null.
using Value = std::variant<std::monostate, std::string, double, std::int64_t>;

// A member as its column holds it: words of closed lists as text, true as 1.
template <typename Member>
[[nodiscard]] Value to_value(const Member& member) {
    if constexpr (std::is_same_v<Member, bool>) {
        return std::int64_t{member ? 1 : 0};
    } else if constexpr (std::is_same_v<Member, Flags> || HasTerms<Member>) {
        return std::string(to_text(member));
    } else {
        return member;
    }
}
template <typename T>
[[nodiscard]] Value to_value(const std::optional<T>& member) {
    return member ? to_value(*member) : Value();
}

// `values` is replaced; keeping it between rows spares allocations.
template <typename Row>
void values_of(const Row& row, std::vector<Value>& values) {
    values.clear();
    visit_fields(row, [&](const Field&, const auto& member) { values.push_back(to_value(member)); });
}

// Appends the values of the columns' US twins, null where the SI value is null.
void append_us_values(const std::vector<Column>& columns, std::vector<Value>& values);

}  // namespace eaveshed
