#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "eaveshed/core/quantile.hpp"
#include "eaveshed/plausible/judge_roofs.hpp"
#include "eaveshed/plausible/parcel_sample.hpp"
#include "figure.hpp"

namespace eaveshed {

namespace {

using OfParcel = std::function<std::optional<double>(const ParcelSample&)>;

struct ParcelAsked {
    const ParcelSample* parcel = nullptr;
    double value = 0.0;
};

std::optional<double> by(const std::optional<double>& a, const std::optional<double>& b) {
    return a && b && *b > 0.0 ? std::optional(*a / *b) : std::nullopt;
}

// As the rule has it: "5 m2 or more", "15 or less", "0.4 to 2.5".
std::string wanted_text(const CheckRule& rule, const std::string& unit) {
    if (rule.low == 0.0) {
        return fmt::format("{:g}{} or less", rule.high, unit);
    }
    return rule.high == 0.0 ? fmt::format("{:g}{} or more", rule.low, unit)
                            : fmt::format("{:g} to {:g}{}", rule.low, rule.high, unit);
}

class ParcelJudge {
public:
    ParcelJudge(const std::vector<ParcelSample>& sample, const std::string& where, Findings& findings)
        : m_sample(sample), m_where(where), m_findings(findings) {}

    // Where the rule's share of the parcels, or without one the middle value, is beyond the bounds.
    void ask(CheckCode code, const std::string& what, const std::string& unit, const OfParcel& of) const;

private:
    const std::vector<ParcelSample>& m_sample;
    const std::string& m_where;
    Findings& m_findings;
};

void ParcelJudge::ask(CheckCode code, const std::string& what, const std::string& unit, const OfParcel& of) const {
    const CheckRule& rule = rule_of(code);
    std::vector<ParcelAsked> list;
    for (const ParcelSample& parcel : m_sample) {
        if (const auto value = of(parcel); value && std::isfinite(*value)) {
            list.push_back({&parcel, *value});
        }
    }
    std::ranges::stable_sort(list, {}, &ParcelAsked::value);
    std::vector<double> values;
    std::vector<ParcelAsked> some;
    for (const ParcelAsked& one : list) {
        values.push_back(one.value);
        if (rule.broken_by(one.value)) {
            some.push_back(one);
        }
    }
    if (list.size() < kLeastJudged) {
        return;
    }
    const double share = static_cast<double>(some.size()) / static_cast<double>(list.size());
    const double middle = median(values);
    if (rule.share > 0.0 ? share < rule.share : !rule.broken_by(middle)) {
        return;
    }
    const ParcelAsked& example = some[some.size() / 2];
    m_findings.check(
        code, {m_where,
               fmt::format("{} of {}{} in the middle; beyond that bound are {:.0f} % of {} parcels looked at, such as "
                           "\"{}\" ({}{})",
                           what, figure(middle), unit, 100.0 * share, list.size(), example.parcel->id,
                           figure(example.value), unit),
               wanted_text(rule, unit), ""});
}

}  // namespace

void judge_parcels(const std::vector<ParcelSample>& sample, const std::string& where, Findings& findings) {
    const ParcelJudge judge(sample, where, findings);
    judge.ask(CheckCode::people_many, "people", "", [](const ParcelSample& parcel) { return parcel.people; });
    judge.ask(CheckCode::gardens_small, "watered areas", " m2", [](const ParcelSample& one) { return one.garden_m2; });
    judge.ask(CheckCode::gardens_large, "watered areas by the open ground of the parcel", "",
              [](const ParcelSample& one) { return by(one.garden_m2, one.open_m2); });
    judge.ask(CheckCode::season_use_large, "water used in a season", " m3",
              [](const ParcelSample& one) { return one.season_use_m3; });
    judge.ask(CheckCode::season_use_deep, "water used in a season by the watered area", " m",
              [](const ParcelSample& one) { return by(one.season_use_m3, one.garden_m2); });
    judge.ask(CheckCode::tanks_large, "existing tanks", " m3", [](const ParcelSample& one) { return one.tank_m3; });
    judge.ask(CheckCode::pumps_large, "pumps", " L/s", [](const ParcelSample& one) { return one.pump_lps; });
    judge.ask(CheckCode::stream_distances, "distances to the stream by those to the nearest line", "",
              [](const ParcelSample& one) { return by(one.stream_m, one.line_m); });
}

}  // namespace eaveshed
