// A table's columns as a writer, a comparison or a document needs them: what the row's list says and what follows from
// it.
#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/record/field.hpp"
#include "eaveshed/record/us_units.hpp"

namespace eaveshed {

// The list of that name among the output's; null for any other name.
constexpr const ClosedList* output_list(std::string_view name) {
    const auto* const found = std::ranges::find(kOutputLists, name, &ClosedList::name);
    return found != kOutputLists.end() ? found : nullptr;
}

// Whether there is one. By position: with the undefined-behaviour sanitizer g++ takes no pointer into a table of
// constants for a constant.
constexpr bool is_output_list(std::string_view name) {
    for (std::size_t i = 0; i < kOutputLists.size(); ++i) {  // NOLINT(modernize-loop-convert)
        if (kOutputLists[i].name == name) {
            return true;
        }
    }
    return false;
}

struct Column {
    Field field;
    ColumnType type = ColumnType::text;
    FilledBy filled_by = FilledBy::tile;
    ClosedList list{};           // of its words; without terms where any text may stand
    bool several = false;        // words of the list joined by commas
    std::optional<UsTwin> us{};  // the column that repeats it in a US unit, in files that are asked for it
};

template <typename Row>
[[nodiscard]] std::vector<Column> columns_of() {
    std::vector<Column> columns;
    const auto add = [&]<typename Member>(const MemberColumn<Row, Member>& listed) {
        constexpr ColumnType type = column_type<Member>();
        columns.push_back(
            {.field = listed.field,
             .type = type,
             .filled_by = filled_by<Row>(listed.field),
             .list = listed.field.words.empty() ? closed_list_of<Member>() : *output_list(listed.field.words),
             .several = std::is_same_v<Member, Flags>,
             .us = type == ColumnType::real ? us_twin(listed.field) : std::nullopt});
    };
    visit_columns<Row>(add);
    return columns;
}

}  // namespace eaveshed
