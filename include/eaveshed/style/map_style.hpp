// How viewers draw a layer, said once: what stands in an OGC descriptor (sld.hpp) and in the form that desktop viewers
// take from a `layer_styles` table (qml.hpp) are both made from this.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace eaveshed {

// The well-known marks of Symbology Encoding (OGC 05-077r4, clause 11.3.2).
enum class Mark : std::uint8_t { circle, square, triangle, star, cross };
[[nodiscard]] std::string_view mark_name(Mark mark);

enum class Relation : std::uint8_t { equals, at_least, below, is_true, is_false };

// Of one column of a feature. `value` counts for the first three relations only; the others are those of a boolean
// column. Nothing here asks for null, which some viewers take for 0 and some for anything: what has no value is drawn
// by a rule without conditions, and what has one over it by rules that neither 0 nor an empty text fulfils.
struct Condition {
    std::string_view column;
    Relation relation = Relation::equals;
    std::variant<double, std::string_view> value = 0.0;
};

// Every one of them holds.
using Conditions = std::vector<Condition>;

struct Paint {
    std::string_view fill = "";  // "#rrggbb"; empty: none
    double fill_opacity = 1.0;
    std::string_view line = "#404040";  // of outlines, marks' edges, lines; empty: none
    double line_px = 0.6;
    bool dashed = false;
    Mark mark = Mark::circle;  // of points
    double mark_px = 10.0;
};

// A piece of a label's text: words as they are, or the value of a column.
struct LabelPart {
    bool column = false;
    std::string_view text;
    int decimals = -1;  // of a number; -1: as it is
};

// Features that are drawn alike, as far out as 1 : `up_to`; 0: at any scale.
struct MapRule {
    std::string label;             // in the legend
    std::vector<Conditions> when;  // any one of them; empty: every feature
    Paint paint;
    double up_to = 0.0;
    // Written on each feature by readers of descriptors, of which some label only what the same rule draws.
    std::vector<LabelPart> text = {};
};

// Text beside the features, at scales of its own: for desktop viewers.
struct MapLabel {
    std::vector<Conditions> when;
    std::vector<LabelPart> parts;
    double from = 0.0;   // not closer than 1 : this; 0: however close
    double up_to = 0.0;  // not further out
};

struct MapStyle {
    std::string name;
    std::string description;
    std::vector<MapRule> rules;  // in the order of the legend; a later one is drawn over an earlier one
    std::vector<MapLabel> labels = {};
};

}  // namespace eaveshed
