#include "eaveshed/record/values.hpp"

namespace eaveshed {

ValueView view_of(const Value& value) {
    return std::visit([](const auto& held) { return ValueView(held); }, value);
}

Value value_of(const ValueView& view) {
    if (const auto* const text = std::get_if<std::string_view>(&view)) {
        return std::string(*text);
    }
    if (const auto* const real = std::get_if<double>(&view)) {
        return *real;
    }
    const auto* const whole = std::get_if<std::int64_t>(&view);
    return whole != nullptr ? Value(*whole) : Value();
}

}  // namespace eaveshed
