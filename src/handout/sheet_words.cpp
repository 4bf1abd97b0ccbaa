#include "sheet_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/notes/upkeep.hpp"
#include "eaveshed/words/months_text.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr int kMoneyFigures = 3;

// What the delivery means to somebody who turns a tap; goes on after "By the maps, ".
std::string_view delivery_words(Delivery delivery) {
    switch (delivery) {
        case Delivery::gravity: return "the roof fills the tanks and the tanks feed the garden, without a pump.";
        case Delivery::low_pressure:
            return "the roof fills the tanks and the tanks feed the garden without a pump, at a low pressure: enough "
                   "for drip tape or an open hose.";
        case Delivery::pumped_feed:
            return "the roof fills the tanks without a pump; a pump brings the water to the garden.";
        case Delivery::pumped_fill: return "a pump lifts the roof's water into the tanks.";
        case Delivery::no_pad: return "no place for tanks was found.";
        case Delivery::no_use: return "stored water would replace nothing here.";
    }
    return "";
}

std::string kwh_text(const std::optional<double>& kwh) {
    if (!kwh) {
        return "its energy not known";
    }
    return *kwh < 1.0 ? "less than 1 kWh a season" : fmt::format("about {:.0f} kWh a season", *kwh);
}

// Half of what lies between the ends.
double half_width(const ValueRange& range) {
    return 0.5 * (range.high - range.low);
}

}  // namespace

std::string SheetWords::delivery() const {
    return m_row.delivery ? " By the maps, " + std::string(delivery_words(*m_row.delivery)) : std::string();
}

// What the answer without a pump hangs on, and how well it is known.
std::string SheetWords::doubt() const {
    if (m_row.gravity_check != GravityCheck::cannot_tell || !m_property.pad) {
        return "";
    }
    const PadRow& pad = m_property.pad->row;
    const auto& margin = m_property.headlines.fill_margin_m;
    const auto& pressure = m_property.headlines.pressure_kpa;
    std::string text = " But the maps cannot tell for sure";
    if (margin && margin->drawn && pad.fill_probability.value_or(1.0) < pad.feed_probability.value_or(1.0)) {
        text +=
            fmt::format(": the gutter stands {} {} what the full tanks need, and these heights are known to {} only",
                        height(std::abs(margin->value)), margin->value < 0.0 ? "below" : "above",
                        height(half_width(*margin->drawn)));
    } else if (pressure && pressure->drawn) {
        const double head_m = half_width(*pressure->drawn) / kKpaPerMetre;
        text +=
            fmt::format(": the height of the tanks above the tap decides, and it is known to {} only", height(head_m));
    }
    return text + ". Level gutter, pad and tap on site before anything rests on it.";
}

std::string SheetWords::opening() const {
    std::string text = fmt::format(
        "What tanks for winter roof water could do here, so that creek and wells keep more of theirs in {}.",
        months_text(m_settings.season.forbear_months));
    text += delivery() + doubt();
    if (m_row.no_pad_reason) {
        text += fmt::format(" What ruled out most places: {}.", spaced(to_text(*m_row.no_pad_reason)));
    }
    if (m_property.roofs.empty()) {
        text += " No roof was found on this parcel, so nothing can be said of it.";
    }
    return text;
}

std::string SheetWords::range(const RangedValue& value, std::string_view unit) const {
    if (value.drawn) {
        return fmt::format("{} to {} in eight cases of ten, as far as is known", m_units.number(unit, value.drawn->low),
                           m_units.text(unit, value.drawn->high));
    }
    if (value.by_answer) {
        return fmt::format("{} to {}, by what is answered below", m_units.number(unit, value.by_answer->low),
                           m_units.text(unit, value.by_answer->high));
    }
    return "";
}

SheetFigure SheetWords::tanks() const {
    const std::int64_t count = m_row.tank_count.value_or(1);
    SheetFigure figure{.name = "Tanks", .value = m_units.tanks(*m_row.storage_m3, count), .text = {}};
    if (count > 1) {
        figure.text = m_units.text("m3", m_row.storage_m3) + " together";
    }
    if (m_row.existing_storage_m3.value_or(0.0) > 0.0) {
        figure.text += fmt::format("{}{} of it stand there already", figure.text.empty() ? "" : "; ",
                                   m_units.text("m3", m_row.existing_storage_m3));
    }
    return figure;
}

SheetFigure SheetWords::without_pump() const {
    SheetFigure figure{.name = "Works without a pump?", .value = {}, .text = {}};
    switch (*m_row.gravity_check) {
        case GravityCheck::yes: figure.value = "yes, by the maps"; break;
        case GravityCheck::no: figure.value = "no"; break;
        case GravityCheck::cannot_tell: figure.value = "maps cannot tell"; break;
    }
    if (m_row.gravity_check == GravityCheck::no) {
        return figure;
    }
    // The stored probability is the least that it can be.
    if (m_row.gravity_probability) {
        figure.text = fmt::format("at least {:.0f} %", std::floor(kPercent * *m_row.gravity_probability));
        if (m_property.pad && m_row.gravity_check == GravityCheck::cannot_tell) {
            const PadRow& pad = m_property.pad->row;
            const double most = std::min(pad.fill_probability.value_or(1.0), pad.feed_probability.value_or(1.0));
            figure.text += fmt::format(", at most {:.0f} %", std::ceil(kPercent * most));
        }
        figure.text += " sure; ";
    }
    figure.text += "level it on site";
    return figure;
}

SheetFigure SheetWords::pressure() const {
    const PadRow& pad = m_property.pad->row;
    const double low = *pad.pressure_kpa;
    const double full = pad.pressure_full_kpa.value_or(low);
    SheetFigure figure{.name = "Pressure at the tap without a pump", .value = m_units.pressures(low, full), .text = {}};
    const double head = pad.static_head_m.value_or(0.0);
    if (!is_pressure(full)) {
        figure.text = head < 0.0
                          ? fmt::format("the tap lies {} above the water of low tanks: a pump is needed", height(-head))
                          : std::string("friction and filter take what there is: a pump is needed");
        return figure;
    }
    if (!is_pressure(low)) {
        figure.text =
            head < 0.0
                ? fmt::format("with full tanks; none with low ones, whose water stands {} below the tap", height(-head))
                : "with full tanks; none with low ones";
        return figure;
    }
    figure.text = "tanks low to full";
    const auto& range = m_property.headlines.pressure_kpa;
    if (range && range->drawn) {
        figure.text += fmt::format("; low: {} to {} in eight cases of ten",
                                   m_units.number("kPa", std::max(0.0, range->drawn->low)),
                                   m_units.text("kPa", range->drawn->high));
    }
    return figure;
}

SheetFigure SheetWords::creek() const {
    if (m_row.flags.has(Flag::unknown_source)) {
        return {"More in the creek", std::string(kNotKnown), "where the summer water comes from is not known"};
    }
    if (m_row.source_share == 0.0) {
        return {"More in the creek", "none within the season", "the summer water comes from elsewhere"};
    }
    const auto& gain = m_property.headlines.stream_gain_lps;
    return gain ? SheetFigure{"More in the creek, on average", m_units.text("L/s", gain->value), range(*gain, "L/s")}
                : SheetFigure{};
}

std::vector<SheetFigure> SheetWords::figures() const {
    std::vector<SheetFigure> all;
    if (const auto& replaced = m_property.headlines.forbearance_m3) {
        // Dependable where dry winters are known: reached in most years, not in a mean one.
        const std::string how = m_row.replaced_dependable_m3 ? fmt::format("in at least {:.0f} of 100 years",
                                                                           kPercent * m_settings.storage.reliability)
                                                             : std::string("in the mean");
        all.push_back(
            {fmt::format("Summer water from the tanks, {}{}", how, m_property.pad ? "" : ", if a place is found"),
             m_units.text("m3", replaced->value), range(*replaced, "m3")});
    }
    all.push_back(creek());
    if (m_row.storage_m3) {
        all.push_back(tanks());
    }
    if (m_row.gravity_check) {
        all.push_back(without_pump());
    }
    if (m_property.pad && m_property.pad->row.pressure_kpa) {
        all.push_back(pressure());
    }
    if (m_row.cost) {
        const std::string each =
            m_row.cost_per_m3 ? fmt::format("{} for each {} of a season",
                                            with_figures(*m_units.price_per("m3", m_row.cost_per_m3), kMoneyFigures),
                                            m_units.unit("m3"))
                              : std::string();
        all.push_back({"Cost, roughly",
                       fmt::format("{} {}", with_figures(*m_row.cost, kMoneyFigures), m_settings.cost.currency), each});
    }
    std::erase_if(all, [](const SheetFigure& figure) { return figure.value.empty(); });
    return all;
}

std::string SheetWords::limit() const {
    if (!m_row.limited_by) {
        return "";
    }
    const bool larger = std::ranges::any_of(m_property.sizes, [&](const PropertySize& size) {
        return size.row.storage_m3.value_or(0.0) > m_row.storage_m3.value_or(0.0) + 1e-6;
    });
    switch (*m_row.limited_by) {
        case LimitedBy::demand:
            return "The garden and the house want no more than these tanks give: a larger store adds little.";
        case LimitedBy::tank:
            return larger ? "The roof could fill more than these tanks hold; what larger ones would add is below."
                          : "The roof could fill more than these tanks hold, but nothing larger was found to have a "
                            "place there.";
        case LimitedBy::roof: return "The roof gives no more in a dry winter: larger tanks would not fill.";
    }
    return "";
}

std::string SheetWords::place(const PropertyPad& pad) const {
    const PadRow& row = pad.row;
    std::string text;
    const auto say = [&text](const std::string& sentence) { text += (text.empty() ? "" : " ") + sentence; };
    if (row.ground_elev_m && row.slope_pct && row.pad_elev_m && row.cut_m) {
        say(fmt::format("The ground there is at {} and slopes by {:.0f} %; levelled at {} it is cut by {} at most.",
                        height(*row.ground_elev_m), *row.slope_pct, height(*row.pad_elev_m), height(*row.cut_m)));
    }
    if (row.arrangement == Arrangement::row && row.row_length_m && pad.row_true_bearing_deg) {
        say(fmt::format(
            "The tanks stand in a row of {}, {:.0f} degrees from north (clockwise), along the slope's contour.",
            height(*row.row_length_m), *pad.row_true_bearing_deg));
    } else if (row.arrangement == Arrangement::cluster && row.pad_radius_m) {
        say(fmt::format("The tanks stand side by side on a circle of {} radius.", height(*row.pad_radius_m)));
    }
    if (pad.place && pad.place->degrees) {
        say(fmt::format("To find it: longitude {:.6f}, latitude {:.6f}.", pad.place->degrees->longitude_deg,
                        pad.place->degrees->latitude_deg));
    }
    if (row.garden_m2.value_or(0.0) > 0.0) {
        constexpr double kOpenHoseKpa = 10.0;
        say(fmt::format(
            "Of {} of ground that could be watered it serves {} at an open hose's pressure ({}), before friction.",
            m_units.text("m2", row.garden_m2),
            row.reach_10_m2.value_or(0.0) > 0.0 ? m_units.text("m2", row.reach_10_m2) : "none",
            m_units.text("kPa", kOpenHoseKpa)));
    }
    return text;
}

std::string SheetWords::profile() const {
    const PropertySection& section = *m_property.section;
    const PadRow& pad = m_property.pad->row;
    std::string text = fmt::format("As the crow flies, roof to tanks {}, tanks to tap {}.", height(section.pad_m),
                                   height(section.use_m - section.pad_m));
    if (pad.arrangement == Arrangement::row && pad.tank_count.value_or(1) > 1) {
        text += fmt::format(" Of the row of {} tanks one is drawn.", *pad.tank_count);
    }
    return text;
}

std::string SheetWords::line_of(const PropertyRoof& roof, bool named) const {
    const std::string which =
        fmt::format("The line from {}{}", named ? "roof " + printable(roof.roof_id, 60) : "the gutter",
                    roof.fill_distance_m ? fmt::format(" ({})", height(*roof.fill_distance_m)) : "");
    if (roof.fill_line == FillLine::dry) {
        return which + " can fall all the way and empties itself after the rain (a dry line).";
    }
    const bool far = roof.fill_distance_m.value_or(0.0) > m_settings.notes.dry_line_max_m;
    return which + (far ? " is long" : " has ground in its way") +
           ": it is buried and stays full (a wet line). It needs an inlet below the lowest gutter, watertight joints "
           "and a drain at its lowest point.";
}

std::string SheetWords::lines() const {
    if (!m_property.pad) {
        return "";
    }
    const bool pumped = m_property.pad->row.fill_pump_head_m.has_value();
    const auto connected = std::ranges::count_if(m_property.roofs, &PropertyRoof::connected);
    std::string text;
    for (const PropertyRoof& roof : m_property.roofs) {
        const bool lifted = pumped && roof.fill_margin_m.value_or(0.0) < 0.0;
        if (roof.connected && lifted) {
            text += fmt::format(
                "{}The gutter{} stands too low for a line to the tanks: its water gathers below it, and "
                "a pump lifts it.",
                text.empty() ? "" : " ", connected > 1 ? " of roof " + printable(roof.roof_id, 60) : std::string());
        } else if (roof.connected && roof.fill_line) {
            text += (text.empty() ? "" : " ") + line_of(roof, connected > 1);
        }
    }
    return text;
}

std::string SheetWords::seasons() const {
    const bool series = m_property.water && !m_property.water->years.empty() &&
                        m_property.water->years.front().kind == YearKind::middling;
    if (!series || !m_row.season_reliability || !m_row.replaced_dependable_m3) {
        return "";
    }
    constexpr double kAll = 1.0 - 1e-9;
    if (*m_row.season_reliability >= kAll) {
        return fmt::format(
            "In every season on record the tanks gave all that was wanted: where less than {} was taken, the summer "
            "was wet and no more was wanted.",
            m_units.text("m3", m_row.replaced_dependable_m3));
    }
    return fmt::format(
        "The tanks gave all that was wanted in {:.0f} of 100 seasons on record; {} or more came from them in {:.0f} of "
        "100.",
        kPercent * *m_row.season_reliability, m_units.text("m3", m_row.replaced_dependable_m3),
        kPercent * m_settings.storage.reliability);
}

void SheetWords::add_pumps(const PadRow& row, std::vector<std::string>& notes) const {
    if (row.feed_pump_head_m) {
        notes.push_back(fmt::format("A pump for the garden: {} at a head of {}, {}.",
                                    m_units.text("L/s", m_settings.siting.design_flow_lps),
                                    height(*row.feed_pump_head_m), kwh_text(row.feed_pump_kwh)));
    }
    if (row.fill_pump_head_m) {
        notes.push_back(fmt::format("A pump to fill the tanks: {} in a storm at a head of {}, {}; less with a sump.",
                                    m_units.text("L/s", row.fill_pump_lps), height(*row.fill_pump_head_m),
                                    kwh_text(row.fill_pump_kwh)));
    }
}

std::vector<std::string> SheetWords::notes() const {
    std::vector<std::string> notes;
    if (m_property.pad) {
        const PropertyPad& pad = *m_property.pad;
        const PadRow& row = pad.row;
        add_pumps(row, notes);
        if (row.full_mass_t && row.bearing_kpa) {
            notes.push_back(fmt::format(
                "Full, the water alone weighs at least {} and presses on the tanks' bases with {}; the tanks, and the "
                "water below their outlets, come on top.",
                m_units.text("t", row.full_mass_t), m_units.text("kPa", row.bearing_kpa)));
        }
        if (row.overflow_peak_lps.value_or(0.0) > 0.0) {
            notes.push_back(fmt::format(
                "In a storm of {} an hour {} can come off the whole of the connected roofs: size the overflow for it, "
                "and "
                "let it out on a pad of rock away from slopes and foundations.",
                m_settings.output.units == OutputUnits::us ? m_units.text("mm", m_settings.notes.storm_mm_h)
                                                           : m_units.plain("mm", m_settings.notes.storm_mm_h),
                m_units.text("L/s", row.overflow_peak_lps)));
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
    if (m_property.notes.freezing) {
        const std::vector<int> months = in_order_round_the_year(*m_property.notes.freezing);
        notes.push_back(months.empty() ? "No month freezes on average."
                                       : fmt::format("Freezing months, by their mean daily minimum: {}. Drain wet "
                                                     "lines and pumps before them.",
                                                     months_text(months)));
    }
    if (m_property.notes.leaves) {
        notes.emplace_back(
            "Trees stand over the roof's surroundings: clean gutters and screens more often than once a year.");
    }
    return notes;
}

}  // namespace eaveshed
