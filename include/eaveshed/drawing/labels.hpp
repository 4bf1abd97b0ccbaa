// Labels that do not lie on each other: one that finds no room is left out, never piled up.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "eaveshed/drawing/svg.hpp"

namespace eaveshed {

// Give the weightiest labels first.
class LabelRoom {
public:
    // Labels stay inside `area`.
    explicit LabelRoom(const PageBox& area) : m_area(area) {}

    // Where no label may stand: marks, scale bar, arrow.
    void take(const PageBox& box) { m_taken.push_back(box); }
    // Room for a text of `size` mm beside a place, `gap` mm away: right, left, above, below, then the corners; or, with
    // a gap of 0, right on it. The room is taken. The base point is where the text begins (Anchor::start). None where
    // all places are taken or outside.
    [[nodiscard]] std::optional<Point> beside(Point place, std::string_view text, double size, double gap);

private:
    PageBox m_area;
    std::vector<PageBox> m_taken;
};

}  // namespace eaveshed
