#include <fmt/format.h>

#include "eaveshed/plausible/parcel_sample.hpp"
#include "sample_judge.hpp"

namespace eaveshed {

namespace {

using ParcelAsked = Asked<ParcelSample>;

class ParcelJudge {
public:
    ParcelJudge(const std::vector<ParcelSample>& sample, const std::string& where, Findings& findings)
        : m_judge(sample, findings), m_where(where) {}

    // Where the rule's share of the parcels, or without one the middle value, is beyond the bounds.
    void ask(CheckCode code, const std::string& what, const std::string& unit,
             const SampleJudge<ParcelSample>::Ask& of) const {
        const auto example = [&](const ParcelAsked& one) { return figure(one.value) + unit; };
        const CheckRule& rule = rule_of(code);
        const std::string wanted = bounds_text(rule, unit);
        if (rule.share > 0.0) {
            m_judge.by_share(code, m_where, of, what, wanted, example);
        } else {
            m_judge.by_middle(code, m_where, of, what, wanted, example);
        }
    }

private:
    SampleJudge<ParcelSample> m_judge;
    const std::string& m_where;
};

}  // namespace

void judge_parcels(const std::vector<ParcelSample>& sample, const std::string& where, Findings& findings) {
    const ParcelJudge judge(sample, where, findings);
    judge.ask(CheckCode::people_many, "people", "", [](const ParcelSample& parcel) { return parcel.people; });
    judge.ask(CheckCode::gardens_small, "watered areas, m2,", " m2",
              [](const ParcelSample& one) { return one.garden_m2; });
    judge.ask(CheckCode::gardens_large, "watered areas beyond the open ground of the parcel", " times the open ground",
              [](const ParcelSample& one) { return ratio(one.garden_m2, one.open_m2); });
    judge.ask(CheckCode::season_use_large, "water used in a season, m3,", " m3",
              [](const ParcelSample& one) { return one.season_use_m3; });
    judge.ask(CheckCode::season_use_deep, "water used in a season by the watered area, m,", " m",
              [](const ParcelSample& one) { return ratio(one.season_use_m3, one.garden_m2); });
    judge.ask(CheckCode::tanks_large, "existing tanks, m3,", " m3",
              [](const ParcelSample& one) { return one.tank_m3; });
    judge.ask(CheckCode::pumps_large, "pumps, L/s,", " L/s", [](const ParcelSample& one) { return one.pump_lps; });
    judge.ask(CheckCode::stream_distances, "distances to the stream by those to the nearest line", "",
              [](const ParcelSample& one) { return ratio(one.stream_m, one.line_m); });
}

}  // namespace eaveshed
