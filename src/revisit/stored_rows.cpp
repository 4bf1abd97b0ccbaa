#include "eaveshed/revisit/stored_rows.hpp"

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/spelling.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kSuggestions = 3;

[[noreturn]] void throw_unknown(const ResultReader& result, const std::string& file, const RowAsked& asked) {
    const std::vector<std::string> ids = result.texts(std::string(asked.table), std::string(asked.column));
    const std::vector<std::string_view> views(ids.begin(), ids.end());
    std::vector<std::string> near;
    for (const std::string_view id : closest_names(asked.id, views, kSuggestions)) {
        near.push_back(fmt::format("'{}'", id));
    }
    throw input_error(file, fmt::format("no {} '{}' among its {}", asked.noun, printable(asked.id), ids.size()),
                      fmt::format("a {} of the layer {}", asked.column, asked.table),
                      near.empty() ? "look the id up in the layer's table" : "did you mean " + listed(near) + "?");
}

}  // namespace

RowAsked roof_asked(const std::string& roof_id) {
    return {RoofRow::kTable.name, column_name(&RoofRow::roof_id), "roof", roof_id,
            "let footprints.id name a field that tells roofs apart, or leave it out, and screen again"};
}

RowAsked parcel_asked(const std::string& parcel_id) {
    return {ParcelRow::kTable.name, column_name(&ParcelRow::parcel_id), "parcel", parcel_id,
            "let parcels.id name a field that tells parcels apart, or leave it out, and screen again"};
}

ResultRow stored_row(const ResultReader& result, const std::string& file, const RowAsked& asked) {
    const auto rows = result.rows_where(std::string(asked.table), std::string(asked.column), asked.id, kMostRows);
    if (rows.empty()) {
        throw_unknown(result, file, asked);
    }
    if (rows.size() > 1) {
        throw input_error(file, fmt::format("{} {}s with the id '{}'", rows.size(), asked.noun, printable(asked.id)),
                          "one", asked.remedy);
    }
    return rows.front();
}

std::optional<std::uint32_t> position_in(const ResultRow& stored, std::size_t count) {
    const auto fid = stored.find("fid");
    const auto* const number = fid != stored.end() ? std::get_if<std::int64_t>(&fid->second) : nullptr;
    if (number == nullptr || *number < 1 || *number > static_cast<std::int64_t>(count)) {
        return std::nullopt;
    }
    return static_cast<std::uint32_t>(*number - 1);
}

void keep_level(std::vector<ResultRow>& pads, PadLevel level) {
    std::erase_if(pads, [level](const ResultRow& row) {
        const auto found = row.find(std::string(column_name(&PadRow::level)));
        const bool parcel = found != row.end() && found->second == Value(std::string(to_text(PadLevel::parcel)));
        return parcel != (level == PadLevel::parcel);
    });
}

}  // namespace eaveshed
