#include "eaveshed/report/basin_map.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>
#include <set>

#include "eaveshed/drawing/colours.hpp"
#include "eaveshed/drawing/labels.hpp"
#include "eaveshed/drawing/marked_text.hpp"
#include "eaveshed/drawing/picture.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr double kMapWidth = 178.0;
constexpr double kPixelsPerMm = 4.0;
constexpr double kFillOpacity = 0.6;
constexpr std::int64_t kNumbered = 25;  // ranks that are written on the map

class BasinMap {
public:
    BasinMap(const BasinRows& rows, const BasinShapes& shapes, const MapFrame& frame)
        : m_rows(rows),
          m_shapes(shapes),
          m_frame(frame),
          m_svg({.id = "map",
                 .title = "Map of the basin",
                 .description = "Parcels by their rank, pads by how the water gets in and out, streams, over shaded "
                                "relief. The table below holds the same parcels in words."},
                kMapWidth, frame.window().bottom() + 4.0 * Legend::kRow + 1.0),
          m_room(frame.window()),
          m_asked(rows.can_be_asked()),
          m_pads(shown_pads()) {}

    [[nodiscard]] std::string element() {
        m_svg.open_clip(m_frame.window());
        if (m_shapes.relief) {
            m_svg.picture(m_frame.window(),
                          png_uri(relief_picture(*m_shapes.relief, m_frame, m_shapes.crs, kPixelsPerMm)));
        }
        draw_unranked();
        draw_ranked();
        for (const Line& stream : m_shapes.streams) {
            m_svg.line(m_frame.line(stream), {.stroke = colour::kBlue, .width = 0.45});
        }
        draw_pads();
        draw_first();
        draw_furniture();
        draw_numbers();
        m_svg.close();
        m_svg.box(m_frame.window(), {.stroke = colour::kInk, .width = 0.25});
        draw_legend();
        return m_svg.element();
    }

private:
    // All shapes of a kind as one element.
    template <typename Wanted>
    std::size_t draw_together(const Wanted& wanted, const Pen& pen) {
        std::vector<std::vector<Point>> rings;
        std::size_t number = 0;
        for (std::size_t i = 0; i < m_rows.places.size(); ++i) {
            if (wanted(m_rows.places[i]) && !m_shapes.outlines[i].empty()) {
                std::ranges::move(m_frame.rings(m_shapes.outlines[i]), std::back_inserter(rings));
                ++number;
            }
        }
        m_svg.area(rings, pen);
        return number;
    }
    void draw_unranked() {
        draw_together([](const PlaceRow& row) { return !row.can_be_asked && row.contact != ContactStatus::enrolled; },
                      m_unranked);
        m_enrolled_number =
            draw_together([](const PlaceRow& row) { return row.contact == ContactStatus::enrolled; }, m_enrolled);
    }
    void draw_ranked() {
        if (!m_rows.facts.of_parcels()) {
            draw_together([](const PlaceRow& row) { return row.can_be_asked; }, ranked_pen(kRankClasses[1]));
            return;
        }
        // The weightiest last, so that they lie on top.
        for (auto place = m_asked.rbegin(); place != m_asked.rend(); ++place) {
            const std::size_t index = index_of(*place);
            if (!m_shapes.outlines[index].empty()) {
                const RankClass& rank = class_of(**place);
                m_svg.area(m_frame.rings(m_shapes.outlines[index]), ranked_pen(rank),
                           fmt::format("{}, rank {}", (*place)->id, (*place)->rank.value_or(0)), map_anchor(**place));
            }
        }
    }
    void draw_pads() {
        constexpr std::size_t kMany = 400;
        const double size = m_pads.size() > kMany ? 1.1 : 1.7;  // mm
        for (const PadShape* const pad : m_pads) {
            const DeliveryLook look = look_of(pad->delivery);
            m_svg.symbol(m_frame.to_page(pad->place), symbol_of(look.mark), size, pad_pen(look));
        }
    }
    // A ring around each that is too small to be seen for what it is.
    void draw_first() {
        constexpr double kSeen = 3.0;  // mm
        constexpr double kRing = 1.5;
        for (const PlaceRow* const place : m_asked) {
            const MultiPolygon& outline = m_shapes.outlines[index_of(place)];
            if (place->rank && *place->rank <= kNumbered && !outline.empty()) {
                const PageBox box = page_box(outline);
                if (box.width < kSeen && box.height < kSeen) {
                    m_svg.circle({box.x + box.width / 2.0, box.y + box.height / 2.0}, kRing,
                                 {.stroke = std::string(class_of(*place).fill), .width = 0.8});
                }
            }
        }
    }
    // Of all pads those that the map has room for.
    [[nodiscard]] std::vector<const PadShape*> shown_pads() const {
        std::set<std::size_t> first;
        for (std::size_t i = 0; i < std::min(kFirstPads, m_asked.size()); ++i) {
            first.insert(index_of(m_asked[i]));
        }
        std::vector<const PadShape*> pads;
        for (const PadShape& pad : m_shapes.pads) {
            if (m_shapes.pads.size() <= kMostPads || first.contains(pad.row)) {
                pads.push_back(&pad);
            }
        }
        return pads;
    }
    [[nodiscard]] std::size_t index_of(const PlaceRow* place) const {
        return static_cast<std::size_t>(place - m_rows.places.data());
    }
    [[nodiscard]] PageBox page_box(const MultiPolygon& outline) const {
        const Box box = bounds(outline);
        const Point corner = m_frame.to_page({box.x_min, box.y_max});
        const Point other = m_frame.to_page({box.x_max, box.y_min});
        return {corner.x, corner.y, other.x - corner.x, other.y - corner.y};
    }
    void draw_furniture() {
        constexpr double kInset = 4.0;
        constexpr double kArrow = 13.0;
        const PageBox& window = m_frame.window();
        const LengthSystem system =
            m_rows.facts.settings.output.units == OutputUnits::us ? LengthSystem::us : LengthSystem::metric;
        const ScaleBar bar = scale_bar(m_frame.metres_per_mm(), window.width / 4.0, system);
        m_room.take(draw_scale_bar(m_svg, bar, {window.x + kInset, window.bottom() - kInset}));
        m_room.take(draw_north_arrow(m_svg, {window.right() - kInset - 2.0, window.y + kInset}, kArrow));
    }
    void draw_numbers() {
        constexpr double kSize = 3.0;
        for (const PlaceRow* const place : m_asked) {
            const MultiPolygon& outline = m_shapes.outlines[index_of(place)];
            if (!place->rank || *place->rank > kNumbered || outline.empty()) {
                continue;
            }
            const PageBox box = page_box(outline);
            const Point middle{box.x + box.width / 2.0, box.y + box.height / 2.0};
            const std::string number = std::to_string(*place->rank);
            const double gap = std::clamp(0.4 * box.width, 1.6, 3.0);
            if (const auto base = m_room.beside(middle, number, kSize, gap)) {
                m_svg.text(*base, number, {.size = kSize, .bold = true, .halo = true});
            }
        }
    }
    void draw_legend() {
        Legend legend(m_svg, m_frame.window().bottom() + 1.5);
        const bool parcels = m_rows.facts.of_parcels();
        if (parcels) {
            for (const RankClass& rank : kRankClasses) {
                legend.swatch(rank.label, ranked_pen(rank));
            }
        } else {
            legend.swatch("roof with a place for a tank", ranked_pen(kRankClasses[1]));
        }
        legend.swatch(parcels ? "not ranked" : "other roof", m_unranked);
        if (m_enrolled_number > 0) {
            legend.swatch("enrolled already", m_enrolled);
        }
        if (!m_shapes.streams.empty()) {
            legend.stroke("stream", {.stroke = colour::kBlue, .width = 0.45});
        }
        for (const DeliveryLook& look : kDeliveryLooks) {
            if (std::ranges::find(m_pads, look.delivery, [](const PadShape* pad) { return pad->delivery; }) !=
                m_pads.end()) {
                legend.symbol(fmt::format("tank: {}", spaced(to_text(look.delivery))), symbol_of(look.mark),
                              pad_pen(look));
            }
        }
        m_svg.set_height(legend.bottom() + 0.5);
    }
    static const RankClass& class_of(const PlaceRow& place) {
        const std::int64_t rank = place.rank.value_or(kRankClasses.back().from);
        return *std::ranges::find_if(kRankClasses, [&](const RankClass& one) { return rank < one.below; });
    }
    static Pen ranked_pen(const RankClass& rank) {
        return {.stroke = std::string(kRankedEdge),
                .width = rank.from == 1           ? 0.4
                         : rank.from <= kNumbered ? 0.15
                                                  : 0.07,
                .fill = std::string(rank.fill),
                .fill_opacity = kFillOpacity};
    }
    static Pen pad_pen(const DeliveryLook& look) {
        return {.stroke = colour::kInk, .width = 0.12, .fill = std::string(look.fill)};
    }

    const BasinRows& m_rows;
    const BasinShapes& m_shapes;
    const MapFrame& m_frame;
    Svg m_svg;
    LabelRoom m_room;
    std::vector<const PlaceRow*> m_asked;
    std::vector<const PadShape*> m_pads;
    Pen m_unranked{.stroke = "#8c8c8c", .width = 0.1, .fill = colour::kNoResult, .fill_opacity = 0.3};
    Pen m_enrolled{.stroke = std::string(kEnrolledEdge),
                   .width = 0.35,
                   .fill = std::string(kEnrolledFill),
                   .fill_opacity = kFillOpacity};
    std::size_t m_enrolled_number = 0;
};

}  // namespace

Symbol symbol_of(Mark mark) {
    switch (mark) {
        case Mark::circle: return Symbol::circle;
        case Mark::square: return Symbol::square;
        case Mark::triangle: return Symbol::triangle;
        case Mark::star: return Symbol::star;
        default: return Symbol::cross;
    }
}

DeliveryLook look_of(Delivery delivery) {
    const auto* const found = std::ranges::find(kDeliveryLooks, delivery, &DeliveryLook::delivery);
    return found == kDeliveryLooks.end() ? DeliveryLook{delivery, colour::kNoResult, Mark::cross} : *found;
}

MapFrame basin_frame(const Box& extent, const Crs& crs) {
    constexpr double kLeastHeight = 90.0;
    constexpr double kMostHeight = 175.0;
    constexpr double kMargin = 3.0;
    const UnitLengths lengths = unit_lengths(crs, extent.middle());
    const double width_m = std::max(1.0, (extent.x_max - extent.x_min) * lengths.along_x);
    const double height_m = std::max(1.0, (extent.y_max - extent.y_min) * lengths.along_y);
    const double height =
        std::clamp((kMapWidth - 2.0 * kMargin) * height_m / width_m + 2.0 * kMargin, kLeastHeight, kMostHeight);
    return {extent, {0.0, 0.0, kMapWidth, height}, lengths, kMargin};
}

std::string map_anchor(const PlaceRow& place) {
    return place.rank && *place.rank <= kMostAnchors ? fmt::format("rank-{}", *place.rank) : std::string();
}

std::string basin_map(const BasinRows& rows, const BasinShapes& shapes, const MapFrame& frame) {
    return BasinMap(rows, shapes, frame).element();
}

}  // namespace eaveshed
