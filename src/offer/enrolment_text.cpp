#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "eaveshed/offer/enrolment.hpp"
#include "eaveshed/offer/list_numbers.hpp"
#include "eaveshed/offer/plan_reaches.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/words/text_lines.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kFlow = "L/s";
constexpr std::string_view kVolume = "m3";

// Amounts of one enrolment in words, rounded to what they mean.
class PlanWords {
public:
    PlanWords(const Enrolment& enrolment, const EnrolRequest& request)
        : m_currency(enrolment.settings.cost.currency),
          m_quantities(enrolment.settings.output.units),
          m_wanted(request.wanted) {}

    [[nodiscard]] static std::string whole(double amount) { return fmt::format("{:.0f}", amount); }
    [[nodiscard]] std::string money(double amount) const { return whole(amount) + " " + printable(m_currency, 12); }
    [[nodiscard]] std::string number(std::string_view unit, double value) const {
        constexpr int kFigures = 3;
        return unit == kFlow ? with_figures(m_quantities.shown(unit, value), kFigures)
                             : m_quantities.number(unit, value);
    }
    [[nodiscard]] std::string_view unit(std::string_view unit) const { return m_quantities.unit(unit); }
    // Of what the plan makes the most.
    [[nodiscard]] std::string wanted(double amount) const {
        const std::string_view of = wanted_unit();
        return fmt::format("{} {}", number(of, amount), unit(of));
    }
    [[nodiscard]] std::string_view wanted_unit() const { return m_wanted == PlanFor::volume ? kVolume : kFlow; }
    [[nodiscard]] std::string wanted_name() const {
        return m_wanted == PlanFor::volume ? "added forbearance" : "stream gain";
    }

private:
    std::string m_currency;
    QuantityText m_quantities;
    PlanFor m_wanted;
};

std::string heading(const Enrolment& enrolment, const EnrolRequest& request, const PlanWords& words) {
    const std::string sizes =
        request.sizes == OfferedSizes::any ? "any size at each pad" : "the chosen size at each pad";
    const std::string at = asked_words(enrolment.asked);
    return wrapped_text(request.budget ? fmt::format("Most {}{} for a budget of {}, {}", words.wanted_name(), at,
                                                     words.money(*request.budget), sizes)
                                       : fmt::format("Least cost for a {} of {}{}, {}", words.wanted_name(),
                                                     words.wanted(*request.target_lps), at, sizes),
                        kPageColumns, 2);
}

// What the proof covers, in one sentence: method.md 8.12.
std::string proof(const Enrolment& enrolment, const EnrolRequest& request, const PlanWords& words) {
    constexpr double kPercent = 100.0;
    const EnrolmentPlan& plan = enrolment.plan;
    const std::string among =
        fmt::format("among the {} and {} offered, at these prices and with the volumes of this screening,",
                    counted(enrolment.parcels, "parcel"), counted(enrolment.offers.size(), "size"));
    const std::string estimates = "whether those estimates are right is not proven";
    if (!plan.reached) {
        return fmt::format(
            "  The target is out of reach: {} nothing reaches more than {}, which is what all of these parcels give, "
            "each with the size that gives most.",
            among, words.wanted(plan.gain));
    }
    if (plan.proven) {
        return fmt::format("  Proven: {} no other choice {}; {}.", among,
                           request.budget ? "within the budget gives more" : "that reaches the target costs less",
                           estimates);
    }
    return fmt::format("  Not proven best: {} no choice {}, {:.2g} % from this plan; {}.", among,
                       request.budget ? "within the budget gives more than " + words.wanted(plan.bound)
                                      : "that reaches the target costs less than " + words.money(plan.bound),
                       kPercent * plan.gap, estimates);
}

std::string plan_text(const Enrolment& enrolment, const EnrolRequest& request, const PlanWords& words) {
    const EnrolmentPlan& plan = enrolment.plan;
    std::string text = heading(enrolment, request, words);
    text += fmt::format("  {} for {}: {}", counted(plan.chosen.size(), "parcel"), words.money(plan.cost),
                        words.wanted(plan.gain));
    if (enrolment.enrolled > 0) {
        text += fmt::format(", of which {} from {} enrolled already{}", words.wanted(enrolment.enrolled_gain),
                            counted(enrolment.enrolled, "parcel"), enrolment.asked.empty() ? "" : " there");
    }
    constexpr std::size_t kIndent = 2;
    return text + "\n" + wrapped_text(proof(enrolment, request, words), kPageColumns, kIndent);
}

std::string delivery_word(const Offer& offer) {
    return offer.delivery ? std::string(to_text(*offer.delivery)) : "-";
}

std::string chosen_text(const Enrolment& enrolment, const PlanWords& words) {
    constexpr std::size_t kShown = 50;
    constexpr std::string_view kLine = "  {:<16} {:>9} {:>6} {:>5} {:>10} {:>10} {:>10}  {}\n";
    if (enrolment.plan.chosen.empty()) {
        return "  No parcel: the cheapest size costs more than that, or nothing is needed.\n";
    }
    std::string text = "The plan, the most for the money first\n";
    text += fmt::format(kLine, "parcel", fmt::format("size {}", words.unit(kVolume)), "tanks", "new", "cost",
                        fmt::format("gain {}", words.unit(kFlow)), fmt::format("added {}", words.unit(kVolume)),
                        "delivery");
    for (std::size_t i = 0; i < std::min(kShown, enrolment.plan.chosen.size()); ++i) {
        const Offer& offer = enrolment.offers[enrolment.plan.chosen[i]];
        text += fmt::format(kLine, printable(offer.parcel_id, 16), words.number(kVolume, offer.storage_m3),
                            offer.tank_count, offer.new_tanks, PlanWords::whole(offer.cost),
                            words.number(kFlow, offer.gain_lps), words.number(kVolume, offer.volume_m3),
                            delivery_word(offer));
    }
    if (enrolment.plan.chosen.size() > kShown) {
        text += fmt::format("  and {} more: --csv or --xlsx list them all\n", enrolment.plan.chosen.size() - kShown);
    }
    return text;
}

// About ten points of the curve; the whole of it is in the table.
std::string curve_text(const Enrolment& enrolment, const PlanWords& words) {
    constexpr std::size_t kShown = 10;
    constexpr std::string_view kLine = "  {:>6} {:<16} {:>9} {:>12} {:>12}\n";
    const std::string_view wanted = words.wanted_unit();
    std::string text =
        fmt::format("What more money gives: the most {} for each cost, step by step\n", words.wanted_name());
    text += fmt::format(kLine, "step", "parcel", fmt::format("size {}", words.unit(kVolume)), "cost so far",
                        fmt::format("{} so far", words.unit(wanted)));
    const std::size_t step = std::max<std::size_t>(1, (enrolment.curve.size() + kShown - 1) / kShown);
    for (std::size_t i = 0; i < enrolment.curve.size(); ++i) {
        if ((i + 1) % step == 0 || i + 1 == enrolment.curve.size()) {
            const CurvePoint& point = enrolment.curve[i];
            const Offer& offer = enrolment.offers[point.offer];
            text += fmt::format(kLine, i + 1, printable(offer.parcel_id, 16), words.number(kVolume, offer.storage_m3),
                                PlanWords::whole(point.cost), words.number(wanted, point.gain));
        }
    }
    return text;
}

std::string left_out_text(const Enrolment& enrolment, const EnrolRequest& request) {
    const NotOffered& out = enrolment.left_out;
    if (out.no_pad + out.without_price + out.without_gain == 0) {
        return "";
    }
    return "\n" + wrapped_text(fmt::format("Left out{}: {} without a price, {} without a pad, {}{}",
                                           asked_words(enrolment.asked), counted(out.without_price, "parcel"),
                                           out.no_pad, out.without_gain,
                                           request.wanted == PlanFor::volume ? " that would add nothing"
                                                                             : " whose creek does not feel it"),
                               kPageColumns, 2);
}

SheetColumn column(std::string title, double width) {
    return {std::move(title), width};
}

std::vector<SheetColumn> table_columns(const Enrolment& enrolment, const EnrolRequest& request) {
    constexpr double kContactWidth = 24.0;
    const ListNumbers numbers(enrolment.settings.output.units);
    const std::string volume(numbers.unit(kVolume));
    const std::string flow(numbers.unit(kFlow));
    std::vector<SheetColumn> columns{{"List", 7.0}, {"Order", 7.0}, {"Parcel", 16.0}};
    for (const std::string& name : enrolment.contacts.names) {
        columns.push_back({name, kContactWidth});
    }
    const std::string wanted = request.wanted == PlanFor::volume ? "Added so far, " + volume : "Gain so far, " + flow;
    const auto append = [&columns](std::vector<SheetColumn> more) {
        std::ranges::move(more, std::back_inserter(columns));
    };
    append({column("Size, " + volume, 10.0), column("Tanks", 7.0), column("New tanks", 10.0), column("Delivery", 13.0),
            column("Cost", 12.0), column("Added gain, " + flow, 12.0),
            column("Added forbearance, " + volume + " a season", 14.0)});
    if (!enrolment.streams.empty()) {
        append({column("Reach", 9.0), column("Creek", 16.0), column("Added share of the reach's low flow, %", 11.0)});
    }
    append({column("In the plan", 11.0), column("Cost so far", 14.0), column(wanted, 14.0)});
    return columns;
}

// Writes the rows of plan and curve.
class TableRows {
public:
    TableRows(const Enrolment& enrolment, const EnrolRequest& request)
        : m_enrolment(enrolment),
          m_numbers(enrolment.settings.output.units),
          m_wanted(request.wanted),
          m_taken(enrolment.offers.size(), false) {
        for (const std::size_t offer : enrolment.plan.chosen) {
            m_taken[offer] = true;
        }
    }

    [[nodiscard]] std::vector<Value> row(const std::string& list, std::size_t order, const CurvePoint& point) const {
        const Offer& offer = m_enrolment.offers[point.offer];
        std::vector<Value> cells{list, static_cast<std::int64_t>(order), offer.parcel_id};
        if (!m_enrolment.contacts.names.empty()) {
            const auto& entries = m_enrolment.contacts.entries[point.offer];
            cells.insert(cells.end(), entries.begin(), entries.end());
        }
        const auto append = [&cells](const std::vector<Value>& more) {
            cells.insert(cells.end(), more.begin(), more.end());
        };
        append({m_numbers.volume(offer.storage_m3), offer.tank_count, offer.new_tanks,
                offer.delivery ? Value(std::string(to_text(*offer.delivery))) : Value(), ListNumbers::money(offer.cost),
                m_numbers.flow(offer.gain_lps), m_numbers.volume(offer.volume_m3)});
        if (!m_enrolment.streams.empty()) {
            append(reach_cells(offer));
        }
        append({std::string(m_taken[point.offer] ? "yes" : "no"), ListNumbers::money(point.cost),
                m_wanted == PlanFor::volume ? m_numbers.volume(point.gain) : m_numbers.flow(point.gain)});
        return cells;
    }
    [[nodiscard]] double wanted_of(const Offer& offer) const {
        return m_wanted == PlanFor::volume ? offer.volume_m3 : offer.gain_lps;
    }

private:
    [[nodiscard]] std::vector<Value> reach_cells(const Offer& offer) const {
        if (offer.reach == kNoReach) {
            return std::vector<Value>(3);
        }
        const ReachRow& reach = m_enrolment.streams.rows[offer.reach];
        return {reach.reach_id, reach.creek ? Value(*reach.creek) : Value(),
                ListNumbers::small_percent(share_of_low_flow(offer.gain_lps, reach.low_flow_lps))};
    }

    const Enrolment& m_enrolment;
    ListNumbers m_numbers;
    PlanFor m_wanted;
    std::vector<bool> m_taken;
};

}  // namespace

std::string enrolment_text(const Enrolment& enrolment, const EnrolRequest& request) {
    const PlanWords words(enrolment, request);
    const std::string reaches = plan_reaches_text(enrolment);
    return plan_text(enrolment, request, words) + "\n" + chosen_text(enrolment, words) + "\n" + reaches +
           (reaches.empty() ? "" : "\n") + curve_text(enrolment, words) + left_out_text(enrolment, request);
}

Sheet enrolment_table(const Enrolment& enrolment, const EnrolRequest& request) {
    Sheet table{"enrolment", table_columns(enrolment, request), {}};
    const TableRows rows(enrolment, request);
    CurvePoint sum{.gain = enrolment.enrolled_gain};
    for (std::size_t i = 0; i < enrolment.plan.chosen.size(); ++i) {
        sum.offer = enrolment.plan.chosen[i];
        sum.cost += enrolment.offers[sum.offer].cost;
        sum.gain += rows.wanted_of(enrolment.offers[sum.offer]);
        table.rows.push_back(rows.row("plan", i + 1, sum));
    }
    for (std::size_t i = 0; i < enrolment.curve.size(); ++i) {
        table.rows.push_back(rows.row("curve", i + 1, enrolment.curve[i]));
    }
    return table;
}

}  // namespace eaveshed
