#include "eaveshed/record/read_values.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string_view>

#include "eaveshed/core/outcomes.hpp"

namespace eaveshed {

namespace {

const std::array<Term, 3>& terms_of(ParcelStatus) {
    return parcel_status_terms();
}
const std::array<Term, 4>& terms_of(ContactStatus) {
    return contact_status_terms();
}
const std::array<Term, 3>& terms_of(LimitedBy) {
    return limited_by_terms();
}
const std::array<Term, 6>& terms_of(Delivery) {
    return delivery_terms();
}
const std::array<Term, 3>& terms_of(GravityCheck) {
    return gravity_check_terms();
}
const std::array<Term, 12>& terms_of(PadReason) {
    return pad_reason_terms();
}

template <typename Enum>
std::optional<Enum> enum_from(std::string_view word) {
    const auto& terms = terms_of(Enum{});
    const auto found = std::ranges::find(terms, word, &Term::name);
    return found == terms.end() ? std::nullopt : std::optional(static_cast<Enum>(found - terms.begin()));
}

Flags flags_from(std::string_view words) {
    Flags flags;
    while (!words.empty()) {
        const std::size_t comma = std::min(words.find(','), words.size());
        const auto found = std::ranges::find(flag_terms(), words.substr(0, comma), &Term::name);
        if (found != flag_terms().end()) {
            flags.add(static_cast<Flag>(found - flag_terms().begin()));
        }
        words.remove_prefix(std::min(comma + 1, words.size()));
    }
    return flags;
}

std::optional<double> number_from(const Value& value) {
    if (const auto* const real = std::get_if<double>(&value)) {
        return std::isfinite(*real) ? std::optional(*real) : std::nullopt;
    }
    const auto* const whole = std::get_if<std::int64_t>(&value);
    return whole != nullptr ? std::optional(static_cast<double>(*whole)) : std::nullopt;
}

struct Reader {
    const std::map<std::string, Value>& values;

    [[nodiscard]] const Value* find(const Field& field) const {
        const auto found = values.find(std::string(field.name));
        return found == values.end() ? nullptr : &found->second;
    }
    [[nodiscard]] const std::string* find_text(const Field& field) const {
        const Value* const value = find(field);
        return value != nullptr ? std::get_if<std::string>(value) : nullptr;
    }
    void operator()(const Field& field, std::string& member) const {
        if (const auto* const text = find_text(field)) {
            member = *text;
        }
    }
    void operator()(const Field& field, Flags& member) const {
        if (const auto* const text = find_text(field)) {
            member = flags_from(*text);
        }
    }
    template <typename Enum>
    requires std::is_enum_v<Enum>
    void operator()(const Field& field, Enum& member) const {
        if (const auto* const text = find_text(field)) {
            member = enum_from<Enum>(*text).value_or(member);
        }
    }
    void operator()(const Field& field, std::optional<std::string>& member) const {
        if (const auto* const text = find_text(field)) {
            member = *text;
        }
    }
    void operator()(const Field& field, std::optional<double>& member) const {
        if (const Value* const value = find(field)) {
            member = number_from(*value);
        }
    }
    void operator()(const Field& field, std::optional<std::int64_t>& member) const {
        const Value* const value = find(field);
        if (const auto* const whole = value != nullptr ? std::get_if<std::int64_t>(value) : nullptr) {
            member = *whole;
        }
    }
    template <typename Enum>
    requires std::is_enum_v<Enum>
    void operator()(const Field& field, std::optional<Enum>& member) const {
        if (const auto* const text = find_text(field)) {
            member = enum_from<Enum>(*text);
        }
    }
};

}  // namespace

ParcelRow parcel_from(const std::map<std::string, Value>& values) {
    ParcelRow row;
    visit_fields(row, Reader{values});
    return row;
}

ScenarioRow scenario_from(const std::map<std::string, Value>& values) {
    ScenarioRow row;
    visit_fields(row, Reader{values});
    return row;
}

}  // namespace eaveshed
