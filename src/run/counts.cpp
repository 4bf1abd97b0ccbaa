#include "eaveshed/run/counts.hpp"

#include <algorithm>

namespace eaveshed::run {

namespace {

void add_to(GroupSum& group, const RoofRow& row) {
    ++group.roofs;
    group.harvest_mean_m3 += row.harvest_mean_m3.value_or(0.0);
    group.harvest_dependable_m3 += row.harvest_dependable_m3.value_or(0.0);
}

template <typename Enum>
std::size_t index_of(Enum value) {
    return static_cast<std::size_t>(value);
}

}  // namespace

void RunCounts::add(const RoofRow& row, std::uint32_t parcel) {
    ++m_rows;
    ++m_status.at(index_of(row.status));
    for (std::size_t i = 0; i < kFlagCount; ++i) {
        m_flags.at(i) += row.flags.has(static_cast<Flag>(i)) ? 1U : 0U;
    }
    if (row.no_pad_reason) {
        ++m_reasons.at(index_of(*row.no_pad_reason));
    }
    if (row.status != Status::ok) {
        return;
    }
    add_to(m_computed, row);
    if (row.delivery) {
        add_to(m_delivery.at(index_of(*row.delivery)), row);
    }
    if (row.limited_by) {
        add_to(m_limit.at(index_of(*row.limited_by)), row);
    }
    if (!row.forbearance_m3) {
        return;
    }
    if (parcel == kNoParcel) {
        m_free_m3 += *row.forbearance_m3;
        m_free_lps += *row.forbearance_lps;
    } else if (*row.forbearance_m3 > m_best_of_parcel.at(parcel)) {
        m_best_of_parcel[parcel] = *row.forbearance_m3;
        m_flow_of_parcel[parcel] = *row.forbearance_lps;
    }
    add_best(row);
}

void RunCounts::add(const PadRow& pad) {
    const std::size_t by_fill = pad.fill == FillClass::sure ? 0 : 1;
    const std::size_t stage = pad.feed == FeedClass::pumped ? by_fill + 2 : by_fill;
    ++m_stage.at(pad.fill == FillClass::lifted ? m_stage.size() - 1 : stage);
}

void RunCounts::add_best(const RoofRow& row) {
    const double volume = *row.forbearance_m3;
    if (volume <= 0.0 || (m_best.size() == kBestRoofs && m_best.back().forbearance_m3 >= volume)) {
        return;
    }
    const auto place = std::ranges::upper_bound(m_best, volume, std::greater<>{}, &BestRoof::forbearance_m3);
    m_best.insert(place, BestRoof{.roof_id = row.roof_id,
                                  .parcel_id = row.parcel_id.value_or(""),
                                  .forbearance_m3 = volume,
                                  .forbearance_lps = row.forbearance_lps.value_or(0.0),
                                  .plan_area_m2 = row.plan_area_m2.value_or(0.0),
                                  .storage_m3 = row.storage_m3.value_or(0.0),
                                  .tank_count = row.tank_count.value_or(0),
                                  .limited_by = row.limited_by ? std::string(to_text(*row.limited_by)) : "",
                                  .delivery = row.delivery ? std::string(to_text(*row.delivery)) : ""});
    if (m_best.size() > kBestRoofs) {
        m_best.pop_back();
    }
}

double RunCounts::forbearance_m3() const {
    double sum = m_free_m3;
    for (const double volume : m_best_of_parcel) {
        sum += std::max(0.0, volume);
    }
    return sum;
}

double RunCounts::forbearance_lps() const {
    double sum = m_free_lps;
    for (const double flow : m_flow_of_parcel) {
        sum += flow;
    }
    return sum;
}

}  // namespace eaveshed::run
