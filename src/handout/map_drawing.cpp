#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "eaveshed/drawing/colours.hpp"
#include "eaveshed/drawing/contours.hpp"
#include "eaveshed/drawing/labels.hpp"
#include "eaveshed/drawing/legend.hpp"
#include "eaveshed/drawing/map_frame.hpp"
#include "eaveshed/drawing/marked_text.hpp"
#include "eaveshed/drawing/svg.hpp"
#include "property_drawings.hpp"

namespace eaveshed {

namespace {

constexpr double kMapWidthMm = 178.0;
constexpr double kLetterMm = 2.9;

// The step between contours: the least round one that leaves at most so many of them.
double contour_step(double range, OutputUnits units) {
    constexpr double kMostLines = 14.0;
    const double foot = units == OutputUnits::us ? 0.3048 : 1.0;
    for (const double step : {0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0}) {
        if (range / (step * foot) <= kMostLines) {
            return step * foot;
        }
    }
    return 200.0 * foot;
}

// What is drawn of the property, from the lowest to the highest.
class PropertyPlan {
public:
    PropertyPlan(const Property& property, OutputUnits units, double height_mm)
        : m_property(property),
          m_map(*property.map),
          m_units(units),
          m_frame(m_map.extent, {0.0, 0.0, kMapWidthMm, height_mm}, {1.0, 1.0}),
          m_svg({.id = "plan",
                 .title = "Plan of the property",
                 .description = "Boundary, roofs, place of the tanks, pipes and garden from above, north up."},
                kMapWidthMm, height_mm + 16.0),
          m_room(m_frame.window()) {
        place_labels();
    }

    std::string element() {
        const PageBox& window = m_frame.window();
        m_svg.box(window, {.fill = "#fbfaf6"});
        m_svg.open_clip(window);
        draw_garden();
        draw_ground();
        draw_surroundings();
        draw_property();
        m_svg.close();
        m_svg.box(window, {.stroke = colour::kFaintInk, .width = 0.3});
        draw_furniture();
        draw_legend();
        return m_svg.element();
    }

private:
    void draw_ground() {
        const ElevationLattice& ground = m_map.ground;
        if (ground.rows < 2 || ground.cols < 2) {
            return;
        }
        const Grid grid{.x_min = ground.north_west.x - ground.step_m / 2.0,
                        .y_max = ground.north_west.y + ground.step_m / 2.0,
                        .cell_width = ground.step_m,
                        .cell_height = ground.step_m,
                        .rows = static_cast<std::int64_t>(ground.rows),
                        .cols = static_cast<std::int64_t>(ground.cols)};
        double least = std::numeric_limits<double>::infinity();
        double most = -least;
        for (const double elev_m : ground.elev_m) {
            least = std::isnan(elev_m) ? least : std::min(least, elev_m);
            most = std::isnan(elev_m) ? most : std::max(most, elev_m);
        }
        if (!(least < most)) {
            return;
        }
        m_step_m = contour_step(most - least, m_units);
        const RasterPatch patch{CellRange{0, grid.rows, 0, grid.cols}, ground.elev_m};
        for (const Contour& contour : all_contours(grid, patch, m_step_m)) {
            const auto line = m_frame.line(contour.line);
            m_svg.line(line, {.stroke = "#b08d57", .width = 0.2});
            label_contour(contour, line);
        }
    }
    // As many as tell the round steps apart: of 0.25 two, of 0.5 one, of 1 and more none.
    [[nodiscard]] int step_decimals() const {
        const double step = QuantityText(m_units).shown("m", m_step_m);
        return step < 0.3 ? 2 : step < 0.9 ? 1 : 0;
    }
    // The height stands on the longer lines, in their middle.
    void label_contour(const Contour& contour, const std::vector<Point>& line) {
        constexpr std::size_t kLeastPoints = 12;
        if (line.size() < kLeastPoints) {
            return;
        }
        const QuantityText text(m_units);
        const Point middle = line[line.size() / 2];
        const std::string height = fmt::format("{:.{}f}", text.shown("m", contour.level), step_decimals());
        // A letter's room on either side, so that two numbers do not read as one.
        if (const auto base = m_room.beside(middle, height + "  ", 2.2, 0.0)) {
            m_heights.push_back({{base->x + text_width(" ", 2.2), base->y}, height});
        }
    }
    void draw_garden() {
        const double half = m_map.garden_cell_m / 2.0;
        for (const GardenSpot& spot : m_map.garden) {
            const Point north_west = m_frame.to_page({spot.middle.x - half, spot.middle.y + half});
            const Point south_east = m_frame.to_page({spot.middle.x + half, spot.middle.y - half});
            m_svg.box({north_west.x, north_west.y, south_east.x - north_west.x, south_east.y - north_west.y},
                      {.fill = "#cfe3c0"});
        }
    }
    void draw_exclusions() {
        const Pen pen{.stroke = colour::kPurple, .width = 0.3, .dash = "1 1"};
        for (const MultiPolygon& area : m_map.exclusions) {
            m_svg.area(m_frame.rings(area), pen);
        }
        for (const Line& line : m_map.exclusion_lines) {
            if (line.front() == line.back() && line.size() == 2) {
                m_svg.circle(m_frame.to_page(line.front()), 0.8, pen);
            } else {
                m_svg.line(m_frame.line(line), pen);
            }
        }
    }
    void draw_surroundings() {
        draw_exclusions();
        for (const Line& road : m_map.roads) {
            m_svg.line(m_frame.line(road), {.stroke = "#9a9a9a", .width = 0.9});
        }
        for (const Line& stream : m_map.streams) {
            m_svg.line(m_frame.line(stream), {.stroke = colour::kSkyBlue, .width = 0.8});
        }
        for (const MultiPolygon& other : m_map.others) {
            m_svg.area(m_frame.rings(other), {.stroke = "#9a9a9a", .width = 0.2, .fill = "#e6e6e6"});
        }
        if (!m_map.parcel.empty()) {
            m_svg.area(m_frame.rings(m_map.parcel), {.stroke = colour::kInk, .width = 0.6, .dash = "4 1.2 0.8 1.2"});
        }
    }
    void draw_property() {
        for (std::size_t i = 0; i < m_map.roofs.size(); ++i) {
            const PropertyRoof& roof = m_property.roofs.at(i);
            m_svg.area(m_frame.rings(m_map.roofs[i]),
                       {.stroke = colour::kInk, .width = 0.4, .fill = roof.connected ? "#f2c9a1" : "#ffffff"},
                       "roof " + roof.roof_id);
        }
        for (const Line& line : m_map.fill_lines) {
            m_svg.line(m_frame.line(line), {.stroke = colour::kBlue, .width = 0.7});
        }
        if (m_map.pad && m_map.use_point) {
            m_svg.line({m_frame.to_page(*m_map.pad), m_frame.to_page(*m_map.use_point)},
                       {.stroke = "#117733", .width = 0.7, .dash = "2 1"});
        }
        for (const Point& tank : m_map.tanks) {
            m_svg.circle(m_frame.to_page(tank), m_map.tank_radius_m / m_frame.metres_per_mm(),
                         {.stroke = "#4d3b1f", .width = 0.4, .fill = "#c2a878", .fill_opacity = 0.8});
        }
        if (m_map.use_point) {
            m_svg.symbol(m_frame.to_page(*m_map.use_point), Symbol::cross, 3.4, {.stroke = colour::kInk, .width = 0.6});
        }
        for (const PlacedLabel& height : m_heights) {
            m_svg.text(height.base, height.word, {.size = 2.2, .fill = "#6b4f1d", .halo = true});
        }
        for (const PlacedLabel& label : m_labels) {
            m_svg.text(label.base, label.word, {.size = kLetterMm, .bold = true, .halo = true});
        }
    }
    struct PlacedLabel {
        Point base;
        std::string word;
    };
    [[nodiscard]] PageBox box_around(const Box& metres) const {
        const Point north_west = m_frame.to_page({metres.x_min, metres.y_max});
        const Point south_east = m_frame.to_page({metres.x_max, metres.y_min});
        return {north_west.x, north_west.y, south_east.x - north_west.x, south_east.y - north_west.y};
    }
    [[nodiscard]] double tank_mm() const { return m_map.tank_radius_m / m_frame.metres_per_mm(); }
    // What no number of a contour may hide, and then the words, before the numbers take the room.
    void place_labels() {
        const PageBox& window = m_frame.window();
        m_room.take({window.right() - 14.0, window.y, 14.0, 16.0});   // arrow
        m_room.take({window.x, window.bottom() - 11.0, 50.0, 11.0});  // scale bar
        for (const Point& tank : m_map.tanks) {
            const Point middle = m_frame.to_page(tank);
            m_room.take({middle.x - tank_mm(), middle.y - tank_mm(), 2.0 * tank_mm(), 2.0 * tank_mm()});
        }
        const LabelRoom without_roofs = m_room;
        for (const MultiPolygon& roof : m_map.roofs) {
            if (!roof.empty()) {
                m_room.take(box_around(bounds(roof)));
            }
        }
        LabelRoom crowded = without_roofs;  // for a word that finds no place off the roofs
        label("tanks", m_map.pad, crowded);
        label(m_property.pad && m_property.pad->use_assumed ? "water is used here (assumed)" : "water is used here",
              m_map.use_point, crowded);
    }
    void label(std::string_view word, const std::optional<Point>& place, LabelRoom& crowded) {
        if (!place) {
            return;
        }
        const Point at = m_frame.to_page(*place);
        for (LabelRoom* const room : {&m_room, &crowded}) {
            for (const double more : {1.0, 4.0, 8.0}) {
                if (const auto base = room->beside(at, word, kLetterMm, tank_mm() + more)) {
                    m_labels.push_back({*base, std::string(word)});
                    const PageBox taken{base->x, base->y - kLetterMm, text_width(word, kLetterMm), kLetterMm + 1.0};
                    m_room.take(taken);
                    crowded.take(taken);
                    return;
                }
            }
        }
    }
    void draw_furniture() {
        constexpr double kMostBarMm = 45.0;
        const LengthSystem system = m_units == OutputUnits::us ? LengthSystem::us : LengthSystem::metric;
        const PageBox& window = m_frame.window();
        draw_scale_bar(m_svg, scale_bar(m_frame.metres_per_mm(), kMostBarMm, system),
                       {window.x + 4.0, window.bottom() - 4.0});
        draw_north_arrow(m_svg, {window.right() - 8.0, window.y + 3.0}, 11.0);
    }
    void draw_legend() {
        Legend legend(m_svg, m_frame.window().bottom() + 1.5);
        legend.stroke("boundary", {.stroke = colour::kInk, .width = 0.6, .dash = "4 1.2 0.8 1.2"});
        legend.swatch("roof that fills the tanks", {.stroke = colour::kInk, .width = 0.4, .fill = "#f2c9a1"});
        legend.swatch("other roof here", {.stroke = colour::kInk, .width = 0.4, .fill = "#ffffff"});
        legend.swatch("ground of the tanks, to scale", {.stroke = "#4d3b1f", .width = 0.4, .fill = "#c2a878"});
        legend.stroke("pipe from the gutter", {.stroke = colour::kBlue, .width = 0.7});
        legend.stroke("pipe to the garden", {.stroke = "#117733", .width = 0.7, .dash = "2 1"});
        if (!m_map.garden.empty()) {
            legend.swatch("ground that could be watered", {.fill = "#cfe3c0"});
        }
        if (!m_map.others.empty()) {
            legend.swatch("roof of others", {.stroke = "#9a9a9a", .width = 0.2, .fill = "#e6e6e6"});
        }
        if (!m_map.roads.empty()) {
            legend.stroke("road", {.stroke = "#9a9a9a", .width = 0.9});
        }
        if (!m_map.streams.empty()) {
            legend.stroke("stream", {.stroke = colour::kSkyBlue, .width = 0.8});
        }
        if (!m_map.exclusions.empty() || !m_map.exclusion_lines.empty()) {
            legend.stroke("kept free", {.stroke = colour::kPurple, .width = 0.3, .dash = "1 1"});
        }
        if (m_step_m > 0.0) {
            legend.stroke("line of equal height, each " + QuantityText(m_units).plain("m", m_step_m),
                          {.stroke = "#b08d57", .width = 0.2});
        }
        m_svg.set_height(legend.bottom() + 1.0);
    }

    const Property& m_property;
    const PropertyMap& m_map;
    OutputUnits m_units;
    MapFrame m_frame;
    Svg m_svg;
    LabelRoom m_room;
    std::vector<PlacedLabel> m_labels;
    std::vector<PlacedLabel> m_heights;  // of contours
    double m_step_m = 0.0;
};

}  // namespace

std::string map_drawing(const Property& property, OutputUnits units, double height_mm) {
    return PropertyPlan(property, units, height_mm).element();
}

}  // namespace eaveshed
