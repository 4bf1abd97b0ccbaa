#include "eaveshed/offer/enrolment.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/core/error.hpp"
#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/record/read_values.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/result/result_reader.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

void take(const ParcelRow& row, Enrolment& enrolment) {
    const double gain_lps = row.instream_gain_lps.value_or(0.0);
    if (row.contact_status == ContactStatus::enrolled) {
        ++enrolment.enrolled;
        enrolment.enrolled_gain_lps += gain_lps;
        return;
    }
    if (!is_candidate(row)) {
        return;
    }
    if (!(gain_lps > 0.0)) {
        ++enrolment.without_gain;
    } else if (!row.cost || *row.cost < 0.0) {
        ++enrolment.without_price;
    } else {
        enrolment.offers.push_back({row.parcel_id, *row.cost, gain_lps, *row.forbearance_m3});
    }
}

std::vector<bool> chosen(const Enrolment& enrolment) {
    std::vector<bool> taken(enrolment.offers.size(), false);
    for (const std::size_t offer : enrolment.plan.chosen) {
        taken[offer] = true;
    }
    return taken;
}

std::string plan_text(const Enrolment& enrolment, const EnrolRequest& request) {
    const EnrolmentPlan& plan = enrolment.plan;
    std::string text;
    if (request.budget) {
        text += fmt::format("Most stream gain for a budget of {:.2f} {}\n", *request.budget, enrolment.currency);
    } else {
        text += fmt::format("Least cost for a stream gain of {:.4f} L/s\n", *request.target_lps);
    }
    text += fmt::format("  {}, {:.2f} {}, {:.4f} L/s", counted(plan.chosen.size(), "parcel"), plan.cost,
                        enrolment.currency, plan.gain_lps);
    if (enrolment.enrolled > 0) {
        text += fmt::format(", of which {:.4f} L/s from {} enrolled already", enrolment.enrolled_gain_lps,
                            counted(enrolment.enrolled, "parcel"));
    }
    text += "\n";
    if (!plan.reached) {
        text += "  The target is out of reach: this is what all offers together give.\n";
    } else if (plan.proven) {
        text += "  Proven: no other choice does better.\n";
    } else {
        text += fmt::format("  Not proven best: no choice does better by more than {:.4f} % ({} {:.6g}).\n",
                            100.0 * plan.gap, request.budget ? "a gain of at most" : "a cost of at least", plan.bound);
    }
    return text;
}

std::string chosen_text(const Enrolment& enrolment) {
    constexpr std::string_view kLine = "  {:<16} {:>14} {:>12} {:>12}\n";
    std::string text = fmt::format(kLine, "parcel", "cost", "gain L/s", "m3/season");
    for (const std::size_t position : enrolment.plan.chosen) {
        const Offer& offer = enrolment.offers[position];
        text += fmt::format(kLine, printable(offer.parcel_id, 16), fmt::format("{:.2f}", offer.cost),
                            fmt::format("{:.4f}", offer.gain_lps), fmt::format("{:.1f}", offer.forbearance_m3));
    }
    return text;
}

// About ten points of the curve; the whole of it is in the table.
std::string curve_text(const Enrolment& enrolment) {
    constexpr std::size_t kShown = 10;
    constexpr std::string_view kLine = "  {:>8} {:>16} {:>12}\n";
    std::string text =
        "Gain against cost, the best for each cost\n" + fmt::format(kLine, "parcels", "cost", "gain L/s");
    const std::size_t step = std::max<std::size_t>(1, (enrolment.curve.size() + kShown - 1) / kShown);
    for (std::size_t i = 0; i < enrolment.curve.size(); ++i) {
        if ((i + 1) % step == 0 || i + 1 == enrolment.curve.size()) {
            const CurvePoint& point = enrolment.curve[i];
            text += fmt::format(kLine, i + 1, fmt::format("{:.2f}", point.cost), fmt::format("{:.4f}", point.gain_lps));
        }
    }
    return text;
}

}  // namespace

Enrolment enrolment(const EnrolRequest& request, Findings& findings) {
    const ResultReader result(request.file, findings);
    Enrolment enrolment;
    enrolment.currency = recorded_settings(result, request.file).cost.currency;
    const std::string table(ParcelRow::kTable.name);
    const RowReader<ParcelRow> reader(result.columns(table));
    result.each_row(table, "", "", [&](const std::vector<Value>& values) { take(reader(values), enrolment); });
    if (enrolment.offers.empty()) {
        const bool priced = enrolment.without_price == 0;
        throw input_error(
            request.file,
            fmt::format("no candidate with a cost and a stream gain: {} without a cost, {} without a gain",
                        enrolment.without_price, enrolment.without_gain),
            "prices and water sources",
            priced ? "tell the parcels' water sources (parcels.water_source or source_share), then screen again"
                   : "set [cost] and the cost of each of [[tanks]], then screen again");
    }
    std::vector<EnrolmentOffer> offers;
    offers.reserve(enrolment.offers.size());
    for (const Offer& offer : enrolment.offers) {
        offers.push_back({offer.parcel_id, offer.cost, offer.gain_lps});
    }
    enrolment.plan = request.budget ? most_gain(offers, *request.budget, enrolment.enrolled_gain_lps)
                                    : least_cost(offers, *request.target_lps, enrolment.enrolled_gain_lps);
    enrolment.curve = gain_curve(offers, enrolment.enrolled_gain_lps);
    return enrolment;
}

std::string enrolment_text(const Enrolment& enrolment, const EnrolRequest& request) {
    std::string text = plan_text(enrolment, request) + "\n" + chosen_text(enrolment) + "\n" + curve_text(enrolment);
    if (enrolment.without_price + enrolment.without_gain > 0) {
        text +=
            fmt::format("\nLeft out: {} without a cost, {} without a stream gain\n",
                        counted(enrolment.without_price, "candidate"), counted(enrolment.without_gain, "candidate"));
    }
    return text;
}

Sheet enrolment_table(const Enrolment& enrolment) {
    Sheet table{"enrolment",
                {{"Order", 7.0},
                 {"Parcel", 16.0},
                 {"Enrol", 7.0},
                 {"Cost", 12.0},
                 {"Stream gain, L/s", 12.0},
                 {"Forbearance, m3 a season", 14.0},
                 {"Cost so far", 14.0},
                 {"Gain so far, L/s", 14.0}},
                {}};
    const std::vector<bool> taken = chosen(enrolment);
    for (std::size_t i = 0; i < enrolment.curve.size(); ++i) {
        const CurvePoint& point = enrolment.curve[i];
        const Offer& offer = enrolment.offers[point.offer];
        table.rows.push_back({static_cast<std::int64_t>(i) + 1, offer.parcel_id,
                              std::string(taken[point.offer] ? "yes" : "no"), offer.cost, offer.gain_lps,
                              offer.forbearance_m3, point.cost, point.gain_lps});
    }
    return table;
}

}  // namespace eaveshed
