#include "eaveshed/drawing/svg.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/xml_text.hpp"
#include "eaveshed/drawing/marked_text.hpp"

namespace eaveshed {

namespace {

std::string at(Point point) {
    return svg_number(point.x) + " " + svg_number(point.y);
}

std::string pen_attributes(const Pen& pen) {
    std::string text = fmt::format(" fill=\"{}\"", pen.fill);
    if (pen.fill != "none" && pen.fill_opacity < 1.0) {
        text += fmt::format(" fill-opacity=\"{}\"", svg_number(pen.fill_opacity));
    }
    if (pen.stroke != "none") {
        text += fmt::format(" stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"", pen.stroke,
                            svg_number(pen.width));
        if (!pen.dash.empty()) {
            text += fmt::format(" stroke-dasharray=\"{}\"", pen.dash);
        }
    }
    return text;
}

// The end of an element, with what a pointer is told.
std::string closing(std::string_view name, std::string_view tip) {
    return tip.empty() ? std::string("/>\n") : fmt::format("><title>{}</title></{}>\n", xml_text(tip), name);
}

std::vector<Point> around(Point centre, int corners, double radius, double inner_radius, double turn) {
    std::vector<Point> points;
    const int steps = inner_radius > 0.0 ? 2 * corners : corners;
    for (int i = 0; i < steps; ++i) {
        const double r = inner_radius > 0.0 && i % 2 == 1 ? inner_radius : radius;
        const double angle = turn + 2.0 * std::numbers::pi * i / steps;
        points.push_back({centre.x + r * std::sin(angle), centre.y - r * std::cos(angle)});
    }
    return points;
}

// The outline of a mark; shapes of one size look about as large as each other.
std::vector<Point> outline_of(Point centre, Symbol shape, double size) {
    const double r = size / 2.0;
    switch (shape) {
        case Symbol::square: return around(centre, 4, 1.25 * r, 0.0, std::numbers::pi / 4.0);
        case Symbol::triangle: return around(centre, 3, 1.3 * r, 0.0, 0.0);
        case Symbol::star: return around(centre, 5, 1.35 * r, 0.6 * r, 0.0);
        case Symbol::diamond: return around(centre, 4, 1.25 * r, 0.0, 0.0);
        default: {
            const double t = 0.35 * r;  // cross: half the width of its arms
            std::vector<Point> points{{-t, -r}, {t, -r}, {t, -t}, {r, -t}, {r, t},   {t, t},
                                      {t, r},   {-t, r}, {-t, t}, {-r, t}, {-r, -t}, {-t, -t}};
            for (Point& point : points) {
                point = {centre.x + point.x, centre.y + point.y};
            }
            return points;
        }
    }
}

}  // namespace

std::string path_data(std::span<const Point> points, bool closed) {
    constexpr double kSeen = 0.04;
    if (points.size() < 2) {
        return {};
    }
    std::string data = "M" + at(points.front());
    Point last = points.front();
    for (std::size_t i = 1; i < points.size(); ++i) {
        const bool is_end = i + 1 == points.size();
        if (closed && is_end && points[i] == points.front()) {
            break;
        }
        if (std::hypot(points[i].x - last.x, points[i].y - last.y) >= kSeen || (is_end && !closed)) {
            data += " " + at(points[i]);
            last = points[i];
        }
    }
    return closed ? data + "Z" : data;
}

Svg::Svg(DrawingWords words, double width, double height)
    : m_words(std::move(words)), m_width(width), m_height(height) {
    if (m_words.id.empty() || m_words.title.empty() || !(width > 0.0) || !(height > 0.0)) {
        internal_error("a drawing without a name or a size");
    }
}

void Svg::line(std::span<const Point> points, const Pen& pen) {
    const std::string data = path_data(points, false);
    if (!data.empty()) {
        m_body += fmt::format("<path d=\"{}\"{}/>\n", data, pen_attributes(pen));
    }
}

void Svg::area(const std::vector<std::vector<Point>>& rings, const Pen& pen, std::string_view tip,
               std::string_view anchor) {
    std::string data;
    for (const std::vector<Point>& ring : rings) {
        data += path_data(ring, true);
    }
    if (!data.empty()) {
        m_body += fmt::format("<path{} d=\"{}\" fill-rule=\"evenodd\"{}{}",
                              anchor.empty() ? "" : fmt::format(" id=\"{}\"", xml_text(anchor)), data,
                              pen_attributes(pen), closing("path", tip));
    }
}

void Svg::box(const PageBox& box, const Pen& pen) {
    m_body += fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"{}/>\n", svg_number(box.x),
                          svg_number(box.y), svg_number(box.width), svg_number(box.height), pen_attributes(pen));
}

void Svg::circle(Point centre, double radius, const Pen& pen, std::string_view tip) {
    m_body += fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}{}", svg_number(centre.x), svg_number(centre.y),
                          svg_number(radius), pen_attributes(pen), closing("circle", tip));
}

void Svg::symbol(Point centre, Symbol shape, double size, const Pen& pen, std::string_view tip) {
    if (shape == Symbol::circle) {
        circle(centre, size / 2.0, pen, tip);
    } else {
        area({outline_of(centre, shape, size)}, pen, tip);
    }
}

void Svg::text(Point base, std::string_view text, const Lettering& lettering) {
    constexpr std::array kAnchors{"start", "middle", "end"};
    std::string attributes;
    if (lettering.anchor != Anchor::start) {
        attributes += fmt::format(" text-anchor=\"{}\"", kAnchors.at(static_cast<std::size_t>(lettering.anchor)));
    }
    if (lettering.bold) {
        attributes += " font-weight=\"bold\"";
    }
    if (lettering.halo) {
        attributes +=
            fmt::format(" paint-order=\"stroke\" stroke=\"#ffffff\" stroke-width=\"{}\" stroke-linejoin=\"round\"",
                        svg_number(lettering.size / 4.0));
    }
    if (lettering.turned != 0.0) {
        attributes += fmt::format(" transform=\"rotate({} {})\"", svg_number(lettering.turned), at(base));
    }
    m_body += fmt::format("<text x=\"{}\" y=\"{}\" font-size=\"{}\" fill=\"{}\"{}>{}</text>\n", svg_number(base.x),
                          svg_number(base.y), svg_number(lettering.size), lettering.fill, attributes, xml_text(text));
}

void Svg::picture(const PageBox& box, const std::string& uri) {
    m_body +=
        fmt::format("<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\" href=\"{}\"/>\n",
                    svg_number(box.x), svg_number(box.y), svg_number(box.width), svg_number(box.height), xml_text(uri));
}

void Svg::open_clip(const PageBox& box) {
    const std::string id = fmt::format("{}-clip-{}", m_words.id, ++m_clips);
    m_body += fmt::format(
        "<clipPath id=\"{0}\"><rect x=\"{1}\" y=\"{2}\" width=\"{3}\" height=\"{4}\"/></clipPath>\n"
        "<g clip-path=\"url(#{0})\">\n",
        id, svg_number(box.x), svg_number(box.y), svg_number(box.width), svg_number(box.height));
    ++m_open;
}

void Svg::open_group(std::string_view page_class) {
    m_body += fmt::format("<g class=\"{}\">\n", xml_text(page_class));
    ++m_open;
}

void Svg::close() {
    m_body += "</g>\n";
    --m_open;
}

std::string Svg::element() const {
    if (m_open != 0) {
        internal_error("a drawing with a group left open");
    }
    const std::string id = xml_text(m_words.id);
    return fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-labelledby=\"{0}-title {0}-desc\" "
        "viewBox=\"0 0 {1} {2}\" width=\"{1}mm\" height=\"{2}mm\" font-family=\"sans-serif\">\n"
        "<title id=\"{0}-title\">{3}</title>\n<desc id=\"{0}-desc\">{4}</desc>\n{5}</svg>\n",
        id, svg_number(m_width), svg_number(m_height), xml_text(m_words.title), xml_text(m_words.description), m_body);
}

}  // namespace eaveshed
