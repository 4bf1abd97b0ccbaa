#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "eaveshed/drawing/colours.hpp"
#include "eaveshed/drawing/labels.hpp"
#include "eaveshed/drawing/svg.hpp"
#include "property_drawings.hpp"

namespace eaveshed {

namespace {

constexpr PageBox kProfile{14.0, 6.0, 160.0, 58.0};  // of the drawing, mm
constexpr double kSectionWidthMm = 178.0;
constexpr double kSectionHeightMm = 76.0;

// The heights of a section on paper.
class ProfileFrame {
public:
    explicit ProfileFrame(const PropertySection& section) : m_length_m(std::max(1.0, section.use_m)) {
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
          m_frame(m_section),
          m_text(units),
          m_svg(
              {.id = "profile",
               .title = "Roof, tank and garden in profile",
               .description = "The ground from the roof past the tank to where the water is used, with the heights of "
                              "gutter, water and tap."},
              kSectionWidthMm, kSectionHeightMm),
          m_room({0.0, 0.0, kSectionWidthMm, kSectionHeightMm}) {}

    std::string element() {
        draw_ground();
        draw_roof();
        draw_tank();
        draw_lines();
        draw_heights();
        m_svg.text(
            {kProfile.x, kSectionHeightMm - 2.5},
            fmt::format("Heights are drawn {:.1f} times as large as lengths. From roof to tank {}, from tank to tap {} "
                        "as the crow flies.",
                        m_frame.exaggeration(), m_text.plain("m", rounded(m_section.pad_m)),
                        m_text.plain("m", rounded(m_section.use_m - m_section.pad_m))),
            {.size = 2.8, .fill = colour::kFaintInk});
        return m_svg.element();
    }

private:
    static double rounded(double value) { return std::round(value * 10.0) / 10.0; }

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
    }
    void draw_tank() {
        const double half_m = m_pad.tank.diameter_m / 2.0;
        const double left = m_frame.x(m_section.pad_m - half_m);
        const double width = std::max(2.0, m_frame.x(m_section.pad_m + half_m) - left);
        const double top = m_frame.y(m_section.tank_top_elev_m);
        const double base = m_frame.y(m_section.tank_base_elev_m);
        const auto water = [&](double from_m, double to_m, const char* fill) {
            m_svg.box({left, m_frame.y(to_m), width, m_frame.y(from_m) - m_frame.y(to_m)}, {.fill = fill});
        };
        water(m_section.tank_base_elev_m, m_section.water_full_elev_m, "#bfe1f6");
        water(m_section.tank_base_elev_m, m_section.water_reserve_elev_m, "#7fbce0");
        m_svg.box({left, top, width, base - top}, {.stroke = colour::kInk, .width = 0.5});
        m_room.take({left, top, width, base - top});
    }
    void draw_lines() {
        m_svg.line({m_frame.at(0.0, m_section.gutter_elev_m), m_frame.at(m_section.pad_m, m_section.tank_top_elev_m)},
                   {.stroke = colour::kBlue, .width = 0.7});
        m_svg.line(
            {m_frame.at(m_section.pad_m, m_section.outlet_elev_m), m_frame.at(m_section.use_m, m_section.tap_elev_m)},
            {.stroke = "#117733", .width = 0.7, .dash = "2 1"});
        m_svg.line(
            {m_frame.at(m_section.use_m, m_section.use_elev_m), m_frame.at(m_section.use_m, m_section.tap_elev_m)},
            {.stroke = colour::kInk, .width = 0.6});
        m_svg.symbol(m_frame.at(m_section.use_m, m_section.tap_elev_m), Symbol::circle, 1.8, {.fill = colour::kInk});
    }
    void say(Point place, const std::string& words) {
        if (const auto base = m_room.beside(place, words, 2.8, 1.6)) {
            m_svg.text(*base, words, {.size = 2.8, .halo = true});
        }
    }
    [[nodiscard]] std::string height(double elev_m) const { return m_text.fixed("m", elev_m, 2); }
    void draw_heights() {
        say(m_frame.at(0.0, m_section.gutter_elev_m), "gutter " + height(m_section.gutter_elev_m));
        say(m_frame.at(m_section.pad_m, m_section.tank_top_elev_m), "tank top " + height(m_section.tank_top_elev_m));
        say(m_frame.at(m_section.pad_m, m_section.tank_base_elev_m), "pad " + height(m_section.tank_base_elev_m));
        say(m_frame.at(m_section.use_m, m_section.tap_elev_m),
            fmt::format("tap {}: {} to {}", height(m_section.tap_elev_m),
                        m_text.text("kPa", m_section.pressure_reserve_kpa),
                        m_text.text("kPa", m_section.pressure_full_kpa)));
    }

    const PropertySection& m_section;
    const PropertyPad& m_pad;
    ProfileFrame m_frame;
    QuantityText m_text;
    Svg m_svg;
    LabelRoom m_room;
};

}  // namespace

std::string section_drawing(const Property& property, OutputUnits units) {
    return SectionPicture(property, units).element();
}

}  // namespace eaveshed
