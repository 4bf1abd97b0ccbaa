#include "eaveshed/report/public_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "eaveshed/core/error.hpp"
#include "eaveshed/drawing/colours.hpp"
#include "eaveshed/drawing/marked_text.hpp"
#include "eaveshed/drawing/picture.hpp"
#include "eaveshed/drawing/ticks.hpp"
#include "eaveshed/page/page_frame.hpp"
#include "eaveshed/page/page_values.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/report/basin_map.hpp"
#include "eaveshed/report/basin_page.hpp"
#include "eaveshed/report/public_sums.hpp"
#include "eaveshed/summary/statements.hpp"
#include "public_template.hpp"

namespace eaveshed {

namespace {

constexpr const char* kJoined = "several small parts together";

class PublicPage {
public:
    PublicPage(const BasinRows& rows, const BasinShapes& shapes)
        : m_rows(rows),
          m_facts(rows.facts),
          m_shapes(shapes),
          m_units(rows.facts.settings.output.units),
          m_asked(rows.can_be_asked()) {}

    [[nodiscard]] std::string html() const {
        PageValues page;
        page.text("THINGS", m_facts.of_parcels() ? "parcels" : "roofs");
        page.text("LEAST", std::to_string(kLeastOfACell));
        page.text("UNIT_VOLUME", m_units.unit("m3"));
        page.text("UNIT_FLOW", m_units.unit("L/s"));
        page.text("NO_DESIGN", kNoDesign);
        page.text("VERSION", m_facts.record.text("program.version"));
        page.text("VOLUMES", volumes_sentence(m_facts));
        fill_figure(page);
        fill_parts(page);
        fill_map(page);
        fill_gain(page);
        fill_basis(page);
        return framed_page(kPublicTemplate, basin_title(m_facts), page);
    }

private:
    void fill_figure(PageValues& page) const {
        const HeadlineSum creek = m_facts.headline(to_text(HeadlinePart::creek));
        if (creek.number < kLeastOfACell) {
            return;
        }
        PageValues figure = page.add("FIGURE");
        figure.text("MONTHS", month_words(m_facts));
        figure.text("FIGURE_FLOW", fmt::format("{} {}", m_units.entry("L/s", creek.felt_lps), m_units.unit("L/s")));
        figure.text("FIGURE_VOLUME", fmt::format("{} {}", m_units.entry("m3", creek.felt_m3), m_units.unit("m3")));
        figure.text("FIGURE_NUMBER", fmt::format("{} {}", creek.number, m_facts.of_parcels() ? "parcels" : "roofs"));
    }
    void add_part(PageValues& page, const HeadlineLine& line, std::string_view row_class) const {
        PageValues part = page.add("PART");
        part.text("PART_CLASS", row_class);
        part.text("PART_NAME", line.name);
        part.text("PART_NUMBER", line.number);
        part.text("PART_REPLACED", line.replaced);
        part.text("PART_FELT", line.felt);
        part.text("PART_FLOW", line.flow);
    }
    void fill_parts(PageValues& page) const {
        std::vector<PublicPart> parts;
        for (const Term& term : terms_of<HeadlinePart>()) {
            const HeadlineSum sum = m_facts.headline(term.name);
            parts.push_back({std::string(term.name), sum.number, {sum.forbearance_m3, sum.felt_m3, sum.felt_lps}});
        }
        for (const PublicPart& part : joined_parts(parts, kJoined)) {
            const auto known = from_text<HeadlinePart>(part.name);
            const HeadlineSum sum{part.number, part.sums[0], part.sums[1], part.sums[2]};
            add_part(page,
                     headline_line(m_facts, known ? term_of(*known).meaning : std::string_view(part.name), sum,
                                   felt_known(m_facts, part.name)),
                     "one");
        }
        add_part(page, headline_line(m_facts, "all", m_facts.headline("all"), any_felt_known(m_facts)), "all");
    }
    void fill_map(PageValues& page) const;
    [[nodiscard]] std::string map_of(const PublicGrid& grid, const MapFrame& frame) const;
    [[nodiscard]] std::vector<AddedSum> told_groups(const std::vector<AddedSum>& groups) const {
        std::vector<PublicPart> parts;
        parts.reserve(groups.size());
        for (const AddedSum& group : groups) {
            parts.push_back({group.name, group.number, {group.added_m3, group.added_lps}});
        }
        std::vector<AddedSum> told;
        for (const PublicPart& part : joined_parts(parts, kJoined)) {
            const auto same = std::ranges::find(groups, part.name, &AddedSum::name);
            told.push_back({part.name, part.number, part.sums[0], part.sums[1],
                            same == groups.end() ? any_felt_known(m_facts) : same->felt_known});
        }
        return told;
    }
    static void add_drawing(PageValues& page, std::string_view part, std::string_view name,
                            const std::string& element) {
        if (!element.empty()) {
            page.add(part).markup(name, Markup(element));
        }
    }
    void fill_gain(PageValues& page) const {
        // Where it begins it tells what is enrolled already.
        if (may_be_told(m_rows.enrolment.enrolled)) {
            add_drawing(page, "BY_COST", "MARKUP_BY_COST", cost_chart(m_rows, public_curve(gain_by_cost(m_rows))));
        }
        add_drawing(page, "BY_NUMBER", "MARKUP_BY_NUMBER", number_chart(m_rows, public_curve(gain_by_number(m_rows))));
        const std::string each = "What those that can be asked would add in a season, and what the creek feels of it.";
        if (m_facts.of_parcels()) {
            add_drawing(page, "BY_SOURCE", "MARKUP_BY_SOURCE",
                        group_bars(m_rows, {.id = "by-source", .title = "By water source", .description = each},
                                   told_groups(by_source(m_rows))));
        }
        add_drawing(page, "BY_DELIVERY", "MARKUP_BY_DELIVERY",
                    group_bars(m_rows, {.id = "by-delivery", .title = "By delivery", .description = each},
                               told_groups(by_delivery(m_rows))));
    }
    void fill_basis(PageValues& page) const {
        const auto dependable = m_facts.record.number("sum.harvest_dependable_m3");
        page.text("ROOFS",
                  fmt::format("{} roofs were computed. Their winter harvest: {} {} in a mean winter, {} dependably "
                              "(roof by roof).",
                              m_facts.record.count("count.status.ok"),
                              m_units.entry("m3", m_facts.record.number("sum.harvest_mean_m3")), m_units.unit("m3"),
                              m_units.entry("m3", dependable)));
        // The rain and the elevations; what follows them is for those who have the file.
        const std::vector<std::string> sentences = basis_sentences(m_facts);
        for (std::size_t i = 0; i < std::min<std::size_t>(2, sentences.size()); ++i) {
            page.text_part("BASIS_SENTENCE", "BASIS_TEXT", sentences[i]);
        }
    }

    const BasinRows& m_rows;
    const SummaryFacts& m_facts;
    const BasinShapes& m_shapes;
    QuantityText m_units;
    std::vector<const PlaceRow*> m_asked;
};

// Classes of a sum: from 0 in equal round steps.
struct SumClasses {
    double step = 1.0;
    int decimals = 0;

    [[nodiscard]] std::size_t of(double sum) const {
        const auto number = static_cast<std::size_t>(std::max(0.0, sum / step));
        return std::min(number, colour::kSequence.size() - 1);
    }
};

SumClasses classes_of(const PublicGrid& grid) {
    double most = 0.0;
    for (const PublicCell& cell : grid.cells) {
        most = std::max(most, cell.sum);
    }
    const Ticks ticks = round_ticks(0.0, most, 2);
    return {ticks.step, ticks.decimals};
}

// Light for little: what is most stands out on paper.
const char* fill_of(std::size_t number) {
    return colour::kSequence.at(colour::kSequence.size() - 1 - number);
}

std::vector<Point> page_corners(const MapFrame& frame, const Box& box) {
    return frame.line({{box.x_min, box.y_min}, {box.x_min, box.y_max}, {box.x_max, box.y_max}, {box.x_max, box.y_min}});
}

void PublicPage::fill_map(PageValues& page) const {
    constexpr double kLeastSide_m = 100.0;
    const Box extent = extent_of(m_rows, m_shapes);
    if (extent.empty()) {
        return;
    }
    std::vector<Point> places;
    std::vector<double> values;
    const bool by_flow = any_felt_known(m_facts);
    for (const PlaceRow* const place : m_asked) {
        const MultiPolygon& outline = m_shapes.outlines[static_cast<std::size_t>(place - m_rows.places.data())];
        if (!outline.empty()) {
            places.push_back(bounds(outline).middle());
            values.push_back(by_flow ? m_units.shown("L/s", place->added_lps.value_or(0.0))
                                     : m_units.shown("m3", place->added_m3.value_or(0.0)));
        }
    }
    const PublicGrid grid = public_grid(places, values, unit_lengths(m_shapes.crs, extent.middle()), kLeastSide_m);
    if (grid.cells.empty()) {
        return;
    }
    Box shown;
    for (const PublicCell& cell : grid.cells) {
        shown.add(cell.box);
    }
    PageValues part = page.add("MAP");
    part.markup("MARKUP_MAP", Markup(map_of(grid, basin_frame(shown, m_shapes.crs))));
    part.text("MAP_TEXT",
              fmt::format("Squares with sides of {}; the number in each is how many {} in it can be asked.{}",
                          m_units.text("m", grid.side_m), m_facts.of_parcels() ? "parcels" : "roofs",
                          grid.left_out == 0
                              ? std::string()
                              : fmt::format(" {} more lie in squares with too few to be shown.", grid.left_out)));
}

std::string PublicPage::map_of(const PublicGrid& grid, const MapFrame& frame) const {
    constexpr double kLetters = 2.8;
    const bool by_flow = any_felt_known(m_facts);
    const std::string_view unit = m_units.unit(by_flow ? "L/s" : "m3");
    const PageBox& window = frame.window();
    Svg svg({.id = "map",
             .title = "Map of the basin in squares",
             .description =
                 "What those that can be asked would add together, square by square; none with fewer than five."},
            window.width, window.height + 20.0);
    const SumClasses classes = classes_of(grid);
    svg.open_clip(window);
    if (m_shapes.relief) {
        svg.picture(window, png_uri(relief_picture(*m_shapes.relief, frame, m_shapes.crs, 4.0)));
    }
    for (const PublicCell& cell : grid.cells) {
        svg.area({page_corners(frame, cell.box)},
                 {.stroke = "#ffffff", .width = 0.2, .fill = fill_of(classes.of(cell.sum)), .fill_opacity = 0.75});
    }
    for (const Line& stream : m_shapes.streams) {
        svg.line(frame.line(stream), {.stroke = colour::kBlue, .width = 0.4});
    }
    std::array<bool, colour::kSequence.size()> used{};
    for (const PublicCell& cell : grid.cells) {
        used.at(classes.of(cell.sum)) = true;
        const Point corner = frame.to_page({cell.box.x_min, cell.box.y_max});
        const Point other = frame.to_page({cell.box.x_max, cell.box.y_min});
        const std::string number = std::to_string(cell.number);
        if (text_width(number, kLetters) < other.x - corner.x && kLetters < other.y - corner.y) {
            svg.text({(corner.x + other.x) / 2.0, (corner.y + other.y) / 2.0 + 0.3 * kLetters}, number,
                     {.size = kLetters, .anchor = Anchor::middle, .halo = true});
        }
    }
    const LengthSystem system =
        m_facts.settings.output.units == OutputUnits::us ? LengthSystem::us : LengthSystem::metric;
    draw_scale_bar(svg, scale_bar(frame.metres_per_mm(), window.width / 4.0, system), {4.0, window.bottom() - 4.0});
    draw_north_arrow(svg, {window.right() - 6.0, window.y + 4.0}, 13.0);
    svg.close();
    svg.box(window, {.stroke = colour::kInk, .width = 0.25});
    Legend legend(svg, window.bottom() + 1.5);
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used.at(i)) {
            continue;
        }
        const double from = static_cast<double>(i) * classes.step;
        const bool last = i + 1 == colour::kSequence.size();
        legend.swatch(last ? fmt::format("{:.{}f} {} and more", from, classes.decimals, unit)
                           : fmt::format("{:.{}f} to {:.{}f} {}", from, classes.decimals, from + classes.step,
                                         classes.decimals, unit),
                      {.fill = fill_of(i), .fill_opacity = 0.75});
    }
    if (!m_shapes.streams.empty()) {
        legend.stroke("stream", {.stroke = colour::kBlue, .width = 0.4});
    }
    svg.set_height(legend.bottom() + 0.5);
    return svg.element();
}

}  // namespace

std::string public_page(const BasinRows& rows, const BasinShapes& shapes) {
    const std::size_t number = rows.can_be_asked().size();
    if (number < kLeastOfACell || rows.facts.headline("all").number < kLeastOfACell) {
        throw input_error(rows.facts.file(), fmt::format("{} that can be asked", number),
                          fmt::format("at least {}, so that no sum tells of one alone", kLeastOfACell),
                          "leave --public out, and show the page to those who may see single parcels");
    }
    return PublicPage(rows, shapes).html();
}

}  // namespace eaveshed
