#include "eaveshed/publish/counts.hpp"

#include "eaveshed/ranking/ranking.hpp"

namespace eaveshed {

namespace {

void add_to(GroupSum& group, const RoofRow& row) {
    ++group.roofs;
    group.harvest_mean_m3 += row.harvest_mean_m3.value_or(0.0);
    group.harvest_dependable_m3 += row.harvest_dependable_m3.value_or(0.0);
    group.with_dependable += row.harvest_dependable_m3 ? 1U : 0U;
}

template <typename Enum>
std::size_t index_of(Enum value) {
    return static_cast<std::size_t>(value);
}

template <typename Row>
HeadlinePart candidate_part(const Row& row) {
    if (row.instream_gain_lps.value_or(0.0) > 0.0) {
        return HeadlinePart::creek;
    }
    return row.flags.has(Flag::unknown_source) ? HeadlinePart::source_not_known : HeadlinePart::other_source;
}

// A place that is not seen may be there all the same: a gap in the elevations, or cells too wide to show a garden.
HeadlinePart without_pad(const std::optional<PadReason>& reason) {
    const bool unseen =
        reason == PadReason::no_elevation || reason == PadReason::elevation_gap || reason == PadReason::no_use_point;
    return unseen ? HeadlinePart::not_seen : HeadlinePart::no_place;
}

// Of a roof's take the part that the creek feels: its row has the flows only.
double felt_share(const RoofRow& row) {
    const double flow_lps = row.forbearance_lps.value_or(0.0);
    return flow_lps > 0.0 ? row.instream_gain_lps.value_or(0.0) / flow_lps : 0.0;
}

// What storage that stands already replaces by itself is not the candidate's to add.
void move_stored(const ParcelRow& row, HeadlinePart from, Headline& headline) {
    const double volume_m3 = row.forbearance_m3.value_or(0.0) - row.added_forbearance_m3.value_or(0.0);
    const double gain_lps = row.instream_gain_lps.value_or(0.0) - row.added_gain_lps.value_or(0.0);
    const double felt_m3 = volume_m3 * row.source_share.value_or(0.0);
    headline.at(index_of(from)).add({0, -volume_m3, -felt_m3, -gain_lps});
    headline.at(index_of(HeadlinePart::stored_already)).add({0, volume_m3, felt_m3, gain_lps});
}

}  // namespace

HeadlinePart part_of(const ParcelRow& row) {
    if (row.contact_status == ContactStatus::enrolled) {
        return HeadlinePart::enrolled;
    }
    if (row.contact_status == ContactStatus::declined || row.contact_status == ContactStatus::do_not_contact) {
        return HeadlinePart::closed;
    }
    if (row.parcel_status != ParcelStatus::ok) {
        return HeadlinePart::not_computed;
    }
    if (row.delivery == Delivery::no_use || row.forbearance_m3.value_or(0.0) <= 0.0) {
        return HeadlinePart::no_use;
    }
    if (row.delivery == Delivery::no_pad) {
        return without_pad(row.no_pad_reason);
    }
    return is_candidate(row) ? candidate_part(row) : HeadlinePart::stored_already;
}

HeadlinePart part_of(const RoofRow& row) {
    if (row.status != Status::ok) {
        return HeadlinePart::not_computed;
    }
    if (row.delivery == Delivery::no_use || row.forbearance_m3.value_or(0.0) <= 0.0) {
        return HeadlinePart::no_use;
    }
    return row.delivery == Delivery::no_pad ? without_pad(row.no_pad_reason) : candidate_part(row);
}

namespace {

void count_flags(const Flags& flags, PerTerm<Flag, std::uint64_t>& counts) {
    for (std::size_t i = 0; i < kFlagCount; ++i) {
        counts.at(i) += flags.has(static_cast<Flag>(i)) ? 1U : 0U;
    }
}

}  // namespace

template <typename Row>
void RunCounts::add_property(const Row& row, HeadlinePart part, double source_share, Headline& headline) {
    const double volume_m3 = row.forbearance_m3.value_or(0.0);
    const double gain_lps = row.instream_gain_lps.value_or(0.0);
    headline.at(index_of(part)).add({1, volume_m3, volume_m3 * source_share, gain_lps});
    for (std::size_t i = 0; i < kFlagCount; ++i) {
        m_flagged_volume_m3.at(i) += row.flags.has(static_cast<Flag>(i)) ? volume_m3 : 0.0;
    }
    if (part <= HeadlinePart::other_source) {
        if (row.delivery) {
            ++m_candidates.at(index_of(*row.delivery));
        }
        if (row.gravity_check) {
            ++m_gravity.at(index_of(*row.gravity_check));
        }
    }
}

HeadlineSum RunCounts::all_properties() const {
    HeadlineSum all = sum_of(m_parcel_headline);
    all.add(sum_of(m_roof_headline));
    return all;
}

void RunCounts::add(const ParcelRow& parcel) {
    if (m_parcels++ == 0) {  // where there are parcels, they are the candidates: not the roofs, which came before
        m_candidates = {};
        m_gravity = {};
    }
    const double inside = parcel.inside_share.value_or(1.0);
    m_cut_parcels += inside > 0.0 && inside < 1.0 ? 1U : 0U;
    m_outside_parcels += inside == 0.0 ? 1U : 0U;
    count_flags(parcel.flags, m_parcel_flags);
    ++m_parcel_status.at(index_of(parcel.parcel_status));
    ++m_contact.at(index_of(parcel.contact_status));
    const HeadlinePart part = part_of(parcel);
    add_property(parcel, part, parcel.source_share.value_or(0.0), m_parcel_headline);
    if (part <= HeadlinePart::other_source) {
        move_stored(parcel, part, m_parcel_headline);
    }
}

void RunCounts::add(const RoofRow& row) {
    ++m_rows;
    ++m_status.at(index_of(row.status));
    count_flags(row.flags, m_flags);
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
    if (!row.parcel_id) {
        ++m_without_parcel;
        add_property(row, part_of(row), felt_share(row), m_roof_headline);
    }
}

void RunCounts::add(const PadRow& pad) {
    const std::size_t by_fill = pad.fill == FillClass::sure ? 0 : 1;
    const std::size_t stage = pad.feed == FeedClass::pumped ? by_fill + 2 : by_fill;
    ++m_stage.at(pad.fill == FillClass::lifted ? m_stage.size() - 1 : stage);
}

}  // namespace eaveshed
