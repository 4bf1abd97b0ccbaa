#include "eaveshed/handout/property_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "eaveshed/page/page_frame.hpp"
#include "eaveshed/page/page_values.hpp"
#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/words/months_text.hpp"
#include "eaveshed/words/wording.hpp"
#include "property_drawings.hpp"
#include "property_template.hpp"

namespace eaveshed {

namespace {

// What the delivery means to somebody who turns a tap.
std::string_view delivery_sentence(Delivery delivery) {
    switch (delivery) {
        case Delivery::gravity: return "The roof fills the tanks and the tanks feed the garden, without a pump.";
        case Delivery::low_pressure:
            return "The roof fills the tanks and the tanks feed the garden without a pump, at a low pressure: enough "
                   "for "
                   "drip tape or an open hose.";
        case Delivery::pumped_feed:
            return "The roof fills the tanks without a pump; a pump brings the water to the garden.";
        case Delivery::pumped_fill: return "A pump lifts the roof's water into the tanks.";
        case Delivery::no_pad: return "No place for tanks was found on the maps.";
        case Delivery::no_use: return "Stored water would replace nothing here.";
    }
    return "";
}

std::string_view gravity_words(GravityCheck check) {
    switch (check) {
        case GravityCheck::yes: return "yes, as far as maps can tell";
        case GravityCheck::no: return "no";
        case GravityCheck::cannot_tell: return "maps cannot tell: measure heights on site";
    }
    return "";
}

// One sheet in the making.
class PropertySheet {
public:
    PropertySheet(const Property& property, const Settings& settings, const std::string& version)
        : m_property(property),
          m_row(property.row),
          m_settings(settings),
          m_version(version),
          m_units(settings.output.units) {}

    [[nodiscard]] std::string html() const {
        PageValues page;
        page.text("BASIN", m_settings.basin.name.empty() ? "Winter rain from roofs" : m_settings.basin.name);
        page.text("OPENING", opening());
        page.text("UNIT_VOLUME", m_units.unit("m3"));
        page.text("UNIT_FLOW", m_units.unit("L/s"));
        page.text("UNIT_PRESSURE", m_units.unit("kPa"));
        page.text("VERSION", m_version);
        fill_tiles(page);
        fill_plan(page);
        fill_profile(page);
        fill_years(page);
        fill_sizes(page);
        fill_notes(page);
        fill_questions(page);
        fill_lists(page);
        return framed_page(kPropertyTemplate, "Parcel " + m_property.parcel_id, page);
    }

private:
    [[nodiscard]] std::string opening() const {
        const std::string months = months_text(m_settings.season.forbear_months);
        std::string text = fmt::format(
            "What tanks for winter roof water could do here, so that as much creek or well water stays in the ground "
            "and "
            "the stream in {}.",
            months);
        if (m_row.delivery) {
            text += " " + std::string(delivery_sentence(*m_row.delivery));
        }
        if (m_row.no_pad_reason) {
            text += fmt::format(" What ruled out most places: {}.", spaced(to_text(*m_row.no_pad_reason)));
        }
        if (m_property.roofs.empty()) {
            text += " No roof was found on this parcel, so nothing can be said of it.";
        }
        return text;
    }
    [[nodiscard]] std::string range_text(const RangedValue& value, std::string_view unit) const {
        if (value.drawn) {
            return fmt::format("{} to {} in eight cases of ten, as far as is known",
                               m_units.number(unit, value.drawn->low), m_units.text(unit, value.drawn->high));
        }
        if (value.by_answer) {
            return fmt::format("{} to {}, by what is answered below", m_units.number(unit, value.by_answer->low),
                               m_units.text(unit, value.by_answer->high));
        }
        return "";
    }
    static void tile(PageValues& page, std::string_view name, std::string_view value, std::string_view range) {
        PageValues tile = page.add("TILE");
        tile.text("TILE_NAME", name);
        tile.text("TILE_VALUE", value);
        tile.text_part("TILE_RANGE", "TILE_RANGE_TEXT", range);
    }
    void ranged_tile(PageValues& page, std::string_view name, const std::optional<RangedValue>& value,
                     std::string_view unit) const {
        if (value) {
            tile(page, name, m_units.text(unit, value->value), range_text(*value, unit));
        }
    }
    [[nodiscard]] std::string tanks_text() const {
        if (!m_property.pad) {
            return m_row.storage_m3 ? m_units.text("m3", m_row.storage_m3) : std::string(kNotKnown);
        }
        const std::int64_t count = m_property.pad->row.tank_count.value_or(1);
        const std::string each = m_units.text("m3", m_property.pad->nominal_m3 / static_cast<double>(count));
        return count > 1 ? fmt::format("{} x {}", count, each) : each;
    }
    void fill_tiles(PageValues& page) const {
        // Dependable where dry winters are known: reached in most years, not in a mean one.
        const std::string_view how = m_row.replaced_dependable_m3 ? "dependably" : "in the mean";
        ranged_tile(page, fmt::format("Summer take replaced, {}{}", how, m_property.pad ? "" : ", if a place is found"),
                    m_property.headlines.forbearance_m3, "m3");
        if (m_row.flags.has(Flag::unknown_source)) {
            tile(page, "More in the creek", kNotKnown, "where the summer water comes from is not known");
        } else if (m_row.source_share == 0.0) {
            tile(page, "More in the creek", "none within the season", "the summer water comes from elsewhere");
        } else {
            ranged_tile(page, "More in the creek, on average", m_property.headlines.stream_gain_lps, "L/s");
        }
        if (m_row.storage_m3) {
            tile(page, "Tanks", tanks_text(), existing_text());
        }
        if (m_row.gravity_check) {
            tile(page, "Works without a pump?", gravity_words(*m_row.gravity_check), "");
        }
        if (m_property.headlines.pressure_kpa) {
            tile(page, "Pressure at the tap by gravity, tanks low to full", pressure_text(),
                 range_text(*m_property.headlines.pressure_kpa, "kPa"));
        }
        if (m_row.cost) {
            tile(page, "Cost, roughly", fmt::format("{} {}", with_figures(*m_row.cost, 3), m_settings.cost.currency),
                 m_row.cost_per_m3 ? cost_each() : "");
        }
        page.text_part("LIMIT", "LIMIT_TEXT", limit_text());
        page.text_part("HAND", "HAND_TEXT", m_property.hand_sum ? hand_sentence(*m_property.hand_sum) : "");
    }
    [[nodiscard]] std::string existing_text() const {
        return m_row.existing_storage_m3.value_or(0.0) > 0.0
                   ? fmt::format("{} of it stand there already", m_units.text("m3", m_row.existing_storage_m3))
                   : "";
    }
    [[nodiscard]] std::string pressure_text() const {
        const PadRow& pad = m_property.pad->row;
        return fmt::format("{} to {}", m_units.number("kPa", pad.pressure_kpa),
                           m_units.text("kPa", pad.pressure_full_kpa));
    }
    [[nodiscard]] std::string cost_each() const {
        return fmt::format("{} for each {} of a season", with_figures(*m_row.cost_per_m3 / m_units.shown("m3", 1.0), 3),
                           m_units.unit("m3"));
    }
    [[nodiscard]] std::string limit_text() const {
        if (!m_row.limited_by) {
            return "";
        }
        switch (*m_row.limited_by) {
            case LimitedBy::demand:
                return "The garden and the house want no more than these tanks give: a larger store adds little.";
            case LimitedBy::tank:
                return "The roof could fill more than these tanks hold; what larger ones would add is below.";
            case LimitedBy::roof: return "The roof gives no more in a dry winter: larger tanks would not fill.";
        }
        return "";
    }
    void fill_plan(PageValues& page) const {
        if (!m_property.map) {
            return;
        }
        PageValues plan = page.add("PLAN");
        plan.text("PLAN_NAME", m_property.pad ? "Where the tanks could stand" : "The property");
        plan.markup("MARKUP_PLAN", Markup(map_drawing(m_property, m_settings.output.units)));
        plan.text_part("PLACE", "PLACE_TEXT", m_property.pad ? place_text(*m_property.pad) : "");
    }
    [[nodiscard]] std::string place_text(const PropertyPad& pad) const {
        std::string text =
            fmt::format("The ground there is at {} and slopes by {:.0f} %; levelled at {} it is cut by {} at most.",
                        m_units.text("m", pad.row.ground_elev_m), pad.row.slope_pct.value_or(0.0),
                        m_units.text("m", pad.row.pad_elev_m), m_units.text("m", pad.row.cut_m));
        if (pad.row.arrangement == Arrangement::row && pad.row_true_bearing_deg) {
            text += fmt::format(
                " The tanks stand in a row of {}, {:.0f} degrees from north (clockwise), along the slope's contour.",
                m_units.text("m", pad.row.row_length_m), *pad.row_true_bearing_deg);
        } else if (pad.row.arrangement == Arrangement::cluster) {
            text += fmt::format(" The tanks stand side by side on a circle of {} radius.",
                                m_units.text("m", pad.row.pad_radius_m));
        }
        if (pad.place && pad.place->degrees) {
            text += fmt::format(" To find it: longitude {:.6f}, latitude {:.6f}.", pad.place->degrees->longitude_deg,
                                pad.place->degrees->latitude_deg);
        }
        if (pad.row.garden_m2.value_or(0.0) > 0.0) {
            text += fmt::format(" Of {} of garden it serves {} at an open hose's pressure (10 kPa) before friction.",
                                m_units.text("m2", pad.row.garden_m2), m_units.text("m2", pad.row.reach_10_m2));
        }
        return text;
    }
    void fill_profile(PageValues& page) const {
        if (!m_property.section || !m_property.pad) {
            return;
        }
        PageValues profile = page.add("PROFILE");
        profile.markup("MARKUP_PROFILE", Markup(section_drawing(m_property, m_settings.output.units)));
        profile.text_part("FLOW", "FLOW_TEXT", flow_text(m_property.pad->row));
    }
    [[nodiscard]] std::string flow_text(const PadRow& pad) const {
        std::string text;
        if (pad.fill_line == FillLine::dry) {
            text = "The line from the gutter can fall all the way and empties itself after the rain (a dry line).";
        } else if (pad.fill_line == FillLine::wet) {
            text =
                "The line from the gutter is long, or ground lies in its way: it is buried and stays full (a wet "
                "line). It "
                "needs an inlet below the lowest gutter, watertight joints and a drain at its lowest point.";
        }
        return text;
    }
    void fill_years(PageValues& page) const {
        if (!m_property.water || m_property.water->years.empty()) {
            return;
        }
        PageValues years = page.add("YEARS");
        std::size_t number = 0;
        for (const PropertyYear& year : m_property.water->years) {
            PageValues one = years.add("YEAR");
            one.text("YEAR_NAME", year_words(year));
            one.markup("MARKUP_YEAR",
                       Markup(year_drawing(year, m_row.usable_m3.value_or(0.0), ++number, m_settings.output.units)));
            years.add("YEAR_SUM")
                .text("YEAR_SUM_TEXT",
                      fmt::format("In {}: {} reach the tanks in the months that fill them, {} are taken in {}.",
                                  year_words(year), m_units.text("m3", year.harvest_m3),
                                  m_units.text("m3", year.replaced_m3), months_text(m_settings.season.forbear_months)));
        }
    }
    void fill_sizes(PageValues& page) const {
        if (m_property.sizes.empty()) {
            return;
        }
        PageValues sizes = page.add("SIZES");
        sizes.text_part("CURRENCY", "CURRENCY_NAME", m_settings.cost.currency);
        for (const PropertySize& size : m_property.sizes) {
            PageValues row = sizes.add("SIZE");
            const std::int64_t count = size.row.tank_count.value_or(1);
            const std::string each =
                size.row.storage_m3 ? m_units.number("m3", *size.row.storage_m3 / static_cast<double>(count)) : "-";
            row.text("SIZE_TANKS", count > 1 ? fmt::format("{} x {}", count, each) : each);
            row.text("SIZE_REPLACED", m_units.number("m3", size.row.forbearance_m3));
            row.text("SIZE_FELT", m_row.flags.has(Flag::unknown_source)
                                      ? std::string(kNotKnown)
                                      : m_units.number("L/s", size.row.instream_gain_lps));
            row.text("SIZE_UNMET", m_units.number("m3", size.unmet_mean_m3));
            row.text("SIZE_UNMET_DRY", m_units.number("m3", size.unmet_dependable_m3));
            row.text("SIZE_PRESSURE", m_units.number("kPa", size.row.pressure_kpa));
            row.text("SIZE_DELIVERY", size.row.delivery ? spaced(to_text(*size.row.delivery)) : "-");
            row.text("SIZE_COST", size.row.cost ? with_figures(*size.row.cost, 3) : std::string(kNotKnown));
            row.text("SIZE_NOTE", size.row.chosen ? "recommended here" : "");
        }
    }
    void fill_notes(PageValues& page) const {
        std::vector<std::string> notes;
        if (m_property.pad) {
            add_pad_notes(*m_property.pad, notes);
        }
        if (m_property.notes.freezing) {
            const std::vector<int> months = in_order_round_the_year(*m_property.notes.freezing);
            notes.push_back(months.empty()
                                ? "No month freezes on average."
                                : fmt::format("Freezing months, by their mean daily minimum: {}. Drain wet lines "
                                              "and pumps before them.",
                                              months_text(months)));
        }
        if (m_property.notes.leaves) {
            notes.emplace_back(
                "Trees stand over the roof's surroundings: clean gutters and screens more often than once a year.");
        }
        if (notes.empty()) {
            return;
        }
        PageValues part = page.add("NOTES");
        for (const std::string& note : notes) {
            part.add("NOTE").text("NOTE_TEXT", note);
        }
    }
    void add_pad_notes(const PropertyPad& pad, std::vector<std::string>& notes) const {
        const PadRow& row = pad.row;
        if (row.feed_pump_head_m) {
            notes.push_back(fmt::format("A pump for the garden: {} at a head of {}, about {:.0f} kWh a season.",
                                        m_units.text("L/s", m_settings.siting.design_flow_lps),
                                        m_units.text("m", row.feed_pump_head_m), row.feed_pump_kwh.value_or(0.0)));
        }
        if (row.fill_pump_head_m) {
            notes.push_back(fmt::format(
                "A pump to fill the tanks: {} in a storm at a head of {}, about {:.0f} kWh a season; less with a sump.",
                m_units.text("L/s", row.fill_pump_lps), m_units.text("m", row.fill_pump_head_m),
                row.fill_pump_kwh.value_or(0.0)));
        }
        if (row.full_mass_t && row.bearing_kpa) {
            notes.push_back(fmt::format("Full, the water weighs {:.1f} t and presses on the tanks' bases with {}.",
                                        *row.full_mass_t, m_units.text("kPa", row.bearing_kpa)));
        }
        if (pad.storm_connected_lps > 0.0) {
            notes.push_back(
                fmt::format("In a storm of {:g} mm an hour {} come down the connected downspouts: lead what overflows "
                            "to a rock pad, away "
                            "from slopes and foundations.",
                            m_settings.notes.storm_mm_h, m_units.text("L/s", pad.storm_connected_lps)));
        }
        if (pad.reserve_m3 > 0.0) {
            notes.push_back(fmt::format(
                "{} stay in the tanks as a reserve for fire; ask the fire service which connection it needs.",
                m_units.text("m3", pad.reserve_m3)));
        }
        if (row.road_distance_m) {
            notes.push_back(fmt::format("The nearest road is {} away.", m_units.text("m", row.road_distance_m)));
        }
    }
    void fill_questions(PageValues& page) const {
        const std::vector<std::string> sentences = question_sentences(m_property.questions, m_settings.output.units);
        if (sentences.empty()) {
            return;
        }
        PageValues part = page.add("QUESTIONS");
        for (const std::string& sentence : sentences) {
            part.add("QUESTION").text("QUESTION_TEXT", sentence);
        }
    }
    void fill_lists(PageValues& page) const {
        if (!m_property.checks.empty()) {
            PageValues part = page.add("CHECKS");
            for (const SiteCheck& check : m_property.checks) {
                part.add("CHECK").text("CHECK_TEXT", check.text);
            }
        }
        if (!m_property.notes.calendar.empty()) {
            PageValues part = page.add("CALENDAR");
            std::string before;
            for (const UpkeepTask& task : m_property.notes.calendar) {
                PageValues row = part.add("TASK");
                const std::string months = months_text(task.months);
                row.text("TASK_MONTHS", months == before ? "" : months);
                before = months;
                row.text("TASK_TEXT", task.what);
            }
        }
        for (const std::string_view caution : property_cautions()) {
            page.add("CAUTION").text("CAUTION_TEXT", caution);
        }
    }

    const Property& m_property;
    const ParcelRow& m_row;
    const Settings& m_settings;
    const std::string& m_version;
    QuantityText m_units;
};

}  // namespace

std::string property_page(const Property& property, const Settings& settings, const std::string& version) {
    return PropertySheet(property, settings, version).html();
}

}  // namespace eaveshed
