#include "eaveshed/style/qml.hpp"

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

// Descriptors measure in pixels of 0.28 mm (OGC 05-077r4, clause 6.3), desktop viewers in millimetres.
constexpr double kMmPerPixel = 0.28;

// --- Expressions

std::string quoted(std::string_view text, char mark) {
    std::string out(1, mark);
    for (const char letter : text) {
        out += letter;
        if (letter == mark) {
            out += mark;
        }
    }
    return out + mark;
}

std::string column(std::string_view name) {
    return quoted(name, '"');
}

std::string value_text(const Condition& condition) {
    if (const double* const number = std::get_if<double>(&condition.value)) {
        return fmt::format("{}", *number);
    }
    return quoted(std::get<std::string_view>(condition.value), '\'');
}

std::string expression_test(const Condition& condition) {
    const std::string name = column(condition.column);
    switch (condition.relation) {
        case Relation::equals: return name + " = " + value_text(condition);
        case Relation::at_least: return name + " >= " + value_text(condition);
        case Relation::below: return name + " < " + value_text(condition);
        case Relation::is_true: return name;
        case Relation::is_false: return "NOT " + name;
    }
    internal_error("a relation that does not exist");
}

std::string expression_of(const std::vector<Conditions>& when) {
    std::string any;
    for (const Conditions& conditions : when) {
        std::string all;
        for (const Condition& condition : conditions) {
            all += (all.empty() ? "" : " AND ") + expression_test(condition);
        }
        any += (any.empty() ? "(" : " OR (") + all + ")";
    }
    return any;
}

std::string label_expression(const MapLabel& label) {
    std::string text;
    for (const LabelPart& part : label.parts) {
        std::string piece = part.column ? column(part.text) : quoted(part.text, '\'');
        if (part.column && part.decimals >= 0) {
            piece = fmt::format("format_number({}, {})", piece, part.decimals);
        }
        text += (text.empty() ? "" : " || ") + piece;
    }
    return text;
}

// --- Symbols

// "#rrggbb" and an opacity as "r,g,b,a"; empty: transparent.
std::string rgba(std::string_view colour, double opacity) {
    if (colour.empty()) {
        return "0,0,0,0";
    }
    constexpr int kHexadecimal = 16;
    constexpr double kWhole = 255.0;
    const auto part = [&](std::size_t at) {
        return std::stoi(std::string(colour.substr(at, 2)), nullptr, kHexadecimal);
    };
    return fmt::format("{},{},{},{:.0f}", part(1), part(3), part(5), kWhole * opacity);
}

std::string property(const char* key, const std::string& value) {
    return fmt::format("<prop k=\"{}\" v=\"{}\"/>", key, value);
}

std::string millimetres(double pixels) {
    return fmt::format("{:.2f}", pixels * kMmPerPixel);
}

std::string line_style(const Paint& paint) {
    if (paint.line.empty()) {
        return "no";
    }
    return paint.dashed ? "dash" : "solid";
}

std::string fill_layer(const Paint& paint) {
    return property("color", rgba(paint.fill, paint.fill_opacity)) +
           property("style", paint.fill.empty() ? "no" : "solid") + property("outline_color", rgba(paint.line, 1.0)) +
           property("outline_style", line_style(paint)) + property("outline_width", millimetres(paint.line_px)) +
           property("outline_width_unit", "MM");
}

std::string line_layer(const Paint& paint) {
    return property("line_color", rgba(paint.line, 1.0)) + property("line_style", line_style(paint)) +
           property("line_width", millimetres(paint.line_px)) + property("line_width_unit", "MM") +
           property("capstyle", "round");
}

std::string mark_layer(const Paint& paint) {
    return property("name", std::string(mark_name(paint.mark))) +
           property("color", rgba(paint.fill, paint.fill_opacity)) + property("outline_color", rgba(paint.line, 1.0)) +
           property("outline_style", line_style(paint)) + property("outline_width", millimetres(paint.line_px)) +
           property("outline_width_unit", "MM") + property("size", millimetres(paint.mark_px)) +
           property("size_unit", "MM");
}

struct SymbolKind {
    const char* type;
    const char* layer;
    std::string (*properties)(const Paint& paint);
};

SymbolKind kind_of(LayerShape shape) {
    switch (shape) {
        case LayerShape::multipolygon: return {"fill", "SimpleFill", fill_layer};
        case LayerShape::line_z: return {"line", "SimpleLine", line_layer};
        case LayerShape::point_z: return {"marker", "SimpleMarker", mark_layer};
        case LayerShape::none: break;
    }
    internal_error("a style for a table without geometry");
}

std::string symbol(const SymbolKind& kind, const Paint& paint, std::size_t number) {
    return fmt::format(
        "<symbol type=\"{}\" name=\"{}\" alpha=\"1\"><layer class=\"{}\" enabled=\"1\" pass=\"{}\" "
        "locked=\"0\">{}</layer>"
        "</symbol>\n",
        kind.type, number, kind.layer, number, kind.properties(paint));
}

std::string scale_limits(double from, double up_to) {
    if (from <= 0.0 && up_to <= 0.0) {
        return "";
    }
    return fmt::format(" scalemindenom=\"{:.0f}\" scalemaxdenom=\"{:.0f}\"", from, up_to);
}

std::string rule(const MapRule& rule, std::size_t number) {
    const std::string filter =
        rule.when.empty() ? std::string() : fmt::format(" filter=\"{}\"", xml_text(expression_of(rule.when)));
    return fmt::format("<rule key=\"{{{}}}\" symbol=\"{}\" label=\"{}\"{}{}/>\n", number, number, xml_text(rule.label),
                       filter, scale_limits(0.0, rule.up_to));
}

// --- Labels

std::string label_rule(const MapLabel& label, std::size_t number) {
    const std::string filter =
        label.when.empty() ? std::string() : fmt::format(" filter=\"{}\"", xml_text(expression_of(label.when)));
    return fmt::format(
        "<rule key=\"{{label {}}}\"{}{}><settings calloutType=\"simple\"><text-style isExpression=\"1\" "
        "fieldName=\"{}\" fontSize=\"8\" fontSizeUnit=\"Point\" textColor=\"0,0,0,255\" textOpacity=\"1\">"
        "<text-buffer bufferDraw=\"1\" bufferSize=\"0.8\" bufferSizeUnits=\"MM\" bufferColor=\"255,255,255,255\" "
        "bufferOpacity=\"1\"/></text-style><text-format multilineAlign=\"1\"/><placement placement=\"1\" "
        "offsetType=\"0\" quadOffset=\"4\" dist=\"0\"/><rendering drawLabels=\"1\" displayAll=\"0\" obstacle=\"0\"/>"
        "</settings></rule>\n",
        number, filter, scale_limits(label.from, label.up_to), xml_text(label_expression(label)));
}

std::string labels(const MapStyle& style) {
    if (style.labels.empty()) {
        return "";
    }
    std::string text = "<labeling type=\"rule-based\"><rules key=\"{labels}\">\n";
    std::size_t number = 0;
    for (const MapLabel& label : style.labels) {
        text += label_rule(label, number++);
    }
    return text + "</rules></labeling>\n";
}

}  // namespace

std::string qml_text(LayerShape shape, const MapStyle& style, std::span<const ColumnAlias> aliases) {
    const SymbolKind kind = kind_of(shape);
    std::string rules;
    std::string symbols;
    for (std::size_t i = 0; i < style.rules.size(); ++i) {
        rules += rule(style.rules[i], i);
        symbols += symbol(kind, style.rules[i].paint, i);
    }
    std::string text = fmt::format(
        "<qgis version=\"3.22.0\" labelsEnabled=\"{}\">\n<renderer-v2 type=\"RuleRenderer\" symbollevels=\"1\">\n"
        "<rules key=\"{{rules}}\">\n{}</rules>\n<symbols>\n{}</symbols></renderer-v2>\n{}<aliases>\n",
        style.labels.empty() ? 0 : 1, rules, symbols, labels(style));
    for (std::size_t i = 0; i < aliases.size(); ++i) {
        text += fmt::format("<alias field=\"{}\" index=\"{}\" name=\"{}\"/>\n", xml_text(aliases[i].column), i + 1,
                            xml_text(aliases[i].alias));
    }
    return text + "</aliases>\n</qgis>\n";
}

}  // namespace eaveshed
