#include "eaveshed/report/basin_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "basin_list.hpp"
#include "basin_made.hpp"
#include "basin_template.hpp"
#include "eaveshed/page/page_frame.hpp"
#include "eaveshed/record/ask_first.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/report/basin_charts.hpp"
#include "eaveshed/report/basin_map.hpp"
#include "eaveshed/summary/statements.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kShownId = 40;  // bytes of an id in running text

// A sentence is a claim of its own: it begins with a large letter.
std::string sentence_case(std::string_view text) {
    std::string sentence(text);
    if (!sentence.empty() && sentence.front() >= 'a' && sentence.front() <= 'z') {
        sentence.front() = static_cast<char>(sentence.front() - 'a' + 'A');
    }
    return sentence;
}

// "a (12), b (3)": how often each word stands, the most frequent first.
std::string counts_text(const std::map<std::string, std::size_t>& counts, std::size_t most) {
    std::vector<std::pair<std::string, std::size_t>> list(counts.begin(), counts.end());
    std::ranges::stable_sort(list, std::ranges::greater{}, &std::pair<std::string, std::size_t>::second);
    std::string text;
    for (std::size_t i = 0; i < std::min(most, list.size()); ++i) {
        text += fmt::format("{}{} ({})", text.empty() ? "" : ", ", list[i].first, list[i].second);
    }
    return text;
}

class BasinPage {
public:
    explicit BasinPage(const BasinRows& rows)
        : m_rows(rows),
          m_facts(rows.facts),
          m_units(rows.facts.settings.output.units),
          m_asked(rows.can_be_asked()),
          m_things(rows.facts.of_parcels() ? "parcels" : "roofs") {}

    void fill(PageValues& page) const {
        page.text("THINGS", m_things);
        page.text("THING", m_facts.of_parcels() ? "parcel" : "roof");
        page.text("UNIT_VOLUME", m_units.unit("m3"));
        page.text("UNIT_FLOW", m_units.unit("L/s"));
        page.text("NO_DESIGN", kNoDesign);
        fill_tiles(page);
        fill_headline(page);
        fill_gain(page);
        fill_spread(page);
        fill_basis(page);
    }

private:
    static void tile(PageValues& page, std::string_view name, std::string_view figure, std::string_view text) {
        PageValues tile = page.add("TILE");
        tile.text("TILE_NAME", name);
        tile.text_part("TILE_BIG", "TILE_FIGURE", figure);
        tile.text("TILE_TEXT", text);
    }
    void fill_first_tile(PageValues& page) const {
        const HeadlineSum creek = m_facts.headline(to_text(HeadlinePart::creek));
        if (creek.number > 0) {
            tile(page, "How much", fmt::format("{} {}", m_units.entry("L/s", creek.felt_lps), m_units.unit("L/s")),
                 fmt::format(
                     "more in the creek, mean of {}, if all {} that can be asked and draw on it take part: {} {} a "
                     "season.",
                     month_words(m_facts), counted(creek.number, m_facts.of_parcels() ? "parcel" : "roof"),
                     m_units.entry("m3", creek.felt_m3), m_units.unit("m3")));
            return;
        }
        double added_m3 = 0.0;
        for (const PlaceRow* const place : m_asked) {
            added_m3 += place->added_m3.value_or(0.0);
        }
        tile(page, "How much", fmt::format("{} {}", m_units.entry("m3", added_m3), m_units.unit("m3")),
             fmt::format(
                 "could be replaced each season, beyond storage that stands already, at the {} {} that can be asked; "
                 "none of them is known to draw on the creek.",
                 m_asked.size(), m_things));
    }
    void fill_tiles(PageValues& page) const {
        fill_first_tile(page);
        if (!m_asked.empty()) {
            tile(page, m_facts.of_parcels() ? "Whom to call first" : "Largest first, no ranking",
                 printable(m_asked.front()->id, kShownId), next_places_text());
        }
        tile(page, "How sure", "", sure_text());
        tile(page, "What limits it", "", limits_text());
        if (const std::string questions = questions_text(); !questions.empty()) {
            tile(page, "What to ask", "", questions);
        }
        tile(page, "What it rests on", "", rests_text());
    }
    [[nodiscard]] std::string next_places_text() const {
        constexpr std::size_t kNext = 5;
        std::string text;
        for (std::size_t i = 1; i < std::min(kNext, m_asked.size()); ++i) {
            text += fmt::format("{}{}", text.empty() ? "then " : ", ", printable(m_asked[i]->id, kShownId));
        }
        text += text.empty() ? "" : ". ";
        if (m_facts.of_parcels()) {
            return text +
                   fmt::format("The list holds all {} that can be asked, with the reason to call.", m_asked.size());
        }
        // Equal to the last figure: in the order of the file.
        const auto ties = static_cast<std::size_t>(std::ranges::count_if(
            m_asked, [&](const PlaceRow* place) { return place->list_key() == m_asked.front()->list_key(); }));
        if (ties > 1) {
            text += fmt::format("{} are equally large, in the order of the file. ", counted(ties, "roof"));
        }
        return text + "Without parcels nobody is ranked: each roof is taken for a household, a barn or a church too.";
    }
    [[nodiscard]] std::string sure_text() const {
        std::size_t first = 0;
        std::size_t steady = 0;
        constexpr double kSteady = 0.8;
        const bool says = steadiness_says(m_facts, m_asked.size());
        for (const PlaceRow* const place : m_asked) {
            if (says && place->rank && *place->rank <= m_facts.settings.rank.top && place->rank_stability) {
                ++first;
                steady += *place->rank_stability >= kSteady ? 1U : 0U;
            }
        }
        std::string text;
        if (first > 0) {
            text = fmt::format(
                "{} of the first {} stay among them in at least {:.0f} % of {} draws of what is uncertain. ", steady,
                first, 100.0 * kSteady, m_facts.settings.rank.draws);
        }
        const auto gravity = m_facts.record.counts<GravityCheck>("count.candidates.gravity_check.");
        const auto of = [&](GravityCheck check) { return gravity.at(static_cast<std::size_t>(check)); };
        return text + fmt::format(
                          "That gravity alone fills and feeds is certain at {}, out of the question at {}, open "
                          "at {}.",
                          of(GravityCheck::yes), of(GravityCheck::no), of(GravityCheck::cannot_tell));
    }
    [[nodiscard]] std::string limits_text() const {
        PerTerm<LimitedBy, std::size_t> counts{};
        for (const PlaceRow* const place : m_asked) {
            if (place->limited_by) {
                ++counts.at(static_cast<std::size_t>(*place->limited_by));
            }
        }
        const auto of = [&](LimitedBy by) { return counts.at(static_cast<std::size_t>(by)); };
        const HeadlineSum no_place = m_facts.headline(to_text(HeadlinePart::no_place));
        return fmt::format(
            "At {} the season's need is met whole; at {} a larger tank would replace more, at {} more roof. {} have no "
            "place for a tank.",
            of(LimitedBy::demand), of(LimitedBy::tank), of(LimitedBy::roof), no_place.number);
    }
    // The first question of each, up to where its own numbers begin.
    [[nodiscard]] std::string questions_text() const {
        constexpr std::size_t kShown = 3;
        std::map<std::string, std::size_t> questions;
        for (const PlaceRow* const place : m_asked) {
            const std::string question = first_question(place->ask_first);
            if (const std::string_view subject = subject_of(question); !subject.empty()) {
                ++questions[std::string(subject)];
            }
        }
        std::string text = counts_text(questions, kShown);
        return text.empty()
                   ? text
                   : fmt::format("First of all, by how many: {}. The list says what each answer would change.", text);
    }
    [[nodiscard]] std::string rests_text() const {
        constexpr std::size_t kShown = 2;
        std::string text;
        const std::vector<BasisLine> lines = basis_lines(m_facts);
        for (std::size_t i = 0; i < std::min(kShown, lines.size()); ++i) {
            text += sentence_case(fmt::format("{}: {} of the roofs. ", lines[i].what, lines[i].roofs));
        }
        return text.empty() ? std::string("Data, wherever the method asks for them.") : text + "More below.";
    }
    void fill_headline(PageValues& page) const {
        page.text("FELT", felt_sentence(m_facts));
        page.text("VOLUMES", volumes_sentence(m_facts));
        const std::vector<HeadlineLine> lines = headline_lines(m_facts);
        for (const HeadlineLine& line : lines) {
            PageValues part = page.add("PART");
            part.text("PART_CLASS", &line == &lines.back() ? "all" : "one");
            part.text("PART_NAME", line.name);
            part.text("PART_NUMBER", line.number);
            part.text("PART_REPLACED", line.replaced);
            part.text("PART_FELT", line.felt);
            part.text("PART_FLOW", line.flow);
        }
        page.text_part("REMAINDER", "REMAINDER_TEXT", remainder_sentence(m_facts));
        page.text_part("DELIVERY", "DELIVERY_TEXT", delivery_sentence(m_facts));
        page.text("ROOFS", roofs_sentence(m_facts));
    }
    static void chart_part(PageValues& page, std::string_view part, std::string_view name, const std::string& element) {
        if (!element.empty()) {
            page.add(part).markup(name, Markup(element));
        }
    }
    void fill_gain(PageValues& page) const {
        const GainCurve by_cost = gain_by_cost(m_rows);
        if (const std::string chart = cost_chart(m_rows, by_cost); !chart.empty()) {
            PageValues part = page.add("BY_COST");
            part.markup("MARKUP_BY_COST", Markup(chart));
            part.text("BY_COST_TEXT", cost_curve_text(by_cost));
        } else {
            page.text_part("NO_COST", "NO_COST_TEXT",
                           m_facts.of_parcels()
                               ? "What the gain costs is not told: no parcel that would add to the creek "
                                 "has a price for all its parts."
                               : "");
        }
        const GainCurve by_number = gain_by_number(m_rows);
        if (const std::string chart = number_chart(m_rows, by_number); !chart.empty()) {
            PageValues part = page.add("BY_NUMBER");
            part.markup("MARKUP_BY_NUMBER", Markup(chart));
            part.text("BY_NUMBER_TEXT", half_text(by_number));
        }
        const std::string each = fmt::format(
            "What the {} that can be asked would add in a season, beyond storage that stands already, and what "
            "the creek feels of it.",
            m_things);
        if (m_facts.of_parcels()) {
            chart_part(page, "BY_SOURCE", "MARKUP_BY_SOURCE",
                       group_bars(m_rows, {.id = "by-source", .title = "By water source", .description = each},
                                  by_source(m_rows)));
        }
        chart_part(page, "BY_DELIVERY", "MARKUP_BY_DELIVERY",
                   group_bars(m_rows, {.id = "by-delivery", .title = "By delivery", .description = each},
                              by_delivery(m_rows)));
        page.text("GROUPS_TEXT", each);
    }
    [[nodiscard]] std::string cost_curve_text(const GainCurve& curve) const {
        std::string text =
            "Whoever gives most for the money joins first, with the size that does: smaller or larger than the "
            "recommended one of the other chart, so that the ends differ. ";
        if (m_rows.enrolment.enrolled_gain > 0.0) {
            text += fmt::format("The {} enrolled already are in neither. ",
                                m_units.text("L/s", m_rows.enrolment.enrolled_gain));
        }
        const std::size_t without = m_asked.size() - std::min(m_asked.size(), curve.joined.back());
        if (without > 0) {
            text += fmt::format("{} without a price or a gain are not in it. ", counted(without, "parcel"));
        }
        return text + "The plan for a budget names them (eaveshed enrol).";
    }
    // How many it takes to half of the whole gain.
    [[nodiscard]] std::string half_text(const GainCurve& curve) const {
        const double whole = curve.points.back().y;
        const auto half =
            std::ranges::find_if(curve.points, [&](const Point& point) { return point.y >= 0.5 * whole; });
        return fmt::format(
            "In the order of the list, each with its recommended size. The first {:.0f} of {} bring half "
            "of {}.",
            half->x, curve.joined.back(), m_units.text("L/s", whole));
    }
    void fill_spread(PageValues& page) const {
        chart_part(page, "VOLUMES_CHART", "MARKUP_VOLUMES", volume_histogram(m_rows));
        chart_part(page, "GRAVITY_CHART", "MARKUP_GRAVITY", gravity_bars(m_rows));
        page.text_part("SURE", "SURE_TEXT", m_asked.empty() ? std::string() : sure_text());
        if (m_rows.scenarios.empty()) {
            return;
        }
        PageValues part = page.add("SCENARIOS");
        for (const ScenarioSum& sum : m_rows.scenarios) {
            PageValues line = part.add("SCENARIO");
            line.text("SCENARIO_NAME", sum.name);
            line.text("SCENARIO_NOW", m_units.entry("m3", sum.now_m3));
            line.text("SCENARIO_THEN", m_units.entry("m3", sum.then_m3));
            line.text("SCENARIO_ADDED", m_units.entry("m3", sum.added_m3));
            line.text("SCENARIO_FLOW", m_units.entry("L/s", sum.added_lps));
        }
    }
    void fill_basis(PageValues& page) const {
        const std::vector<BasisLine> lines = basis_lines(m_facts);
        if (!lines.empty()) {
            PageValues basis = page.add("BASIS");
            basis.text("BASIS_SHARES", sentence_case(basis_shares_sentence()));
            for (const BasisLine& line : lines) {
                PageValues entry = basis.add("BASIS_LINE");
                entry.text("BASIS_WHAT", line.what);
                entry.text("BASIS_ROOFS", line.roofs);
                entry.text("BASIS_VOLUME", line.volume);
                entry.text("BASIS_INSTEAD", line.instead);
            }
        }
        page.text_part("BASIS_SENTENCE", "BASIS_TEXT", nowhere_assumed_sentence(m_facts));
        for (const std::string& sentence : basis_sentences(m_facts)) {
            page.text_part("BASIS_SENTENCE", "BASIS_TEXT", sentence);
        }
    }

    const BasinRows& m_rows;
    const SummaryFacts& m_facts;
    QuantityText m_units;
    std::vector<const PlaceRow*> m_asked;
    std::string m_things;
};

std::string map_sentence(const BasinRows& rows) {
    const bool many = rows.can_be_asked().size() > kMostPads;
    return fmt::format("{}{} stand where the elevations leave room: a visit decides.",
                       rows.facts.of_parcels()
                           ? "Numbers are ranks. A pointer that rests on a parcel shows its name; the "
                             "names in the list lead back to the map. "
                           : "",
                       many ? fmt::format("Tanks, those of the first {} of the list,", kFirstPads) : "Tanks");
}

}  // namespace

std::string basin_title(const SummaryFacts& facts) {
    return facts.settings.basin.name.empty() ? std::string("The basin") : printable(facts.settings.basin.name, 200);
}

std::string basin_page(const BasinRows& rows, const std::string& map, const std::vector<std::string>& left_out,
                       const std::vector<RecordedInput>& inputs, const std::vector<SheetLink>& sheets) {
    PageValues page;
    BasinPage(rows).fill(page);
    fill_list(page, rows, sheets);
    if (!sheets.empty()) {
        PageValues part = page.add("SHEETS");
        for (const SheetLink& sheet : sheets) {
            PageValues one = part.add("SHEET");
            one.text("SHEET_FILE", sheet.file);
            one.text("SHEET_ID", sheet.parcel_id);
        }
    }
    if (!map.empty()) {
        PageValues part = page.add("MAP");
        part.markup("MARKUP_MAP", Markup(map));
        for (const std::string& sentence : left_out) {
            part.text_part("LEFT_OUT", "LEFT_OUT_TEXT", sentence);
        }
        part.text("MAP_TEXT", map_sentence(rows));
    }
    fill_made(page, rows.facts, inputs);
    return framed_page(kBasinTemplate, basin_title(rows.facts), page);
}

}  // namespace eaveshed
