#include "eaveshed/style/qml.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/xml_text.hpp"

namespace eaveshed {

namespace {

// Descriptors measure in pixels of 0.28 mm (OGC 05-077r4, clause 6.3), desktop viewers in millimetres.
constexpr double kMmPerPixel = 0.28;

// --- Expressions

// In a text a backslash begins a code.
std::string quoted(std::string_view text, char mark) {
    std::string out(1, mark);
    for (const char letter : text) {
        out += letter;
        if (letter == mark || (letter == '\\' && mark == '\'')) {
            out += letter;
        }
    }
    return out + mark;
}

std::string text_literal(std::string_view text) {
    return quoted(text, '\'');
}

std::string column(std::string_view name) {
    return quoted(name, '"');
}

std::string value_text(const Condition& condition) {
    if (const double* const number = std::get_if<double>(&condition.value)) {
        return fmt::format("{}", *number);
    }
    return text_literal(std::get<std::string_view>(condition.value));
}

std::string expression_test(const Condition& condition) {
    std::string name = column(condition.column);
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

// A number with so many significant figures, grouped as the viewer's user likes it.
std::string figures_expression(const std::string& number, int figures) {
    const std::string places = fmt::format("{} - floor(log10(abs({})))", figures - 1, number);
    return fmt::format("CASE WHEN {0} = 0 THEN '0' ELSE format_number(round({0}, {1}), max(0, {1})) END", number,
                       places);
}

std::string meanings_expression(const std::string& word, const ClosedList& list) {
    std::string pairs;
    for (const Term& term : list.terms) {
        pairs += (pairs.empty() ? "" : ", ") + text_literal(term.name) + ", " + text_literal(term.meaning);
    }
    return fmt::format("coalesce(map_get(map({}), {}), {})", pairs, word, word);
}

std::string before_expression(const std::string& text, std::string_view until) {
    return fmt::format("CASE WHEN strpos({0}, {1}) > 0 THEN left({0}, strpos({0}, {1})) ELSE {0} END", text,
                       text_literal(until));
}

std::string part_expression(const TextPart& part) {
    if (!part.column) {
        return text_literal(part.text);
    }
    std::string value = column(part.text);
    if (part.figures > 0) {
        value = figures_expression(value, part.figures);
    } else if (!part.until.empty()) {
        value = before_expression(value, part.until);
    } else if (!part.meanings.terms.empty()) {
        value = meanings_expression(value, part.meanings);
    }
    return part.figures > 0 || !part.until.empty() ? "(" + value + ")" : value;
}

// As a page shows text.
std::string page_text(const std::string& expression) {
    return fmt::format("replace(replace(replace(to_string({}), '&', '&amp;'), '<', '&lt;'), '>', '&gt;')", expression);
}

// What is missing makes the whole line missing, which is then nothing.
std::string line_expression(const TextLine& line, const std::string& before, bool on_page) {
    std::string text = text_literal(before);
    for (const TextPart& part : line.parts) {
        const std::string piece = part_expression(part);
        text += " || " + (on_page ? page_text(piece) : piece);
    }
    text = fmt::format("coalesce({}, '')", text);
    return line.when.empty() ? text : fmt::format("CASE WHEN {} THEN {} ELSE '' END", expression_of(line.when), text);
}

std::string lines_expression(const std::vector<TextLine>& lines, const std::string& between, bool on_page) {
    std::string text;
    for (const TextLine& line : lines) {
        text += (text.empty() ? "" : " || ") + line_expression(line, text.empty() ? "" : between, on_page);
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

std::string fill_properties(const Paint& paint) {
    return property("color", rgba(paint.fill, paint.fill_opacity)) +
           property("style", paint.fill.empty() ? "no" : "solid") + property("outline_color", rgba(paint.line, 1.0)) +
           property("outline_style", line_style(paint)) + property("outline_width", millimetres(paint.line_px)) +
           property("outline_width_unit", "MM");
}

std::string line_properties(const Paint& paint) {
    return property("line_color", rgba(paint.line, 1.0)) + property("line_style", line_style(paint)) +
           property("line_width", millimetres(paint.line_px)) + property("line_width_unit", "MM") +
           property("capstyle", "round");
}

std::string mark_properties(const Paint& paint) {
    return property("name", std::string(mark_name(paint.mark))) +
           property("color", rgba(paint.fill, paint.fill_opacity)) + property("outline_color", rgba(paint.line, 1.0)) +
           property("outline_style", line_style(paint)) + property("outline_width", millimetres(paint.line_px)) +
           property("outline_width_unit", "MM") + property("size", millimetres(paint.mark_px)) +
           property("size_unit", "MM");
}

std::string symbol_layer(const char* kind, std::size_t pass, const std::string& inside) {
    return fmt::format("<layer class=\"{}\" enabled=\"1\" pass=\"{}\" locked=\"0\">{}</layer>", kind, pass, inside);
}

std::string symbol_of(const char* type, const std::string& name, const std::string& layers) {
    return fmt::format("<symbol type=\"{}\" name=\"{}\" alpha=\"1\">{}</symbol>\n", type, name, layers);
}

// Crosses strewn over an area.
std::string crosses_layer(const Paint& paint, std::size_t number) {
    const std::string mark = property("name", "cross2") + property("outline_color", rgba(paint.line, 1.0)) +
                             property("outline_width", millimetres(1.0)) + property("outline_width_unit", "MM") +
                             property("size", millimetres(kCrossPx)) + property("size_unit", "MM");
    const std::string distance = millimetres(kCrossDistancePx);
    return symbol_layer("PointPatternFill", number,
                        property("distance_x", distance) + property("distance_x_unit", "MM") +
                            property("distance_y", distance) + property("distance_y_unit", "MM") +
                            symbol_of("marker", fmt::format("@{}@1", number), symbol_layer("SimpleMarker", 0, mark)));
}

std::string symbol(LayerShape shape, const Paint& paint, std::size_t number) {
    const std::string name = std::to_string(number);
    switch (shape) {
        case LayerShape::multipolygon:
            return symbol_of("fill", name,
                             symbol_layer("SimpleFill", number, fill_properties(paint)) +
                                 (paint.crossed ? crosses_layer(paint, number) : ""));
        case LayerShape::line_z:
        case LayerShape::line:
            return symbol_of("line", name, symbol_layer("SimpleLine", number, line_properties(paint)));
        case LayerShape::point_z:
            return symbol_of("marker", name, symbol_layer("SimpleMarker", number, mark_properties(paint)));
        case LayerShape::none: break;
    }
    internal_error("a rule for a table without geometry");
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

// Placed inside an area at the place that hides least of what other layers ask texts to keep away from.
std::string label_rule(const MapLabel& label, std::size_t number) {
    const std::string filter =
        label.when.empty() ? std::string() : fmt::format(" filter=\"{}\"", xml_text(expression_of(label.when)));
    const bool written = !label.lines.empty();
    return fmt::format(
        "<rule key=\"{{label {}}}\"{}{}><settings calloutType=\"simple\"><text-style isExpression=\"1\" "
        "fieldName=\"{}\" fontSize=\"8\" fontSizeUnit=\"Point\" textColor=\"0,0,0,255\" textOpacity=\"1\">"
        "<text-buffer bufferDraw=\"1\" bufferSize=\"0.8\" bufferSizeUnits=\"MM\" bufferColor=\"255,255,255,255\" "
        "bufferOpacity=\"1\"/></text-style><text-format multilineAlign=\"1\"/><placement placement=\"4\" "
        "offsetType=\"0\" quadOffset=\"4\" dist=\"0\"/><rendering drawLabels=\"{}\" displayAll=\"0\" obstacle=\"{}\" "
        "obstacleFactor=\"1\" obstacleType=\"0\"/></settings></rule>\n",
        number, filter, scale_limits(label.from, label.up_to),
        xml_text(written ? lines_expression(label.lines, "\n", false) : "''"), written ? 1 : 0, written ? 0 : 1);
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

// --- What is told of a feature

std::string title_text(const FeatureTexts& feature) {
    if (feature.title.empty()) {
        return "";
    }
    std::string names;
    for (const std::string& name : feature.title) {
        names += (names.empty() ? "" : ", ") + column(name);
    }
    return fmt::format("<previewExpression>{}</previewExpression>\n",
                       xml_text(feature.title.size() == 1 ? names : "coalesce(" + names + ")"));
}

std::string tip_text(const FeatureTexts& feature) {
    if (feature.tip.empty()) {
        return "";
    }
    return fmt::format("<mapTip>{}</mapTip>\n", xml_text("[% " + lines_expression(feature.tip, "<br/>", true) + " %]"));
}

// Those that decide, then the others in their order, then the number of the row.
std::string column_order(const FeatureTexts& feature, std::span<const ColumnAlias> aliases) {
    if (feature.columns.empty()) {
        return "";
    }
    std::vector<std::string> names = feature.columns;
    for (const ColumnAlias& alias : aliases) {
        if (std::ranges::find(feature.columns, alias.column) == feature.columns.end()) {
            names.push_back(alias.column);
        }
    }
    names.emplace_back("fid");
    std::string text =
        "<attributetableconfig actionWidgetStyle=\"dropDown\" sortExpression=\"\" sortOrder=\"0\"><columns>\n";
    for (const std::string& name : names) {
        text += fmt::format("<column type=\"field\" name=\"{}\" hidden=\"0\" width=\"-1\"/>\n", xml_text(name));
    }
    return text + "</columns></attributetableconfig>\n";
}

std::string renderer_text(LayerShape shape, const MapStyle& style) {
    if (shape == LayerShape::none) {
        return "";
    }
    std::string rules;
    std::string symbols;
    for (std::size_t i = 0; i < style.rules.size(); ++i) {
        rules += rule(style.rules[i], i);
        symbols += symbol(shape, style.rules[i].paint, i);
    }
    return fmt::format(
        "<renderer-v2 type=\"RuleRenderer\" symbollevels=\"1\">\n<rules key=\"{{rules}}\">\n{}</rules>\n"
        "<symbols>\n{}</symbols></renderer-v2>\n{}",
        rules, symbols, labels(style));
}

}  // namespace

std::string qml_text(LayerShape shape, const MapStyle& style, std::span<const ColumnAlias> aliases) {
    std::string text = fmt::format("<qgis version=\"3.22.0\" labelsEnabled=\"{}\">\n{}<aliases>\n",
                                   style.labels.empty() ? 0 : 1, renderer_text(shape, style));
    for (std::size_t i = 0; i < aliases.size(); ++i) {
        text += fmt::format("<alias field=\"{}\" index=\"{}\" name=\"{}\"/>\n", xml_text(aliases[i].column), i + 1,
                            xml_text(aliases[i].alias));
    }
    return text + "</aliases>\n" + title_text(style.feature) + tip_text(style.feature) +
           column_order(style.feature, aliases) + "</qgis>\n";
}

}  // namespace eaveshed
