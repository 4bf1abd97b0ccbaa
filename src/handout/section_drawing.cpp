#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "eaveshed/drawing/colours.hpp"
#include "eaveshed/drawing/labels.hpp"
#include "eaveshed/drawing/marked_text.hpp"
#include "eaveshed/drawing/svg.hpp"
#include "property_drawings.hpp"

namespace eaveshed {

namespace {

constexpr PageBox kProfile{14.0, 5.0, 160.0, 43.0};  // of the drawing, mm
constexpr double kSectionWidthMm = 178.0;
constexpr double kSectionHeightMm = 52.0;
constexpr double kSectionLettersMm = 2.8;

// Tanks that are seen beside each other from the side: of a row, which lies across the way, one; of a cluster as many
// as its circle, which holds the margin around them too, is wide.
double seen_beside(const PropertyPad& pad) {
    const double count = static_cast<double>(pad.row.tank_count.value_or(1));
    const bool cluster = pad.row.arrangement == Arrangement::cluster && count > 1.0 && pad.tank.diameter_m > 0.0;
    return cluster ? std::clamp(std::floor(2.0 * pad.row.pad_radius_m.value_or(0.0) / pad.tank.diameter_m), 1.0, count)
                   : 1.0;
}

// The heights of a section on paper.
class ProfileFrame {
public:
    // `half_m`: of the tanks' width, which lies within the drawing too.
    ProfileFrame(const PropertySection& section, double half_m)
        : m_length_m(std::max({1.0, section.use_m, section.pad_m + half_m})) {
        m_low_m = std::min({section.use_elev_m, section.tank_base_elev_m});
        m_high_m = std::max({section.gutter_elev_m, section.tank_top_elev_m, section.tap_elev_m});
        for (const GroundPoint& point : section.ground) {
            m_low_m = std::min(m_low_m, point.elev_m.value_or(m_low_m));
            m_high_m = std::max(m_high_m, point.elev_m.value_or(m_high_m));
        }
        const double room = std::max(0.5, 0.06 * (m_high_m - m_low_m));
        m_low_m -= room;
        m_high_m += room;
    }
    [[nodiscard]] double x(double distance_m) const {
        constexpr double kRoofMm = 12.0;  // room for the roof before the first point
        return kProfile.x + kRoofMm + distance_m / m_length_m * (kProfile.width - 2.0 * kRoofMm);
    }
    [[nodiscard]] double y(double elev_m) const {
        return kProfile.bottom() - (elev_m - m_low_m) / (m_high_m - m_low_m) * kProfile.height;
    }
    [[nodiscard]] Point at(double distance_m, double elev_m) const { return {x(distance_m), y(elev_m)}; }
    [[nodiscard]] double low_m() const { return m_low_m; }
    // How many times larger heights are drawn than lengths.
    [[nodiscard]] double exaggeration() const {
        return (kProfile.height / (m_high_m - m_low_m)) / ((x(m_length_m) - x(0.0)) / m_length_m);
    }

private:
    double m_length_m;
    double m_low_m = 0.0;
    double m_high_m = 0.0;
};

class SectionPicture {
public:
    SectionPicture(const Property& property, OutputUnits units)
        : m_section(*property.section),
          m_pad(*property.pad),
          m_beside(seen_beside(m_pad)),
          m_frame(m_section, m_beside * m_pad.tank.diameter_m / 2.0),
          m_text(units),
          m_svg(
              {.id = "profile",
               .title = "Roof, tank and garden in profile",
               .description = "The ground from the roof past the tank to where the water is used, with the heights of "
                              "gutter, water and tap."},
              kSectionWidthMm, kSectionHeightMm),
          m_room({0.0, 0.0, kSectionWidthMm, kSectionHeightMm}) {}

    SectionDrawing drawing() {
        find_tanks();
        draw_ground();
        draw_roof();
        draw_tanks();
        draw_lines();
        draw_heights();
        std::string caption =
            fmt::format("Heights are drawn {:.1f} times as large as lengths.", m_frame.exaggeration());
        if (tap_is_aside()) {
            caption += " The place of use lies under the tanks: the tap is drawn beside them.";
        }
        return {m_svg.element(), caption};
    }

private:
    // What the tanks take of the drawing.
    void find_tanks() {
        const double half_m = m_beside * m_pad.tank.diameter_m / 2.0;
        const double left = m_frame.x(m_section.pad_m - half_m);
        const double right = std::max(left + 2.0, m_frame.x(m_section.pad_m + half_m));
        const double top = m_frame.y(m_section.tank_top_elev_m);
        m_tanks = {left, top, right - left, m_frame.y(m_section.tank_base_elev_m) - top};
    }
    [[nodiscard]] bool tap_is_aside() const {
        constexpr double kBesideMm = 0.5;
        return m_frame.x(m_section.use_m) < m_tanks.right() + kBesideMm;
    }
    [[nodiscard]] double tap_x() const {
        constexpr double kBesideMm = 9.0;
        return tap_is_aside() ? std::min(m_tanks.right() + kBesideMm, kSectionWidthMm - 3.0)
                              : m_frame.x(m_section.use_m);
    }

    // The ground as one area down to the foot of the drawing; where its height is not known there is none.
    void draw_ground() {
        std::vector<Point> run;
        const auto finish = [&] {
            if (run.size() > 1) {
                std::vector<Point> area = run;
                area.push_back({run.back().x, kProfile.bottom()});
                area.push_back({run.front().x, kProfile.bottom()});
                area.push_back(run.front());
                m_svg.area({area}, {.fill = "#e3d3b8"});
                m_svg.line(run, {.stroke = "#6b4f1d", .width = 0.5});
                keep_free(run);
            }
            run.clear();
        };
        for (const GroundPoint& point : m_section.ground) {
            if (!point.elev_m) {
                finish();
                continue;
            }
            run.push_back(m_frame.at(point.distance_m, *point.elev_m));
        }
        finish();
    }
    void draw_roof() {
        const double gutter = m_frame.y(m_section.gutter_elev_m);
        const double x = m_frame.x(0.0);
        const double ground = m_section.ground.empty() || !m_section.ground.front().elev_m
                                  ? kProfile.bottom()
                                  : m_frame.y(*m_section.ground.front().elev_m);
        m_svg.box({x - 11.0, gutter, 10.0, std::max(0.5, ground - gutter)},
                  {.stroke = colour::kInk, .width = 0.3, .fill = "#ffffff"});
        const std::vector<Point> roof{{x, gutter}, {x - 12.0, gutter}, {x - 6.0, gutter - 5.0}, {x, gutter}};
        m_svg.area({roof}, {.stroke = colour::kInk, .width = 0.4, .fill = "#f2c9a1"});
        m_room.take({x - 12.0, gutter - 5.0, 12.0, std::max(0.5, ground - gutter) + 5.0});
    }
    void draw_tanks() {
        const auto water = [&](double to_m, const char* fill) {
            m_svg.box({m_tanks.x, m_frame.y(to_m), m_tanks.width, m_tanks.bottom() - m_frame.y(to_m)}, {.fill = fill});
        };
        water(m_section.water_full_elev_m, "#bfe1f6");
        water(m_section.water_reserve_elev_m, "#7fbce0");
        const double width = m_tanks.width / m_beside;
        for (int i = 0; i < m_beside; ++i) {
            m_svg.box({m_tanks.x + i * width, m_tanks.y, width, m_tanks.height},
                      {.stroke = colour::kInk, .width = 0.5});
        }
        m_room.take(m_tanks);
    }
    void draw_lines() {
        const std::vector<Point> fill{m_frame.at(0.0, m_section.gutter_elev_m),
                                      {m_tanks.x + m_tanks.width / 2.0, m_tanks.y}};
        m_svg.line(fill, {.stroke = colour::kBlue, .width = 0.7});
        keep_free(fill);
        const Point tap{tap_x(), m_frame.y(m_section.tap_elev_m)};
        const std::vector<Point> feed{{m_tanks.right(), m_frame.y(m_section.outlet_elev_m)}, tap};
        m_svg.line(feed, {.stroke = "#117733", .width = 0.7, .dash = "2 1"});
        keep_free(feed);
        m_svg.line({{tap.x, m_frame.y(m_section.use_elev_m)}, tap}, {.stroke = colour::kInk, .width = 0.6});
        m_svg.symbol(tap, Symbol::circle, 1.8, {.fill = colour::kInk});
    }
    // No label stands on a line: small boxes along it are taken.
    void keep_free(const std::vector<Point>& line) {
        constexpr double kStepMm = 1.5;
        constexpr double kHalfMm = 0.5;
        for (std::size_t i = 1; i < line.size(); ++i) {
            const double length = std::hypot(line[i].x - line[i - 1].x, line[i].y - line[i - 1].y);
            const int steps = std::max(1, static_cast<int>(std::ceil(length / kStepMm)));
            for (int step = 0; step <= steps; ++step) {
                const double share = static_cast<double>(step) / steps;
                m_room.take({line[i - 1].x + share * (line[i].x - line[i - 1].x) - kHalfMm,
                             line[i - 1].y + share * (line[i].y - line[i - 1].y) - kHalfMm, 2.0 * kHalfMm,
                             2.0 * kHalfMm});
            }
        }
    }
    // Near its place where there is room, else further off with a line that leads to it: no height is left out for
    // want of room nearby.
    void say(Point place, const std::string& words) {
        for (const double gap : {1.6, 4.0, 7.0, 11.0, 16.0, 22.0}) {
            if (const auto base = m_room.beside(place, words, kSectionLettersMm, gap)) {
                if (gap > 3.0) {
                    const double width = text_width(words, kSectionLettersMm);
                    const double x = std::clamp(place.x, base->x, base->x + width);
                    const double y = base->y < place.y ? base->y + 0.6 : base->y - kSectionLettersMm;
                    m_svg.line({place, {x, y}}, {.stroke = colour::kFaintInk, .width = 0.15});
                }
                m_svg.text(*base, words, {.size = kSectionLettersMm, .halo = true});
                return;
            }
        }
    }
    [[nodiscard]] std::string height(double elev_m) const { return m_text.fixed("m", elev_m, 1); }
    [[nodiscard]] std::string tap_words() const {
        const double low = m_section.pressure_reserve_kpa;
        const double full = m_section.pressure_full_kpa;
        const std::string tap = "tap " + height(m_section.tap_elev_m);
        return tap + ", " + (is_pressure(full) ? m_text.pressures(low, full) : "no pressure without a pump");
    }
    void draw_heights() {
        const double middle = m_tanks.x + m_tanks.width / 2.0;
        say({tap_x(), m_frame.y(m_section.tap_elev_m)}, tap_words());
        say(m_frame.at(0.0, m_section.gutter_elev_m), "gutter " + height(m_section.gutter_elev_m));
        say({middle, m_tanks.y}, "tank top " + height(m_section.tank_top_elev_m));
        say({middle, m_tanks.bottom()}, "pad " + height(m_section.tank_base_elev_m));
    }

    const PropertySection& m_section;
    const PropertyPad& m_pad;
    double m_beside;  // tanks seen beside each other
    ProfileFrame m_frame;
    QuantityText m_text;
    Svg m_svg;
    LabelRoom m_room;
    PageBox m_tanks;
};

}  // namespace

SectionDrawing section_drawing(const Property& property, OutputUnits units) {
    return SectionPicture(property, units).drawing();
}

}  // namespace eaveshed
