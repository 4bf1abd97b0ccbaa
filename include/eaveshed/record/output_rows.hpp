// Every table of the output, in the order in which the file holds them: one list of row types. What can be wrong with a
// row's list of columns is refused here when it is compiled.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/curve_row.hpp"
#include "eaveshed/record/override_row.hpp"
#include "eaveshed/record/pad_ground_row.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/parcel_option_row.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/pipe_row.hpp"
#include "eaveshed/record/reach_row.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/record/run_record_row.hpp"
#include "eaveshed/record/scenario_row.hpp"
#include "eaveshed/record/subbasin_row.hpp"
#include "eaveshed/record/table.hpp"
#include "eaveshed/record/use_point_row.hpp"

namespace eaveshed {

namespace column_checks {

template <typename Row, typename... Values>
concept TakesThese = requires {
    Row{std::declval<Values>()...};
};
template <typename Row, typename... Values>
concept TakesOneMore = requires {
    Row{std::declval<Values>()..., {}};
};
// A row with a geometry begins with its place, which is no column.
template <typename Row>
concept HasPlace = requires(Row row) {
    row.place;
};

// A row that begins with facts, whose tables list theirs (tests/facts).
template <typename Row>
concept HoldsFacts = std::is_base_of_v<RoofFacts, Row> && std::is_base_of_v<ParcelFacts, Row>;

// The members' types make a whole row: it takes one value of each, in this order, and then not one more.
template <typename Row>
constexpr bool every_member_is_listed() {
    if constexpr (HoldsFacts<Row>) {
        return Row::list_own_columns([]<typename... Members>(const MemberColumn<Row, Members>&...) {
            return TakesThese<Row, RoofFacts, ParcelFacts, Members...> &&
                   !TakesOneMore<Row, RoofFacts, ParcelFacts, Members...>;
        });
    }
    return Row::list_columns([]<typename... Members>(const MemberColumn<Row, Members>&...) {
        if constexpr (HoldsFacts<Row>) {
            return true;
        } else if constexpr (HasPlace<Row>) {
            return TakesThese<Row, decltype(Row::place), Members...> &&
                   !TakesOneMore<Row, decltype(Row::place), Members...>;
        } else {
            return TakesThese<Row, Members...> && !TakesOneMore<Row, Members...>;
        }
    });
}

template <typename Row>
constexpr bool no_column_stands_twice() {
    return Row::list_columns([](const auto&... columns) {
        std::array<std::string_view, sizeof...(columns)> names{columns.field.name...};
        const bool held_by_their_own = ((column_name(columns.member) == columns.field.name) && ...);
        std::ranges::sort(names);
        return held_by_their_own && std::ranges::adjacent_find(names) == names.end();
    });
}

// A word's meaning is in the file's schema only where its list is among the output's.
template <typename Row>
constexpr bool every_list_is_in_the_file() {
    return Row::list_columns([]<typename... Members>(const MemberColumn<Row, Members>&... columns) {
        return ((columns.field.words.empty() || is_output_list(columns.field.words)) && ...) &&
               ((!std::is_enum_v<ValueOf<Members>> || is_output_list(closed_list_of<Members>().name)) && ...);
    });
}

// The spool keeps of a tile's rows what the tile fills, in rows of one width.
template <typename Row>
constexpr bool the_spool_keeps_what_a_tile_fills() {
    return Row::list_columns([]<typename... Members>(const MemberColumn<Row, Members>&... columns) {
        return ((filled_by<Row>(columns.field) != FilledBy::tile || kFixedWidth<Members>)&&...);
    });
}

}  // namespace column_checks

template <typename Row>
struct CheckedRow {
    static_assert(column_checks::every_member_is_listed<Row>(),
                  "list_columns lists the members of the row: every one, in their order");
    static_assert(column_checks::no_column_stands_twice<Row>(), "a column or a member stands twice in list_columns");
    static_assert(column_checks::every_list_is_in_the_file<Row>(),
                  "an enumeration without a closed list in kOutputLists (core/outcomes.hpp)");
    static_assert(
        column_checks::the_spool_keeps_what_a_tile_fills<Row>(),
        "a tile fills a text, which the spool would lose: let the plan or gather fill it, or make it a word of a "
        "closed list");
    using Type = Row;
};

template <typename... Rows>
struct RowTypes {
    static constexpr std::size_t kCount = sizeof...(Rows);
    template <typename Row>
    static constexpr std::size_t position() {
        constexpr std::array<bool, kCount> same{std::is_same_v<Row, typename CheckedRow<Rows>::Type>...};
        constexpr auto found = static_cast<std::size_t>(std::ranges::find(same, true) - same.begin());
        static_assert(found < kCount, "no row of the output");
        return found;
    }
};

using OutputRows = RowTypes<RoofRow, PadRow, PadGroundRow, PipeRow, UsePointRow, ParcelRow, CurveRow, ParcelOptionRow,
                            ReachRow, SubbasinRow, ScenarioRow, OverrideRow, RunRecordRow>;

// Where a row's table stands among the output's tables.
template <typename Row>
inline constexpr std::size_t kTableOf = OutputRows::position<Row>();

struct OutputTable {
    Table table;
    std::vector<Column> columns;
};

[[nodiscard]] const std::vector<OutputTable>& output_tables();

}  // namespace eaveshed
