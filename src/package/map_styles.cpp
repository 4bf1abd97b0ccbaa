#include "eaveshed/package/map_styles.hpp"

#include <array>
#include <string>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/roof_row.hpp"

namespace eaveshed {

namespace {

constexpr const char* kNoResultGrey = "#bdbdbd";

// Five steps of the viridis scale (CC0; readable in grey and with any colour vision), least first.
constexpr std::array kSequence{"#440154", "#3b528b", "#21918c", "#5ec962", "#fde725"};

// Where the classes of forbearance volume begin, m3 a season: about a rain barrel, one household tank, a pair, a row
// of tanks. A choice of ours for reading a map; nothing is computed from it.
constexpr std::array kForbearanceSteps{0.0, 5.0, 15.0, 40.0, 80.0};

std::string range_label(double from, const double* below) {
    const auto text = [](double value) { return std::to_string(static_cast<int>(value)); };
    return below == nullptr ? text(from) + " m3 a season and more"
                            : text(from) + " to below " + text(*below) + " m3 a season";
}

}  // namespace

MapStyle roof_style() {
    MapStyle style{.name = "Forbearance volume",
                   .description = "Roofs by the dependable volume of summer diversion they replace.",
                   .column = std::string(column_name(&RoofRow::forbearance_m3)),
                   .classes = {}};
    for (std::size_t i = kForbearanceSteps.size(); i-- > 0;) {
        const double* const below = i + 1 < kForbearanceSteps.size() ? &kForbearanceSteps.at(i + 1) : nullptr;
        MapClass map_class{.label = range_label(kForbearanceSteps.at(i), below), .fill = kSequence.at(i)};
        if (below != nullptr) {
            map_class.below = *below;
        }
        map_class.from = kForbearanceSteps.at(i);
        style.classes.push_back(std::move(map_class));
    }
    style.classes.push_back({.label = "no result: see status and delivery", .fill = kNoResultGrey});
    return style;
}

MapStyle pad_style() {
    // Hues of Okabe and Ito (Color Universal Design, 2008).
    struct Look {
        Delivery delivery;
        const char* fill;
        Mark mark;
    };
    constexpr std::array kLooks{
        Look{Delivery::gravity, "#009e73", Mark::circle}, Look{Delivery::low_pressure, "#56b4e9", Mark::square},
        Look{Delivery::pumped_feed, "#e69f00", Mark::triangle}, Look{Delivery::pumped_fill, "#d55e00", Mark::star}};
    MapStyle style{.name = "Delivery",
                   .description = "Pads by how the water gets in and out.",
                   .column = std::string(column_name(&PadRow::delivery)),
                   .classes = {}};
    for (const Look& look : kLooks) {
        const Term& term = term_of(look.delivery);
        style.classes.push_back({.label = std::string(term.name) + ": " + std::string(term.meaning),
                                 .fill = look.fill,
                                 .mark = look.mark,
                                 .equals = std::string(term.name)});
    }
    return style;
}

MapStyle use_point_style() {
    return {.name = "Use point",
            .description = "Where the water is wanted.",
            .column = "",
            .outline = "#000000",
            .mark_size_px = 7.0,
            .classes = {{.label = "use point", .fill = "#000000", .mark = Mark::cross}}};
}

}  // namespace eaveshed
