// Rows of a finished file by the id of their roof or parcel.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/result/result_reader.hpp"

namespace eaveshed {

// One row of a layer, by an id that it alone has.
struct RowAsked {
    std::string_view table;
    std::string_view column;
    const char* noun;  // "roof"
    std::string id;
    const char* remedy;  // for an id that several rows have
};
[[nodiscard]] RowAsked roof_asked(const std::string& roof_id);
[[nodiscard]] RowAsked parcel_asked(const std::string& parcel_id);

// `file`: for messages. Input errors, with the nearest ids, where there is not exactly one.
[[nodiscard]] ResultRow stored_row(const ResultReader& result, const std::string& file, const RowAsked& asked);

// The row's number in its layer as a position from 0; none for a row without a sound one.
[[nodiscard]] std::optional<std::uint32_t> position_in(const ResultRow& stored, std::size_t count);

// The stored rows of a table whose column holds `text`, at most `most`.
template <typename Row, typename Member>
std::vector<ResultRow> stored_rows(const ResultReader& result, Member Row::*member, const std::string& text,
                                   std::size_t most) {
    return result.rows_where(std::string(Row::kTable.name), std::string(column_name(member)), text, most);
}

// Rows of the layer pads that belong to `level`.
void keep_level(std::vector<ResultRow>& pads, PadLevel level);

// As many rows of one roof or parcel as are ever read.
inline constexpr std::size_t kMostRows = 1000;

}  // namespace eaveshed
