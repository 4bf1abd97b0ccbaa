#include "point_columns.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include <fmt/format.h>
#include <ogrsf_frmts.h>

#include "eaveshed/core/number_spelling.hpp"
#include "eaveshed/core/units.hpp"
#include "eaveshed/vector/field_text.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

struct Names {
    std::string_view x;
    std::string_view y;
    bool in_degrees = false;
};
constexpr std::array kNames{Names{"x", "y"},
                            Names{"lon", "lat", true},
                            Names{"long", "lat", true},
                            Names{"lng", "lat", true},
                            Names{"longitude", "latitude", true},
                            Names{"easting", "northing"},
                            Names{"east", "north"},
                            Names{"point_x", "point_y"}};

std::optional<int> field_called(std::string_view name, const std::vector<std::string>& fields) {
    const auto found =
        std::ranges::find_if(fields, [name](const std::string& field) { return lower_case(field) == name; });
    return found == fields.end() ? std::nullopt : std::optional(static_cast<int>(found - fields.begin()));
}

std::optional<double> number_at(const OGRFeature& feature, int field) {
    std::string text;
    if (!field_text(feature, field, text)) {
        return std::nullopt;
    }
    const SpelledNumber number = spelled_number(text);
    return number.spelling == NumberSpelling::two_ways ? std::nullopt : number_in(number.text);
}

}  // namespace

std::optional<Point> PointColumns::place(const OGRFeature& feature) const {
    const auto at_x = number_at(feature, x);
    const auto at_y = number_at(feature, y);
    return at_x && at_y ? std::optional(Point{*at_x, *at_y}) : std::nullopt;
}

std::string point_column_names() {
    std::string names;
    for (const Names& pair : kNames) {
        names += fmt::format("{}{} and {}", names.empty() ? "" : ", ", pair.x, pair.y);
    }
    return names;
}

std::optional<PointColumns> find_point_columns(const std::vector<std::string>& fields) {
    for (const Names& pair : kNames) {
        const auto x = field_called(pair.x, fields);
        const auto y = field_called(pair.y, fields);
        if (x && y) {
            return PointColumns{*x, *y, pair.in_degrees};
        }
    }
    return std::nullopt;
}

std::vector<unsigned char> wkb_of(Point point) {
    const OGRPoint geometry(point.x, point.y);
    std::vector<unsigned char> wkb(geometry.WkbSize());
    geometry.exportToWkb(wkbNDR, wkb.data(), wkbVariantIso);
    return wkb;
}

}  // namespace eaveshed
