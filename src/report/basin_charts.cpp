#include "eaveshed/report/basin_charts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <set>

#include "eaveshed/drawing/colours.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/report/basin_map.hpp"
#include "eaveshed/summary/statements.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

QuantityText units_of(const BasinRows& rows) {
    return QuantityText(rows.facts.settings.output.units);
}

std::string things_of(const BasinRows& rows) {
    return rows.facts.of_parcels() ? "parcels" : "roofs";
}

void add_to(AddedSum& group, const PlaceRow& place) {
    ++group.number;
    group.added_m3 += place.added_m3.value_or(0.0);
    group.added_lps += place.added_lps.value_or(0.0);
    group.felt_known = group.felt_known || place.source_known;
}

// A curve in the units of the project: gain upwards.
std::string gain_chart(const BasinRows& rows, DrawingWords words, const std::string& x_title,
                       const std::vector<Point>& points, bool by_number) {
    const QuantityText units = units_of(rows);
    std::vector<Point> shown;
    double most_x = 0.0;
    double most_y = 0.0;
    for (const Point& point : points) {
        shown.push_back({point.x, units.shown("L/s", point.y)});
        most_x = std::max(most_x, shown.back().x);
        most_y = std::max(most_y, shown.back().y);
    }
    Chart chart(std::move(words), {}, Axis::numbers(x_title, 0.0, most_x, by_number),
                Axis::numbers(fmt::format("creek gains, {}", units.unit("L/s")), 0.0, most_y));
    chart.line(shown, {.stroke = colour::kBlue, .width = 0.6}, !by_number);  // what money surely buys is a step
    return chart.element();
}

}  // namespace

std::vector<AddedSum> by_source(const BasinRows& rows) {
    std::map<std::string, AddedSum> groups;
    for (const PlaceRow& place : rows.places) {
        if (place.can_be_asked) {
            const std::string name = place.water_source.empty() ? "not known" : spaced(place.water_source);
            AddedSum& group = groups.try_emplace(name, AddedSum{.name = name}).first->second;
            add_to(group, place);
        }
    }
    std::vector<AddedSum> list;
    list.reserve(groups.size());
    for (auto& [name, group] : groups) {
        list.push_back(std::move(group));
    }
    std::ranges::stable_sort(list, std::ranges::greater{}, &AddedSum::added_m3);
    return list;
}

std::vector<AddedSum> by_delivery(const BasinRows& rows) {
    PerTerm<Delivery, AddedSum> groups{};
    for (const PlaceRow& place : rows.places) {
        if (place.can_be_asked && place.delivery) {
            add_to(groups.at(static_cast<std::size_t>(*place.delivery)), place);
        }
    }
    std::vector<AddedSum> list;
    for (std::size_t i = 0; i < groups.size(); ++i) {
        if (groups.at(i).number > 0) {
            list.push_back(groups.at(i));
            list.back().name = spaced(terms_of<Delivery>().at(i).name);
        }
    }
    return list;
}

GainCurve gain_by_cost(const BasinRows& rows) {
    GainCurve curve;
    if (rows.enrolment.curve.empty()) {
        return curve;
    }
    curve.points.push_back({0.0, 0.0});
    curve.joined.push_back(0);
    std::set<std::string_view> joined;
    for (const CurvePoint& point : rows.enrolment.curve) {
        joined.insert(rows.enrolment.offers.at(point.offer).parcel_id);
        curve.points.push_back({point.cost, point.gain - rows.enrolment.enrolled_gain});
        curve.joined.push_back(joined.size());
    }
    return curve;
}

GainCurve gain_by_number(const BasinRows& rows) {
    GainCurve curve{{{0.0, 0.0}}, {0}};
    double gain = 0.0;
    for (const PlaceRow* const place : rows.can_be_asked()) {
        gain += place->added_lps.value_or(0.0);
        curve.joined.push_back(curve.points.size());
        curve.points.push_back({static_cast<double>(curve.points.size()), gain});
    }
    return curve;
}

std::string cost_chart(const BasinRows& rows, const GainCurve& curve) {
    if (curve.points.size() < 2) {
        return {};
    }
    const std::string& currency = rows.facts.settings.cost.currency;
    // In thousands or millions where the numbers would be long.
    const double most = curve.points.back().x;
    const double unit = most >= 2e6 ? 1e6 : most >= 2e4 ? 1e3 : 1.0;
    std::vector<Point> points = curve.points;
    for (Point& point : points) {
        point.x /= unit;
    }
    const std::string title = fmt::format("spent{}{}",
                                          unit >= 1e6   ? ", million"
                                          : unit >= 1e3 ? ", thousand"
                                                        : ",",
                                          currency.empty() ? "" : " " + printable(currency, 20));
    return gain_chart(rows,
                      {.id = "gain-by-cost",
                       .title = "What the creek gains for the money",
                       .description = fmt::format("Each parcel with the size of most gain for the money joins in turn; "
                                                  "what is enrolled already is not counted. All {} with a price cost "
                                                  "{} {} and bring {}.",
                                                  curve.joined.back(), with_figures(most, 3), currency,
                                                  units_of(rows).text("L/s", curve.points.back().y))},
                      title, points, false);
}

std::string number_chart(const BasinRows& rows, const GainCurve& curve) {
    if (curve.points.size() < 2 || !(curve.points.back().y > 0.0)) {
        return {};
    }
    const std::string things = things_of(rows);
    return gain_chart(rows,
                      {.id = "gain-by-number",
                       .title = fmt::format("What the creek gains as {} join", things),
                       .description = fmt::format("In the order of the list; {} {} bring {}.", curve.joined.back(),
                                                  things, units_of(rows).text("L/s", curve.points.back().y))},
                      fmt::format("{} enrolled, in the order of the list", things), curve.points, true);
}

std::string volume_histogram(const BasinRows& rows) {
    constexpr int kBins = 12;
    const QuantityText units = units_of(rows);
    std::vector<double> volumes;
    for (const PlaceRow& place : rows.places) {
        if (place.can_be_asked && place.added_m3) {
            volumes.push_back(units.shown("m3", *place.added_m3));
        }
    }
    if (volumes.empty()) {
        return {};
    }
    const double most = *std::ranges::max_element(volumes);
    const Ticks bins = round_ticks(0.0, most, kBins);
    std::vector<double> edges{0.0};
    while (edges.back() < most) {
        edges.push_back(static_cast<double>(edges.size()) * bins.step);
    }
    edges.resize(std::max<std::size_t>(2, edges.size()), bins.step);
    const std::vector<double> counts = counts_between(edges, volumes);
    const std::string things = things_of(rows);
    Chart chart({.id = "volumes",
                 .title = fmt::format("How much each of the {} would add", things),
                 .description = fmt::format("{} {} by what their storage adds in a season, in steps of {:g} {}.",
                                            volumes.size(), things, bins.step, units.unit("m3"))},
                {}, Axis::numbers(fmt::format("adds, {} a season", units.unit("m3")), 0.0, edges.back()),
                Axis::numbers(things, 0.0, *std::ranges::max_element(counts), true));
    chart.histogram(edges, counts, colour::kBlue);
    return chart.element();
}

// By the closed list's word and not by the probability, which is a lower bound: near 0 it says nothing yet.
std::string gravity_bars(const BasinRows& rows) {
    PerTerm<GravityCheck, std::size_t> counts{};
    std::size_t all = 0;
    for (const PlaceRow& place : rows.places) {
        if (place.can_be_asked && place.gravity_check) {
            ++counts.at(static_cast<std::size_t>(*place.gravity_check));
            ++all;
        }
    }
    if (all == 0) {
        return {};
    }
    const std::string things = things_of(rows);
    const std::array order{GravityCheck::yes, GravityCheck::cannot_tell, GravityCheck::no};
    std::vector<std::string> names;
    std::vector<std::optional<double>> heights;
    std::string described;
    double most = 0.0;
    for (const GravityCheck check : order) {
        const std::size_t count = counts.at(static_cast<std::size_t>(check));
        names.push_back(fmt::format("{} ({})", spaced(to_text(check)), count));
        heights.emplace_back(static_cast<double>(count));
        most = std::max(most, *heights.back());
        described += fmt::format("{}{} {}", described.empty() ? "" : ", ", spaced(to_text(check)), count);
    }
    Chart chart({.id = "gravity",
                 .title = "How sure it is that no pump is needed",
                 .description = fmt::format("Whether gravity alone fills and feeds, by the error of the elevations: {} "
                                            "of {} {}.",
                                            described, all, things)},
                {}, Axis::named(names, "fills and feeds without a pump?"), Axis::numbers(things, 0.0, most, true));
    chart.bars(heights, colour::kBlue);
    return chart.element();
}

std::string group_bars(const BasinRows& rows, const DrawingWords& words, const std::vector<AddedSum>& groups) {
    constexpr double kWidth = 178.0;
    if (groups.empty()) {
        return {};
    }
    const QuantityText units = units_of(rows);
    std::vector<LyingBar> bars;
    for (const AddedSum& group : groups) {
        const std::string felt = group.felt_known
                                     ? fmt::format("{} {}", units.entry("L/s", group.added_lps), units.unit("L/s"))
                                     : "what the creek feels not known";
        bars.push_back({group.name, group.added_m3,
                        fmt::format("{} {}, {}; {}", units.entry("m3", group.added_m3), units.unit("m3"), felt,
                                    counted(group.number, rows.facts.of_parcels() ? "parcel" : "roof")),
                        colour::kBlue});
    }
    return lying_bars(words, kWidth, bars);
}

}  // namespace eaveshed
