// A drawing made from data, as an SVG element that stands inside an HTML page or alone: millimetres of paper, x to the
// right, y downwards. Nothing in it refers to anything outside it, and there is no script and no style sheet in it.
//
//     Svg svg({.id = "section", .title = "Section", .description = "Roof, tank and garden in profile"}, 170.0, 60.0);
//     svg.line({{0, 50}, {170, 40}}, {.stroke = colour::kInk, .width = 0.4});
//     svg.text({10, 20}, parcel_id, {.size = 3.2});
//     page += svg.element();
#pragma once

#include <cstdint>
#include <initializer_list>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/grid.hpp"

namespace eaveshed {

// What a reader who cannot see the drawing is told. `id`: of the page's own making ([a-z0-9-]), another for each
// drawing of a page; title and description may be any text.
struct DrawingWords {
    std::string id;
    std::string title;
    std::string description;
};

// A rectangle of the page, mm.
struct PageBox {
    double x = 0.0;
    double y = 0.0;
    double width = 0.0;
    double height = 0.0;

    [[nodiscard]] double right() const { return x + width; }
    [[nodiscard]] double bottom() const { return y + height; }
    [[nodiscard]] bool touches(const PageBox& other) const {
        return x < other.right() && other.x < right() && y < other.bottom() && other.y < bottom();
    }
    [[nodiscard]] bool holds(const PageBox& other) const {
        return other.x >= x && other.right() <= right() && other.y >= y && other.bottom() <= bottom();
    }
};

// Colours are "#rrggbb" or "none", of the program's own making.
struct Pen {
    std::string stroke = "none";
    double width = 0.3;  // mm
    std::string fill = "none";
    double fill_opacity = 1.0;
    std::string dash = {};  // "2 1": mm drawn and left out
};

enum class Anchor : std::uint8_t { start, middle, end };

struct Lettering {
    double size = 3.0;  // mm: 8.5 points
    std::string fill = "#1a1a1a";
    Anchor anchor = Anchor::start;
    bool bold = false;
    bool halo = false;    // a white edge, for what stands on a map
    double turned = 0.0;  // degrees, clockwise, about its place
};

// Marks that differ in shape, so that hue is never alone.
enum class Symbol : std::uint8_t { circle, square, triangle, star, cross, diamond };

// Data of a path: "M1 2 3 4Z". Points nearer to the last one drawn than 0.04 mm are left out, ends never: what an eye
// cannot see costs nothing. Fewer than two points give an empty text.
[[nodiscard]] std::string path_data(std::span<const Point> points, bool closed);

class Svg {
public:
    // Sizes in mm, > 0. A title or id that is empty is a broken invariant.
    Svg(DrawingWords words, double width, double height);

    void line(std::span<const Point> points, const Pen& pen);
    void line(std::initializer_list<Point> points, const Pen& pen) {
        line(std::span(points.begin(), points.size()), pen);
    }
    // Rings of one shape, holes by the even-odd rule. `tip` is told by a pointer that rests on it; `anchor` (of the
    // page's own making) is a place that a link can lead to.
    void area(const std::vector<std::vector<Point>>& rings, const Pen& pen, std::string_view tip = {},
              std::string_view anchor = {});
    void box(const PageBox& box, const Pen& pen);
    void circle(Point centre, double radius, const Pen& pen, std::string_view tip = {});
    // `size`: across, mm.
    void symbol(Point centre, Symbol shape, double size, const Pen& pen, std::string_view tip = {});
    // Any text: it is escaped here.
    void text(Point base, std::string_view text, const Lettering& lettering = {});
    // `uri`: "data:image/png;base64,..." (picture.hpp), stretched over the box, without smoothing away its meaning.
    void picture(const PageBox& box, const std::string& uri);
    // What follows, until close(), is seen only inside the box. May be nested.
    void open_clip(const PageBox& box);
    // What follows, until close(), bears a class of the page's style sheet.
    void open_group(std::string_view page_class);
    void close();

    // For drawings whose height is known at their end.
    void set_height(double height) { m_height = height; }
    [[nodiscard]] double width() const { return m_width; }
    [[nodiscard]] double height() const { return m_height; }
    // The element, with its size in mm as its view; title and description first. Groups left open are a broken
    // invariant.
    [[nodiscard]] std::string element() const;

private:
    DrawingWords m_words;
    double m_width;
    double m_height;
    std::string m_body;
    int m_open = 0;
    int m_clips = 0;
};

}  // namespace eaveshed
