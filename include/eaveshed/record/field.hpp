// Columns as data. A row type holds its members and, below them, the list of its columns (`list_columns`): one entry a
// member, in the order of both. Spool, writer, schema, reader, `explain` and docs/output.md are all made from that
// list. record/output_rows.hpp refuses a list that leaves a member out when it is compiled.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <type_traits>
#include <utility>

#include "eaveshed/core/outcomes.hpp"

namespace eaveshed {

// Which step of a run gives a column its values.
enum class FilledBy : std::uint8_t { plan, tile, gather, ranking, overrides, run };
template <>
inline constexpr TermList<6> kTermList<FilledBy>{
    "filled_by",
    "which step of a run gives a column its values",
    {{
        {"plan", "taken from the inputs before anything is computed"},
        {"tile", "computed for the roof or parcel by itself, whatever else is in the basin"},
        {"gather", "put together when all roofs are computed"},
        {"ranking", "found by comparing the parcels of the basin"},
        {"overrides", "taken from the table of measured values"},
        {"run", "known at the end of the run"},
    }}};

// A column: its name (the member's name too), its unit in UCUM-like text ("" for none), a title and a sentence for
// people.
struct Field {
    std::string_view name;
    std::string_view unit;
    std::string_view title;
    std::string_view meaning;
    std::optional<FilledBy> filled_by{};  // none: as its table says
    std::string_view words{};  // of a text: the closed list that its words belong to; an enumeration has its own

    // The same column where it means something else.
    [[nodiscard]] constexpr Field as(std::string_view other_meaning) const {
        Field field = *this;
        field.meaning = other_meaning;
        return field;
    }
    // The same quantity under another name.
    [[nodiscard]] constexpr Field named(std::string_view other_name, std::string_view other_title,
                                        std::string_view other_meaning) const {
        Field field = as(other_meaning);
        field.name = other_name;
        field.title = other_title;
        return field;
    }
};

// A column and the member that holds its values.
template <typename Row, typename Type>
struct MemberColumn {
    using Member = Type;
    Member Row::*member;
    Field field;
};

template <typename Row, typename Member>
constexpr MemberColumn<Row, Member> column(Member Row::*member, const Field& field) {
    return {member, field};
}

struct ColumnsTogether {
    constexpr auto operator()(const auto&... columns) const { return std::tuple(columns...); }
};

// A row's columns in order, as one constant: a list made anew for each row that is written or read would cost more than
// the row.
template <typename Row>
inline constexpr auto kColumnsOf = Row::list_columns(ColumnsTogether{});

// Calls visit(MemberColumn) for every column in order.
template <typename Row, typename Visitor>
constexpr void visit_columns(Visitor&& visit) {
    [&visit]<std::size_t... I>(std::index_sequence<I...>) {
        (visit(std::get<I>(kColumnsOf<Row>)), ...);
    }
    (std::make_index_sequence<std::tuple_size_v<std::remove_cvref_t<decltype(kColumnsOf<Row>)>>>());
}

// Calls visit(Field, member) for every column in order. Row may be const.
template <typename Row, typename Visitor>
constexpr void visit_fields(Row& row, Visitor&& visit) {
    visit_columns<std::remove_const_t<Row>>([&](const auto& column) { visit(column.field, row.*column.member); });
}

template <typename Row>
constexpr FilledBy filled_by(const Field& field) {
    return field.filled_by.value_or(Row::kTable.filled_by);
}

// The name of the column that holds a member: &RoofRow::storage_m3 gives "storage_m3".
template <typename Row, typename Member>
constexpr std::string_view column_name(Member Row::*member) {
    std::string_view name;
    const auto look = [&]<typename Other>(const MemberColumn<Row, Other>& column) {
        if constexpr (std::is_same_v<Other, Member>) {
            name = column.member == member ? column.field.name : name;
        }
    };
    visit_columns<Row>(look);
    return name;
}

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

// The type of a member's values, null left aside.
template <typename Member>
struct WithoutNull {
    using Type = Member;
};
template <typename T>
struct WithoutNull<std::optional<T>> {
    using Type = T;
};
template <typename Member>
using ValueOf = typename WithoutNull<Member>::Type;

// Whether all of a member's values take the same room, as the spool needs of what a tile fills: a text does not.
template <typename Member>
inline constexpr bool kFixedWidth =
    std::is_arithmetic_v<ValueOf<Member>> || std::is_enum_v<ValueOf<Member>> || std::is_same_v<Member, Flags>;

// The closed list of a member's words; one without terms for a member that has none.
template <typename Member>
constexpr ClosedList closed_list_of() {
    if constexpr (HasTerms<ValueOf<Member>>) {
        return closed_list<ValueOf<Member>>();
    } else if constexpr (std::is_same_v<Member, Flags>) {
        return closed_list<Flag>();
    } else {
        return {};
    }
}

}  // namespace eaveshed
