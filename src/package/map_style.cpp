#include "eaveshed/package/map_style.hpp"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/package/geopackage_tables.hpp"

namespace eaveshed {

namespace {

// Desktop viewers measure in mm at 96 pixels an inch; descriptors in pixels of 0.28 mm (05-077r4, section 6.3).
constexpr double kMmPerPixel = 0.28;
constexpr double kOutlinePx = 0.6;

std::string escaped(const std::string& text) {
    char* const out = CPLEscapeString(text.c_str(), static_cast<int>(text.size()), CPLES_XML);
    std::string result(out);
    CPLFree(out);
    return result;
}

bool is_null_class(const MapClass& map_class) {
    return map_class.equals.empty() && !map_class.from && !map_class.below;
}

bool is_graduated(const MapStyle& style) {
    for (const MapClass& map_class : style.classes) {
        if (map_class.from || map_class.below) {
            return true;
        }
    }
    return false;
}

// --- Styled Layer Descriptor

std::string compared(const char* relation, const std::string& column, const std::string& value) {
    return fmt::format("<ogc:{0}><ogc:PropertyName>{1}</ogc:PropertyName><ogc:Literal>{2}</ogc:Literal></ogc:{0}>",
                       relation, escaped(column), escaped(value));
}

std::string filter_of(const MapStyle& style, const MapClass& map_class) {
    if (style.column.empty()) {
        return "";
    }
    std::string test;
    if (is_null_class(map_class)) {
        test = fmt::format("<ogc:PropertyIsNull><ogc:PropertyName>{}</ogc:PropertyName></ogc:PropertyIsNull>",
                           escaped(style.column));
    } else if (!map_class.equals.empty()) {
        test = compared("PropertyIsEqualTo", style.column, map_class.equals);
    } else {
        if (map_class.from) {
            test += compared("PropertyIsGreaterThanOrEqualTo", style.column, fmt::format("{}", *map_class.from));
        }
        if (map_class.below) {
            test += compared("PropertyIsLessThan", style.column, fmt::format("{}", *map_class.below));
        }
        if (map_class.from && map_class.below) {
            test = "<ogc:And>" + test + "</ogc:And>";
        }
    }
    return "<ogc:Filter>" + test + "</ogc:Filter>";
}

const char* mark_name(Mark mark) {
    switch (mark) {
        case Mark::circle: return "circle";
        case Mark::square: return "square";
        case Mark::triangle: return "triangle";
        case Mark::star: return "star";
        case Mark::cross: return "cross";
    }
    internal_error("a mark that does not exist");
}

std::string paint(const MapStyle& style, const MapClass& map_class) {
    return fmt::format(
        "<se:Fill><se:SvgParameter name=\"fill\">{}</se:SvgParameter></se:Fill>"
        "<se:Stroke><se:SvgParameter name=\"stroke\">{}</se:SvgParameter>"
        "<se:SvgParameter name=\"stroke-width\">{}</se:SvgParameter></se:Stroke>",
        map_class.fill, style.outline, kOutlinePx);
}

std::string symbolizer(LayerShape shape, const MapStyle& style, const MapClass& map_class) {
    if (shape == LayerShape::multipolygon) {
        return "<se:PolygonSymbolizer>" + paint(style, map_class) + "</se:PolygonSymbolizer>";
    }
    return fmt::format(
        "<se:PointSymbolizer><se:Graphic><se:Mark><se:WellKnownName>{}</se:WellKnownName>{}</se:Mark>"
        "<se:Size>{}</se:Size></se:Graphic></se:PointSymbolizer>",
        mark_name(map_class.mark), paint(style, map_class), style.mark_size_px);
}

std::string sld_of(const LayerSpec& layer, const MapStyle& style) {
    std::string text = fmt::format(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<StyledLayerDescriptor version=\"1.1.0\" xmlns=\"http://www.opengis.net/sld\" "
        "xmlns:se=\"http://www.opengis.net/se\" xmlns:ogc=\"http://www.opengis.net/ogc\">\n"
        "<NamedLayer><se:Name>{}</se:Name><UserStyle><se:Name>{}</se:Name><se:FeatureTypeStyle>\n",
        escaped(layer.name), escaped(style.name));
    std::size_t number = 0;
    for (const MapClass& map_class : style.classes) {
        text += fmt::format(
            "<se:Rule><se:Name>{}</se:Name><se:Description><se:Title>{}</se:Title></se:Description>{}{}"
            "</se:Rule>\n",
            ++number, escaped(map_class.label), filter_of(style, map_class), symbolizer(layer.shape, style, map_class));
    }
    return text + "</se:FeatureTypeStyle></UserStyle></NamedLayer>\n</StyledLayerDescriptor>\n";
}

// --- QML

// "#rrggbb" as "r,g,b,255".
std::string rgba(const std::string& colour) {
    constexpr int kHexadecimal = 16;
    const auto part = [&](std::size_t at) { return std::stoi(colour.substr(at, 2), nullptr, kHexadecimal); };
    return fmt::format("{},{},{},255", part(1), part(3), part(5));
}

std::string property(const char* key, const std::string& value) {
    return fmt::format("<prop k=\"{}\" v=\"{}\"/>", key, value);
}

std::string qml_symbol(LayerShape shape, const MapStyle& style, const MapClass& map_class, std::size_t number) {
    const bool area = shape == LayerShape::multipolygon;
    std::string symbol = fmt::format(
        "<symbol type=\"{}\" name=\"{}\" alpha=\"1\"><layer class=\"{}\" enabled=\"1\" "
        "pass=\"0\" locked=\"0\">",
        area ? "fill" : "marker", number, area ? "SimpleFill" : "SimpleMarker");
    symbol += property("color", rgba(map_class.fill)) + property("outline_color", rgba(style.outline)) +
              property("outline_width", fmt::format("{:.2f}", kOutlinePx * kMmPerPixel)) +
              property("outline_width_unit", "MM");
    if (area) {
        symbol += property("style", "solid") + property("outline_style", "solid");
    } else {
        symbol += property("name", mark_name(map_class.mark)) +
                  property("size", fmt::format("{:.1f}", style.mark_size_px * kMmPerPixel)) +
                  property("size_unit", "MM");
    }
    return symbol + "</layer></symbol>";
}

// A number below every value (the quantities drawn are not negative) stands in for null, which a graduated renderer
// would not draw at all.
constexpr double kNullStandIn = -1.0;
constexpr double kTop = 1e12;

std::string qml_range(const MapClass& map_class, std::size_t number) {
    const bool is_null = is_null_class(map_class);
    return fmt::format("<range lower=\"{:f}\" upper=\"{:f}\" label=\"{}\" symbol=\"{}\" render=\"true\"/>",
                       is_null ? kNullStandIn : map_class.from.value_or(0.0),
                       is_null ? kNullStandIn : map_class.below.value_or(kTop), escaped(map_class.label), number);
}

std::string qml_category(const MapClass& map_class, std::size_t number) {
    return fmt::format("<category value=\"{}\" label=\"{}\" symbol=\"{}\" render=\"true\"/>", escaped(map_class.equals),
                       escaped(map_class.label), number);
}

std::string qml_classes(const MapStyle& style) {
    const bool graduated = is_graduated(style);
    std::string text = graduated ? "<ranges>" : "<categories>";
    for (std::size_t i = 0; i < style.classes.size(); ++i) {
        text += graduated ? qml_range(style.classes[i], i) : qml_category(style.classes[i], i);
    }
    return text + (graduated ? "</ranges>" : "</categories>");
}

std::string qml_renderer(const MapStyle& style) {
    if (style.column.empty()) {
        return "<renderer-v2 type=\"singleSymbol\">";
    }
    if (!is_graduated(style)) {
        return fmt::format("<renderer-v2 type=\"categorizedSymbol\" attr=\"{}\">", escaped(style.column)) +
               qml_classes(style);
    }
    return fmt::format("<renderer-v2 type=\"graduatedSymbol\" graduatedMethod=\"GraduatedColor\" attr=\"{}\">",
                       escaped(fmt::format("coalesce(\"{}\", {:f})", style.column, kNullStandIn))) +
           qml_classes(style);
}

std::string qml_of(const LayerSpec& layer, const MapStyle& style) {
    std::string text = "<qgis version=\"3.22.0\">\n" + qml_renderer(style) + "\n<symbols>\n";
    for (std::size_t i = 0; i < style.classes.size(); ++i) {
        text += qml_symbol(layer.shape, style, style.classes[i], i) + '\n';
    }
    text += "</symbols></renderer-v2>\n<aliases>\n";
    for (std::size_t i = 0; i < layer.columns.size(); ++i) {
        text += fmt::format("<alias field=\"{}\" index=\"{}\" name=\"{}\"/>\n", escaped(layer.columns[i].name), i + 1,
                            escaped(title_with_unit(layer.columns[i])));
    }
    return text + "</aliases>\n</qgis>\n";
}

}  // namespace

LayerStyle layer_style(const LayerSpec& layer, const MapStyle& style) {
    return {style.name, style.description, sld_of(layer, style), qml_of(layer, style)};
}

}  // namespace eaveshed
