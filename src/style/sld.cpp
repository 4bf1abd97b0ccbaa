#include "eaveshed/style/sld.hpp"

#include <fmt/format.h>

#include <vector>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/xml_text.hpp"

namespace eaveshed {

namespace {

std::string property_name(std::string_view column) {
    return fmt::format("<ogc:PropertyName>{}</ogc:PropertyName>", xml_text(column));
}

std::string literal(const Condition& condition) {
    if (const double* const number = std::get_if<double>(&condition.value)) {
        return fmt::format("<ogc:Literal>{}</ogc:Literal>", *number);
    }
    return fmt::format("<ogc:Literal>{}</ogc:Literal>", xml_text(std::get<std::string_view>(condition.value)));
}

std::string compared(const char* relation, const Condition& condition) {
    return fmt::format("<ogc:{0}>{1}{2}</ogc:{0}>", relation, property_name(condition.column), literal(condition));
}

std::string test_of(const Condition& condition) {
    switch (condition.relation) {
        case Relation::equals: return compared("PropertyIsEqualTo", condition);
        case Relation::at_least: return compared("PropertyIsGreaterThanOrEqualTo", condition);
        case Relation::below: return compared("PropertyIsLessThan", condition);
        case Relation::is_true: return compared("PropertyIsEqualTo", {condition.column, Relation::equals, 1.0});
        case Relation::is_false: return compared("PropertyIsEqualTo", {condition.column, Relation::equals, 0.0});
    }
    internal_error("a relation that does not exist");
}

std::string filter_of(const Conditions& conditions) {
    std::string tests;
    for (const Condition& condition : conditions) {
        tests += test_of(condition);
    }
    return "<ogc:Filter>" + (conditions.size() == 1 ? tests : "<ogc:And>" + tests + "</ogc:And>") + "</ogc:Filter>";
}

// One for each of the alternatives: not every reader knows alternatives of several conditions in one filter.
std::vector<std::string> filters_of(const std::vector<Conditions>& when) {
    std::vector<std::string> filters;
    filters.reserve(when.size());
    for (const Conditions& conditions : when) {
        filters.push_back(filter_of(conditions));
    }
    return filters.empty() ? std::vector<std::string>{""} : filters;
}

std::string parameter(const char* name, const std::string& value) {
    return fmt::format("<se:SvgParameter name=\"{}\">{}</se:SvgParameter>", name, value);
}

std::string fill_of(const Paint& paint) {
    if (paint.fill.empty()) {
        return "";
    }
    return "<se:Fill>" + parameter("fill", std::string(paint.fill)) +
           (paint.fill_opacity < 1.0 ? parameter("fill-opacity", fmt::format("{}", paint.fill_opacity)) : "") +
           "</se:Fill>";
}

std::string stroke_of(const Paint& paint) {
    if (paint.line.empty()) {
        return "";
    }
    return "<se:Stroke>" + parameter("stroke", std::string(paint.line)) +
           parameter("stroke-width", fmt::format("{}", paint.line_px)) +
           (paint.dashed ? parameter("stroke-dasharray", "6 4") : "") + "</se:Stroke>";
}

// Crosses strewn over an area (OGC 05-077r4, clauses 11.1.3 and 11.3.2). A reader sets them as far apart as it likes.
std::string crosses_of(const Paint& paint) {
    return fmt::format(
        "<se:PolygonSymbolizer><se:Fill><se:GraphicFill><se:Graphic><se:Mark><se:WellKnownName>x</se:WellKnownName>{}"
        "</se:Mark><se:Size>{}</se:Size></se:Graphic></se:GraphicFill></se:Fill></se:PolygonSymbolizer>",
        stroke_of({.line = paint.line, .line_px = 1.0}), kCrossPx);
}

std::string symbolizer(LayerShape shape, const Paint& paint) {
    switch (shape) {
        case LayerShape::multipolygon:
            return "<se:PolygonSymbolizer>" + fill_of(paint) + stroke_of(paint) + "</se:PolygonSymbolizer>" +
                   (paint.crossed ? crosses_of(paint) : "");
        case LayerShape::line_z:
        case LayerShape::line: return "<se:LineSymbolizer>" + stroke_of(paint) + "</se:LineSymbolizer>";
        case LayerShape::point_z:
            return fmt::format(
                "<se:PointSymbolizer><se:Graphic><se:Mark><se:WellKnownName>{}</se:WellKnownName>{}{}</se:Mark>"
                "<se:Size>{}</se:Size></se:Graphic></se:PointSymbolizer>",
                mark_name(paint.mark), fill_of(paint), stroke_of(paint), paint.mark_px);
        case LayerShape::none: break;
    }
    internal_error("a style for a table without geometry");
}

std::string scale_of(double up_to) {
    return up_to > 0.0 ? fmt::format("<se:MaxScaleDenominator>{}</se:MaxScaleDenominator>", up_to) : std::string();
}

std::string text_symbolizer(const std::vector<TextPart>& parts) {
    if (parts.empty()) {
        return "";
    }
    std::string text;
    for (const TextPart& part : parts) {
        text += part.column ? property_name(part.text) : xml_text(part.text);
    }
    return "<se:TextSymbolizer><se:Label>" + text + "</se:Label><se:Font>" + parameter("font-family", "sans-serif") +
           parameter("font-size", "10") + "</se:Font><se:Halo><se:Radius>1</se:Radius><se:Fill>" +
           parameter("fill", "#ffffff") + "</se:Fill></se:Halo><se:Fill>" + parameter("fill", "#000000") +
           "</se:Fill></se:TextSymbolizer>";
}

}  // namespace

std::string sld_text(const std::string& layer, LayerShape shape, const MapStyle& style) {
    std::string text = fmt::format(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<StyledLayerDescriptor version=\"1.1.0\" xmlns=\"http://www.opengis.net/sld\" "
        "xmlns:se=\"http://www.opengis.net/se\" xmlns:ogc=\"http://www.opengis.net/ogc\">\n"
        "<NamedLayer><se:Name>{}</se:Name><UserStyle><se:Name>{}</se:Name><se:FeatureTypeStyle>\n",
        xml_text(layer), xml_text(style.name));
    std::size_t number = 0;
    for (const MapRule& rule : style.rules) {
        for (const std::string& filter : filters_of(rule.when)) {
            text += fmt::format(
                "<se:Rule><se:Name>{}</se:Name><se:Description><se:Title>{}</se:Title></se:Description>{}{}{}{}</"
                "se:Rule>\n",
                ++number, xml_text(rule.label), filter, scale_of(rule.up_to), symbolizer(shape, rule.paint),
                text_symbolizer(rule.text));
        }
    }
    return text + "</se:FeatureTypeStyle></UserStyle></NamedLayer>\n</StyledLayerDescriptor>\n";
}

}  // namespace eaveshed
