// A row as a list of plain values, in column order: what a writer of any format takes.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "eaveshed/record/field.hpp"

namespace eaveshed {

// std::monostate is null.
using Value = std::variant<std::monostate, std::string, double, std::int64_t>;

// The same for one who only looks at it: a text stands elsewhere.
using ValueView = std::variant<std::monostate, std::string_view, double, std::int64_t>;

[[nodiscard]] ValueView view_of(const Value& value);
[[nodiscard]] Value value_of(const ValueView& view);

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

}  // namespace eaveshed
