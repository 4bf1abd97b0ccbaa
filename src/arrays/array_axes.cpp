#include "eaveshed/arrays/array_axes.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include <fmt/format.h>
#include <gdal_priv.h>

#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kMostValues = 4U << 20U;  // of one axis: 11,000 years of days, 470 of hours

bool one_of(const std::string& text, std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), text) != words.end();
}

std::vector<std::string> words_of(const std::string& text) {
    std::vector<std::string> words;
    std::string word;
    for (const char c : text + ' ') {
        if (c != ' ') {
            word += c;
        } else if (!word.empty()) {
            words.push_back(word);
            word.clear();
        }
    }
    return words;
}

// The variable of the dimension's own name, else one of those that the array names as its coordinates.
std::shared_ptr<GDALMDArray> coordinates_of(const GDALGroup& root, const GDALMDArray& array,
                                            const GDALDimension& dimension) {
    const auto fits = [&](const std::shared_ptr<GDALMDArray>& found) {
        return found != nullptr && found->GetDimensions().size() == 1 &&
               found->GetDimensions()[0]->GetSize() == dimension.GetSize();
    };
    if (auto found = dimension.GetIndexingVariable(); fits(found)) {
        return found;
    }
    std::vector<std::string> names{dimension.GetName()};
    for (const std::string& word : words_of(attribute_text(array, "coordinates"))) {
        names.push_back(word);
    }
    for (const std::string& name : names) {
        auto found = array_near(root, array, name);
        if (fits(found) && found->GetDimensions()[0]->GetName() == dimension.GetName()) {
            return found;
        }
    }
    return nullptr;
}

// CF conventions 4.1, 4.2: how units of longitude and latitude may be written.
bool is_east(const std::string& unit) {
    return one_of(unit, {"degrees_east", "degree_east", "degrees_e", "degree_e", "degreese", "degreee"});
}
bool is_north(const std::string& unit) {
    return one_of(unit, {"degrees_north", "degree_north", "degrees_n", "degree_n", "degreesn", "degreen"});
}
bool is_time(const std::string& unit) {
    return unit.find(" since ") != std::string::npos || unit.rfind("day as %", 0) == 0;
}

AxisKind kind_by_name(const std::string& name) {
    if (one_of(name, {"lon", "longitude", "x", "easting", "projection_x_coordinate"})) {
        return AxisKind::x;
    }
    if (one_of(name, {"lat", "latitude", "y", "northing", "projection_y_coordinate"})) {
        return AxisKind::y;
    }
    return one_of(name, {"time", "t", "date"}) ? AxisKind::time : AxisKind::other;
}

void classify(ArrayAxis& axis) {
    const std::string name = lower_case(axis.name);
    axis.kind = kind_by_name(name);
    axis.degrees = axis.kind != AxisKind::time && one_of(name, {"lon", "longitude", "lat", "latitude"});
    if (axis.coordinates == nullptr) {
        return;
    }
    const std::string unit = lower_case(attribute_text(*axis.coordinates, "units"));
    const std::string standard = lower_case(attribute_text(*axis.coordinates, "standard_name"));
    const std::string letter = lower_case(attribute_text(*axis.coordinates, "axis"));
    axis.rotated = one_of(standard, {"grid_longitude", "grid_latitude"});
    if (is_east(unit) || one_of(standard, {"longitude", "projection_x_coordinate", "grid_longitude"}) ||
        letter == "x") {
        axis.kind = AxisKind::x;
    } else if (is_north(unit) || one_of(standard, {"latitude", "projection_y_coordinate", "grid_latitude"}) ||
               letter == "y") {
        axis.kind = AxisKind::y;
    } else if (is_time(unit) || standard == "time" || letter == "t") {
        axis.kind = AxisKind::time;
    }
    const bool other_unit = !unit.empty() && unit.rfind("degree", 0) != 0;
    axis.degrees =
        is_east(unit) || is_north(unit) || one_of(standard, {"longitude", "latitude"}) || (axis.degrees && !other_unit);
}

// Longitudes may jump by a turn inside an even axis: ..., 359, 0, 1, ...
void unwrap(std::vector<double>& axis) {
    constexpr double kFullTurn = 360.0;
    const double step = axis[1] - axis[0];
    for (std::size_t i = 2; i < axis.size(); ++i) {
        const double jump = axis[i] - axis[i - 1] - step;
        if (std::abs(std::abs(jump) - kFullTurn) < 0.5 * std::abs(step)) {
            axis[i] -= std::copysign(kFullTurn, jump);
        }
    }
}

}  // namespace

std::string attribute_text(const GDALMDArray& array, const std::string& name) {
    if (name == "units" && !array.GetUnit().empty()) {
        return array.GetUnit();
    }
    const auto attribute = array.GetAttribute(name);
    const char* const text = attribute != nullptr ? attribute->ReadAsString() : nullptr;
    return text != nullptr ? text : "";
}

std::optional<double> attribute_number(const GDALMDArray& array, const std::string& name) {
    const auto attribute = array.GetAttribute(name);
    if (attribute == nullptr || attribute->GetDataType().GetClass() != GEDTC_NUMERIC) {
        return std::nullopt;
    }
    return attribute->ReadAsDouble();
}

std::shared_ptr<GDALMDArray> array_near(const GDALGroup& root, const GDALMDArray& from, const std::string& name) {
    for (std::string group = from.GetFullName(); !group.empty();) {
        const std::size_t slash = group.find_last_of('/');
        group.resize(slash == std::string::npos ? 0 : slash);  // of the root: empty
        const auto opened = group.empty() ? nullptr : root.OpenGroupFromFullname(group);
        const GDALGroup& here = opened != nullptr ? *opened : root;
        const auto names = here.GetMDArrayNames(nullptr);
        if (std::find(names.begin(), names.end(), name) != names.end()) {
            return here.OpenMDArray(name);
        }
    }
    return nullptr;
}

std::vector<ArrayAxis> axes_of(const GDALGroup& root, const GDALMDArray& array) {
    std::vector<ArrayAxis> axes;
    for (const auto& dimension : array.GetDimensions()) {
        ArrayAxis axis;
        axis.name = dimension->GetName();
        axis.size = dimension->GetSize();
        axis.coordinates = coordinates_of(root, array, *dimension);
        classify(axis);
        axes.push_back(std::move(axis));
    }
    return axes;
}

std::vector<double> values_of(const GDALMDArray& array) {
    const auto& dimensions = array.GetDimensions();
    std::vector<GUInt64> start(dimensions.size(), 0);
    std::vector<std::size_t> count;
    std::size_t total = 1;
    for (const auto& dimension : dimensions) {
        const GUInt64 size = dimension->GetSize();
        if (size == 0 || size > kMostValues || total > kMostValues / size) {
            return {};
        }
        count.push_back(size);
        total *= size;
    }
    if (dimensions.size() > 2 || array.GetDataType().GetClass() != GEDTC_NUMERIC) {
        return {};
    }
    std::vector<double> values(total);
    const bool read = array.Read(start.data(), count.data(), nullptr, nullptr,
                                 GDALExtendedDataType::Create(GDT_Float64), values.data());
    if (!read) {
        return {};
    }
    const double scale = array.GetScale();
    const double offset = array.GetOffset();
    for (double& value : values) {
        value = value * scale + offset;
    }
    return values;
}

std::vector<double> bounds_of(const GDALGroup& root, const GDALMDArray& coordinates) {
    const std::string name = attribute_text(coordinates, "bounds");
    const auto bounds = name.empty() ? nullptr : array_near(root, coordinates, name);
    if (bounds == nullptr || bounds->GetDimensions().empty() || bounds->GetDimensions().back()->GetSize() != 2) {
        return {};
    }
    return values_of(*bounds);
}

std::optional<EvenAxis> even_axis(const GDALGroup& root, const ArrayAxis& axis, bool turns) {
    std::vector<double> values = axis.coordinates != nullptr ? values_of(*axis.coordinates) : std::vector<double>{};
    if (values.empty() || !std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); })) {
        return std::nullopt;
    }
    EvenAxis even;
    if (values.size() == 1) {
        const std::vector<double> bounds = bounds_of(root, *axis.coordinates);
        if (bounds.size() != 2 || !(std::abs(bounds[1] - bounds[0]) > 0.0)) {
            return std::nullopt;
        }
        return EvenAxis{bounds[0], bounds[1], 0.0};
    }
    if (turns) {
        unwrap(values);
    }
    const double step = (values.back() - values.front()) / static_cast<double>(values.size() - 1);
    if (step == 0.0) {
        return std::nullopt;
    }
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double at = values.front() + step * static_cast<double>(i);
        even.unevenness = std::max(even.unevenness, std::abs((values[i] - at) / step));
    }
    even.first_edge = values.front() - 0.5 * step;
    even.last_edge = values.back() + 0.5 * step;
    return even;
}

namespace {

// Coordinates as texts; of names as they are, of numbers as they print.
std::vector<std::string> coordinate_texts(const ArrayAxis& axis) {
    std::vector<std::string> texts;
    if (axis.coordinates == nullptr) {
        return texts;
    }
    const std::size_t count = axis.size;
    if (axis.coordinates->GetDataType().GetClass() == GEDTC_STRING) {
        std::vector<char*> raw(count, nullptr);
        const GUInt64 start = 0;
        if (axis.coordinates->Read(&start, &count, nullptr, nullptr, GDALExtendedDataType::CreateString(),
                                   static_cast<void*>(raw.data()))) {
            for (char* const text : raw) {
                texts.emplace_back(text != nullptr ? text : "");
                CPLFree(text);
            }
        }
        return texts;
    }
    const std::vector<double> values = values_of(*axis.coordinates);
    for (std::size_t i = 0; i < std::min(values.size(), count); ++i) {
        texts.push_back(fmt::format("{}", values[i]));
    }
    return texts;
}

}  // namespace

std::string axis_text(const ArrayAxis& axis) {
    constexpr std::size_t kShown = 8;
    const std::vector<std::string> texts = coordinate_texts(axis);
    return fmt::format("{} ({}{})", printable(axis.name), axis.size,
                       texts.empty() ? "" : fmt::format(": {}", listed(texts, kShown)));
}

std::optional<std::uint64_t> index_on(const ArrayAxis& axis, const std::string& value) {
    char* end = nullptr;
    const double number = CPLStrtod(value.c_str(), &end);
    const bool is_number = !value.empty() && *end == '\0';
    const std::vector<std::string> texts = coordinate_texts(axis);
    for (std::size_t i = 0; i < texts.size(); ++i) {
        if (texts[i] == value || (is_number && CPLAtof(texts[i].c_str()) == number)) {
            return i;
        }
    }
    const bool position = texts.empty() && is_number && number >= 1.0 && number <= static_cast<double>(axis.size) &&
                          number == std::floor(number);
    return position ? std::optional<std::uint64_t>{static_cast<std::uint64_t>(number) - 1} : std::nullopt;
}

}  // namespace eaveshed
