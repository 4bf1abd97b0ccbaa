#include "eaveshed/result/read_values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string_view>
#include <type_traits>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

std::optional<double> number_from(const Value& value) {
    if (const auto* const real = std::get_if<double>(&value)) {
        return std::isfinite(*real) ? std::optional(*real) : std::nullopt;
    }
    const auto* const whole = std::get_if<std::int64_t>(&value);
    return whole != nullptr ? std::optional(static_cast<double>(*whole)) : std::nullopt;
}

// Fills members; `Find` gives a field's value, or null.
template <typename Find>
struct Reader {
    Find find;

    [[nodiscard]] const std::string* find_text(const Field& field) {
        const Value* const value = find(field);
        return value != nullptr ? std::get_if<std::string>(value) : nullptr;
    }
    void operator()(const Field& field, std::string& member) {
        if (const auto* const text = find_text(field)) {
            member = *text;
        }
    }
    void operator()(const Field& field, Flags& member) {
        if (const auto* const text = find_text(field)) {
            member = flags_from_text(*text);
        }
    }
    template <HasTerms Enum>
    void operator()(const Field& field, Enum& member) {
        if (const auto* const text = find_text(field)) {
            member = from_text<Enum>(*text).value_or(member);
        }
    }
    void operator()(const Field& field, std::optional<std::string>& member) {
        if (const auto* const text = find_text(field)) {
            member = *text;
        }
    }
    // SQLite knows no truth values but whole numbers.
    void operator()(const Field& field, bool& member) {
        const Value* const value = find(field);
        if (const auto* const whole = value != nullptr ? std::get_if<std::int64_t>(value) : nullptr) {
            member = *whole != 0;
        }
    }
    void operator()(const Field& field, std::optional<double>& member) {
        if (const Value* const value = find(field)) {
            member = number_from(*value);
        }
    }
    void operator()(const Field& field, std::optional<std::int64_t>& member) {
        const Value* const value = find(field);
        if (const auto* const whole = value != nullptr ? std::get_if<std::int64_t>(value) : nullptr) {
            member = *whole;
        }
    }
    template <HasTerms Enum>
    void operator()(const Field& field, std::optional<Enum>& member) {
        if (const auto* const text = find_text(field)) {
            member = from_text<Enum>(*text);
        }
    }
};

}  // namespace

ParcelRow parcel_from(const std::map<std::string, Value>& values) {
    const auto find = [&values](const Field& field) -> const Value* {
        const auto found = values.find(std::string(field.name));
        return found == values.end() ? nullptr : &found->second;
    };
    ParcelRow row;
    visit_fields(row, Reader<decltype(find)>{find});
    return row;
}

namespace {

// The first column names the row.
[[noreturn]] void refuse_no_number(const std::string& file, std::string_view table, std::string_view column,
                                   const Value& value, const Value* row) {
    constexpr std::size_t kShown = 60;
    const auto* const text = std::get_if<std::string>(&value);
    const auto* const id = row != nullptr ? std::get_if<std::string>(row) : nullptr;
    throw input_error(fmt::format("{}, table {}, column {}, row \"{}\"", file, table, column,
                                  id != nullptr ? printable(*id, kShown) : ""),
                      text != nullptr ? "the text \"" + printable(*text, kShown) + "\""
                                      : std::string("a value that is no finite number"),
                      "a number or null", "the file was changed after the screening: screen the basin again");
}

}  // namespace

template <typename Row>
RowReader<Row>::RowReader(std::string file, const std::vector<std::string>& names) : m_file(std::move(file)) {
    const Row row;
    visit_fields(row, [&](const Field& field, const auto& member) {
        const auto place = static_cast<std::size_t>(std::ranges::find(names, field.name) - names.begin());
        m_places.push_back(place);
        if (std::is_same_v<std::remove_cvref_t<decltype(member)>, std::optional<double>> && place < names.size()) {
            m_numbers.push_back({place, field.name});
        }
    });
}

template <typename Row>
Row RowReader<Row>::operator()(const std::vector<Value>& values) const {
    for (const Number& number : m_numbers) {
        const Value& value = values.at(number.place);
        if (!std::holds_alternative<std::monostate>(value) && !number_from(value)) {
            const std::size_t first = m_places.front();
            refuse_no_number(m_file, Row::kTable.name, number.name, value,
                             first < values.size() ? &values[first] : nullptr);
        }
    }
    // Members come in their order, one call of `find` each.
    const auto find = [&values, place = m_places.begin()](const Field&) mutable -> const Value* {
        const std::size_t column = *place++;
        return column < values.size() ? &values[column] : nullptr;
    };
    Row row;
    visit_fields(row, Reader<std::remove_const_t<decltype(find)>>{find});
    return row;
}

template class RowReader<RoofRow>;
template class RowReader<ParcelRow>;
template class RowReader<ParcelOptionRow>;
template class RowReader<ScenarioRow>;
template class RowReader<ReachRow>;
template class RowReader<SubbasinRow>;

}  // namespace eaveshed
