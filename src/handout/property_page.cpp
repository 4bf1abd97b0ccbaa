#include "eaveshed/handout/property_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/page/page_frame.hpp"
#include "eaveshed/page/page_values.hpp"
#include "eaveshed/rank/questions.hpp"
#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/words/months_text.hpp"
#include "eaveshed/words/wording.hpp"
#include "property_drawings.hpp"
#include "property_template.hpp"
#include "sheet_words.hpp"

namespace eaveshed {

namespace {

// One sheet in the making.
class PropertySheet {
public:
    PropertySheet(const Property& property, const Settings& settings, const SheetReport& report)
        : m_property(property),
          m_row(property.row),
          m_settings(settings),
          m_report(report),
          m_words(property, settings),
          m_units(settings.output.units) {}

    [[nodiscard]] std::string html() const {
        PageValues page;
        page.text("BASIN", m_settings.basin.name.empty() ? "Winter rain from roofs" : m_settings.basin.name);
        page.text_part("BACK", "BACK_FILE", m_report.basin_page);
        page.text_part("RANK", "RANK_TEXT",
                       m_report.rank ? fmt::format("no. {} of {} to call", *m_report.rank, m_report.ranked) : "");
        const std::string opening = m_words.opening();
        page.text("OPENING", opening);
        page.text("VERSION", m_report.version);
        const std::vector<SheetFigure> figures = m_words.figures();
        for (const SheetFigure& figure : figures) {
            PageValues tile = page.add("TILE");
            tile.text("TILE_NAME", figure.name);
            tile.text("TILE_VALUE", figure.value);
            tile.text_part("TILE_RANGE", "TILE_RANGE_TEXT", figure.text);
        }
        page.text_part("LIMIT", "LIMIT_TEXT", m_words.limit());
        page.text_part("HAND", "HAND_TEXT", m_property.hand_sum ? hand_sentence(*m_property.hand_sum) : "");
        const Asked asked = what_is_asked();
        fill_asked(page, asked);
        fill_plan(page, plan_height_mm(opening, figures.size(), asked));
        fill_profile(page);
        fill_years(page);
        fill_sizes(page);
        fill_notes(page);
        for (const std::string_view caution : property_cautions()) {
            page.add("CAUTION").text("CAUTION_TEXT", caution);
        }
        return framed_page(kPropertyTemplate, "Parcel " + m_property.parcel_id, page);
    }

private:
    // Questions with room for the answers, then what is looked at on site beyond them.
    struct Asked {
        std::vector<WordedQuestion> questions;
        std::vector<std::string> checks;
    };
    [[nodiscard]] Asked what_is_asked() const {
        Asked asked{worded_questions(m_property.questions, m_settings.output.units), {}};
        for (const SiteCheck& check : m_property.checks) {
            if (!check.question || std::ranges::find(asked.questions, *check.question, &WordedQuestion::question) ==
                                       asked.questions.end()) {
                asked.checks.push_back(check.text);
            }
        }
        return asked;
    }
    static void fill_asked(PageValues& page, const Asked& asked) {
        if (asked.questions.empty() && asked.checks.empty()) {
            return;
        }
        PageValues part = page.add("ASK");
        if (!asked.questions.empty()) {
            PageValues list = part.add("QUESTIONS");
            for (const WordedQuestion& question : asked.questions) {
                PageValues one = list.add("QUESTION");
                one.text("QUESTION_TEXT", question.to_owner);
                one.text("QUESTION_STAKES", question.stakes);
            }
        }
        if (!asked.checks.empty()) {
            PageValues list = part.add("CHECKS");
            for (const std::string& check : asked.checks) {
                list.add("CHECK").text("CHECK_TEXT", check);
            }
        }
    }
    // What the first page of the shorter paper (Letter) has left for the plan, by what the rest takes; where that is
    // too little the plan begins the second page, and is as large as it likes. The paper: 11 in of 25.4 mm (ANSI/ASME
    // Y14.1, size A), less twice the margin of page_frame.cpp, 14 mm. The rest: own measurement of sheets of the demo
    // basin as Chromium prints them.
    [[nodiscard]] static double plan_height_mm(const std::string& opening, std::size_t figures, const Asked& asked) {
        constexpr double kPaperMm = 251.0;
        constexpr double kSpareMm = 6.0;
        constexpr double kHeadingsMm = 21.0 + 8.0 + 5.0 + 11.0 + 30.0;  // of page, figures, limit, questions, plan
        constexpr double kTilesMm = 23.5;
        constexpr double kLineMm = 4.1;
        constexpr double kAnswerMm = 6.4;
        constexpr double kCheckMm = 4.2;  // two beside each other, two lines each
        constexpr std::size_t kLetters = 108;
        const auto lines = [](std::size_t letters) { return std::ceil(static_cast<double>(letters) / kLetters); };
        double used_mm = kHeadingsMm + kLineMm * lines(opening.size()) +
                         kTilesMm * std::ceil(static_cast<double>(figures) / 3.0) +
                         kCheckMm * 2.0 * std::ceil(static_cast<double>(asked.checks.size()) / 2.0);
        for (const WordedQuestion& question : asked.questions) {
            used_mm += kAnswerMm + kLineMm * lines(question.to_owner.size() + question.stakes.size() + 10);
        }
        constexpr double kLeastMm = 46.0;
        constexpr double kMostMm = 80.0;
        const double left_mm = kPaperMm - kSpareMm - used_mm;
        return left_mm < kLeastMm ? kMostMm : std::min(left_mm, kMostMm);
    }
    void fill_plan(PageValues& page, double height_mm) const {
        if (!m_property.map) {
            return;
        }
        PageValues plan = page.add("PLAN");
        plan.text("PLAN_NAME", m_property.pad ? "Where the tanks could stand" : "The property");
        plan.markup("MARKUP_PLAN", Markup(map_drawing(m_property, m_settings.output.units, height_mm)));
        plan.text_part("PLACE", "PLACE_TEXT", m_property.pad ? m_words.place(*m_property.pad) : "");
    }
    void fill_profile(PageValues& page) const {
        if (!m_property.section || !m_property.pad) {
            return;
        }
        PageValues profile = page.add("PROFILE");
        const SectionDrawing drawing = section_drawing(m_property, m_settings.output.units);
        profile.markup("MARKUP_PROFILE", Markup(drawing.element));
        profile.text("PROFILE_TEXT", drawing.caption + " " + m_words.profile());
        profile.text_part("FLOW", "FLOW_TEXT", m_words.lines());
    }
    void fill_years(PageValues& page) const {
        if (!m_property.water || m_property.water->years.empty()) {
            return;
        }
        PageValues part = page.add("YEARS");
        const std::vector<PropertyYear>& years = m_property.water->years;
        std::size_t number = 0;
        for (const PropertyYear& year : years) {
            PageValues one = part.add("YEAR");
            one.text("YEAR_NAME", year_words(year));
            one.markup("MARKUP_YEAR",
                       Markup(year_drawing(year, m_row.usable_m3.value_or(0.0), ++number, m_settings.output.units)));
            part.add("YEAR_HEAD").text("YEAR_HEAD_TEXT", year_short(year));
        }
        part.text("UNIT_VOLUME", m_units.unit("m3"));
        const auto line = [&](const std::string& what, double PropertyYear::*value) {
            PageValues row = part.add("YEAR_LINE");
            row.text("YEAR_WHAT", what);
            for (const PropertyYear& year : years) {
                row.add("YEAR_CELL").text("YEAR_VALUE", m_units.number("m3", year.*value));
            }
        };
        const std::string summer = months_text(m_settings.season.forbear_months);
        line(fmt::format("reaches the tanks in {}", months_text(m_settings.season.fill_months)),
             &PropertyYear::harvest_m3);
        line("runs over in the whole year, since the tanks are full", &PropertyYear::overflow_m3);
        line(fmt::format("wanted in {}", summer), &PropertyYear::wanted_m3);
        line(fmt::format("taken from the tanks in {}", summer), &PropertyYear::replaced_m3);
        part.text_part("SEASONS", "SEASONS_TEXT", m_words.seasons());
    }
    // The recommended size and those nearest to it, at most so many.
    [[nodiscard]] std::vector<const PropertySize*> nearest_sizes() const {
        constexpr std::size_t kMost = 5;
        const std::vector<PropertySize>& sizes = m_property.sizes;
        const auto chosen = static_cast<std::size_t>(
            std::ranges::find_if(sizes, [](const PropertySize& size) { return size.row.chosen; }) - sizes.begin());
        const std::size_t shown = std::min(kMost, sizes.size());
        const std::size_t first = std::min(chosen > kMost / 2 ? chosen - kMost / 2 : 0, sizes.size() - shown);
        std::vector<const PropertySize*> nearest;
        for (std::size_t i = first; i < first + shown; ++i) {
            nearest.push_back(&sizes[i]);
        }
        return nearest;
    }
    void fill_sizes(PageValues& page) const {
        if (m_property.sizes.empty()) {
            return;
        }
        const std::vector<const PropertySize*> sizes = nearest_sizes();
        const bool one_delivery = std::ranges::all_of(
            sizes, [&](const PropertySize* size) { return size->row.delivery == sizes.front()->row.delivery; });
        const bool no_pressure = std::ranges::all_of(
            sizes, [](const PropertySize* size) { return !is_pressure(size->row.pressure_kpa.value_or(0.0)); });
        PageValues part = page.add("SIZES");
        part.text("UNIT_VOLUME", m_units.unit("m3"));
        part.text("UNIT_FLOW", m_units.unit("L/s"));
        part.text("UNIT_PRESSURE", m_units.unit("kPa"));
        part.text("SEASONS_OF_100", fmt::format("{:.0f}", kPercent * m_settings.storage.reliability));
        if (!no_pressure) {
            part.show("PRESSURE_HEAD");
        }
        if (!one_delivery) {
            part.show("DELIVERY_HEAD");
        }
        part.text_part("CURRENCY", "CURRENCY_NAME", m_settings.cost.currency);
        for (const PropertySize* const size : sizes) {
            fill_size(part, *size, no_pressure, one_delivery);
        }
        std::string text;
        if (one_delivery && sizes.front()->row.delivery) {
            text = fmt::format("Delivery of all of them: {}. ", spaced(to_text(*sizes.front()->row.delivery)));
        }
        if (no_pressure) {
            text += "None of them gives a pressure at the tap with low tanks. ";
        }
        if (sizes.size() < m_property.sizes.size()) {
            text += fmt::format("{} further from the recommended size: table parcel_options of the map file.",
                                counted(m_property.sizes.size() - sizes.size(), "size"));
        }
        part.text_part("SIZES_NOTE", "SIZES_TEXT", text);
    }
    void fill_size(PageValues& part, const PropertySize& size, bool no_pressure, bool one_delivery) const {
        PageValues row = part.add("SIZE");
        const std::int64_t count = size.row.tank_count.value_or(1);
        const std::string each =
            size.row.storage_m3 ? m_units.tank(*size.row.storage_m3 / static_cast<double>(count)) : "-";
        row.text("SIZE_CLASS", size.row.chosen ? "chosen" : "other");
        row.text("SIZE_TANKS", count > 1 ? fmt::format("{} x {}", count, each) : each);
        row.text("SIZE_REPLACED", m_units.number("m3", size.row.forbearance_m3));
        row.text("SIZE_FELT", m_row.flags.has(Flag::unknown_source)
                                  ? std::string(kNotKnown)
                                  : m_units.number("L/s", size.row.instream_gain_lps));
        row.text("SIZE_UNMET", m_units.number("m3", size.unmet_mean_m3));
        row.text("SIZE_UNMET_DRY", m_units.number("m3", size.unmet_dependable_m3));
        if (!no_pressure) {
            row.add("PRESSURE_CELL").text("SIZE_PRESSURE", m_units.pressure_number(size.row.pressure_kpa));
        }
        if (!one_delivery) {
            row.add("DELIVERY_CELL")
                .text("SIZE_DELIVERY", size.row.delivery ? spaced(to_text(*size.row.delivery)) : "-");
        }
        row.text("SIZE_COST", size.row.cost ? with_figures(*size.row.cost, 3) : std::string(kNotKnown));
        row.text("SIZE_NOTE", size.row.chosen ? "recommended here" : "");
    }
    void fill_notes(PageValues& page) const {
        const std::vector<std::string> notes = m_words.notes();
        if (!notes.empty()) {
            PageValues part = page.add("NOTES");
            for (const std::string& note : notes) {
                part.add("NOTE").text("NOTE_TEXT", note);
            }
        }
        if (m_property.notes.calendar.empty()) {
            return;
        }
        // What falls to the same months stands together.
        PageValues part = page.add("CALENDAR");
        const std::vector<UpkeepTask>& tasks = m_property.notes.calendar;
        for (std::size_t i = 0; i < tasks.size();) {
            const std::vector<int>& months = tasks[i].months;
            std::string text;
            for (; i < tasks.size() && tasks[i].months == months; ++i) {
                text += fmt::format("{}{}", text.empty() ? "" : " ", tasks[i].what);
            }
            PageValues row = part.add("TASK");
            row.text("TASK_MONTHS", months_text(months));
            row.text("TASK_TEXT", text);
        }
    }

    const Property& m_property;
    const ParcelRow& m_row;
    const Settings& m_settings;
    const SheetReport& m_report;
    SheetWords m_words;
    QuantityText m_units;
};

}  // namespace

std::string property_page(const Property& property, const Settings& settings, const SheetReport& report) {
    return PropertySheet(property, settings, report).html();
}

}  // namespace eaveshed
