// How viewers draw a layer, said once: what stands in an OGC descriptor (sld.hpp) and in the form that desktop viewers
// take from a `layer_styles` table (qml.hpp) are both made from this.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "eaveshed/core/outcomes.hpp"

namespace eaveshed {

// The well-known marks of Symbology Encoding (OGC 05-077r4, clause 11.3.2).
enum class Mark : std::uint8_t { circle, square, triangle, star, cross };
[[nodiscard]] std::string_view mark_name(Mark mark);

enum class Relation : std::uint8_t { equals, at_least, below, is_true, is_false };

// Of one column of a feature. `value` counts for the first three relations only; the others are those of a boolean
// column. Nothing here asks for null, which some viewers take for 0 and some for anything: what has no value is drawn
// by a rule without conditions, and what has one over it by rules that neither 0 nor an empty text fulfils.
struct Condition {
    std::string column;
    Relation relation = Relation::equals;
    std::variant<double, std::string_view> value = 0.0;
};

// Every one of them holds.
using Conditions = std::vector<Condition>;

// Of crosses strewn over an area: their size, and from each to the next.
inline constexpr double kCrossPx = 6.0;
inline constexpr double kCrossDistancePx = 14.0;

struct Paint {
    std::string_view fill = {};  // "#rrggbb"; empty: none
    double fill_opacity = 1.0;
    std::string_view line = "#404040";  // of outlines, marks' edges, lines; empty: none
    double line_px = 0.6;
    bool dashed = false;
    bool crossed = false;      // an area strewn with crosses in the colour of its line
    Mark mark = Mark::circle;  // of points
    double mark_px = 10.0;
};

// A piece of a text: words as they are, or the value of a column.
struct TextPart {
    bool column = false;
    std::string text;          // the words, or the column's name
    int figures = 0;           // of a number: so many significant ones; 0: as it is
    std::string until = {};    // of a text: as far as the first letter of this; empty: all of it
    ClosedList meanings = {};  // of a coded word: what it means stands in its place; without terms: the word
};

// A line of a text, left out where one of its columns has no value, or none of the conditions holds.
struct TextLine {
    std::vector<TextPart> parts;
    std::vector<Conditions> when = {};  // empty: always
};

// Features that are drawn alike, as far out as 1 : `up_to`; 0: at any scale.
struct MapRule {
    std::string label;             // in the legend
    std::vector<Conditions> when;  // any one of them; empty: every feature
    Paint paint;
    double up_to = 0.0;
    // Written on each feature by readers of descriptors, of which some label only what the same rule draws.
    std::vector<TextPart> text = {};
};

// Text inside the features, at scales of its own: for desktop viewers. Without lines nothing is written, and the texts
// of other layers keep away from the features.
struct MapLabel {
    std::vector<Conditions> when;
    std::vector<TextLine> lines;
    double from = 0.0;   // not closer than 1 : this; 0: however close
    double up_to = 0.0;  // not further out
};

// What a viewer tells of a single feature.
struct FeatureTexts {
    std::vector<std::string> title;    // columns: the first that has a value names the feature
    std::vector<TextLine> tip;         // shown at the pointer
    std::vector<std::string> columns;  // those that decide, first in tables; the others follow in their order
};

struct MapStyle {
    std::string name;
    std::string description;
    std::vector<MapRule> rules;  // in the order of the legend; a later one is drawn over an earlier one
    std::vector<MapLabel> labels = {};
    FeatureTexts feature = {};
};

}  // namespace eaveshed
