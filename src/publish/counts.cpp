#include "eaveshed/publish/counts.hpp"

#include <algorithm>

namespace eaveshed {

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

template <typename Row>
void RunCounts::add_property(const Row& row) {
    if (!row.delivery) {
        return;
    }
    PropertySum& sum = m_properties.at(index_of(*row.delivery));
    ++sum.properties;
    sum.forbearance_m3 += row.forbearance_m3.value_or(0.0);
    sum.forbearance_lps += row.forbearance_lps.value_or(0.0);
    sum.stream_gain_lps += row.instream_gain_lps.value_or(0.0);
}

PropertySum RunCounts::all_properties() const {
    PropertySum all;
    for (const PropertySum& sum : m_properties) {
        all.properties += sum.properties;
        all.forbearance_m3 += sum.forbearance_m3;
        all.forbearance_lps += sum.forbearance_lps;
        all.stream_gain_lps += sum.stream_gain_lps;
    }
    return all;
}

void RunCounts::add(const ParcelRow& parcel) {
    ++m_parcels;
    const double inside = parcel.inside_share.value_or(1.0);
    m_cut_parcels += inside > 0.0 && inside < 1.0 ? 1U : 0U;
    m_outside_parcels += inside == 0.0 ? 1U : 0U;
    ++m_parcel_status.at(index_of(parcel.parcel_status));
    ++m_contact.at(index_of(parcel.contact_status));
    add_property(parcel);
}

void RunCounts::add(const RoofRow& row) {
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
    if (!row.parcel_id) {
        ++m_without_parcel;
        add_property(row);
    }
    if (row.forbearance_m3 && row.pad_elev_m) {
        add_best(row);
    }
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

}  // namespace eaveshed
