#include "eaveshed/style/layer_styles.hpp"

#include <algorithm>
#include <array>

#include "eaveshed/record/pad_ground_row.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/pipe_row.hpp"
#include "eaveshed/record/reach_row.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/record/subbasin_row.hpp"
#include "eaveshed/record/use_point_row.hpp"
#include "style_parts.hpp"

namespace eaveshed {

namespace {

using namespace style_parts;

struct TableStyle {
    std::string_view table;
    MapStyle style;
};

auto styles_for(const StyleChoice& choice) {
    const Levels& level = choice.with_parcels ? kByParcel : kByRoof;
    return std::array{TableStyle{RoofRow::kTable.name, choice.with_parcels ? roof_style_by_parcels(choice.us)
                                                                           : roof_style_by_roofs(choice.us)},
                      TableStyle{PadRow::kTable.name, pad_style(level, choice.us)},
                      TableStyle{PadGroundRow::kTable.name, pad_ground_style(level, choice.us)},
                      TableStyle{PipeRow::kTable.name, pipe_style(level, choice.us)},
                      TableStyle{UsePointRow::kTable.name, use_point_style()},
                      TableStyle{ParcelRow::kTable.name, parcel_style(choice.us)},
                      TableStyle{ReachRow::kTable.name, reach_style(choice.us)},
                      TableStyle{SubbasinRow::kTable.name, subbasin_style(choice.us)}};
}

}  // namespace

const MapStyle* style_of(std::string_view table, const StyleChoice& choice) {
    static const std::array kAll{styles_for({false, false}), styles_for({false, true}), styles_for({true, false}),
                                 styles_for({true, true})};
    const auto& styles = kAll.at((choice.with_parcels ? 2U : 0U) + (choice.us ? 1U : 0U));
    const auto* const found = std::ranges::find(styles, table, &TableStyle::table);
    return found == styles.end() ? nullptr : &found->style;
}

}  // namespace eaveshed
