#include "eaveshed/publish/stream_accounts.hpp"

#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/stream/reach_tree.hpp"

namespace eaveshed {

namespace {

void add_to(std::optional<double>& sum, const std::optional<double>& value) {
    if (value) {
        sum = sum.value_or(0.0) + *value;
    }
}

template <typename Row>
bool by_gravity(const Row& row) {
    return row.delivery == Delivery::gravity || row.delivery == Delivery::low_pressure;
}

std::optional<double> share_of(double part, const std::optional<double>& whole) {
    return whole.value_or(0.0) > 0.0 ? std::optional(part / *whole) : std::nullopt;
}

}  // namespace

StreamAccounts::StreamAccounts(const Creeks& creeks, const Subbasins& subbasins, const Inputs& inputs, const Plan& plan,
                               const std::filesystem::path& scratch)
    : m_creeks(creeks),
      m_subbasins(subbasins),
      m_plan(plan),
      m_to_terrain(inputs.footprints().info.crs, inputs.terrain().crs, inputs.footprints().info.where),
      m_standings(scratch),
      m_reaches(creeks.reaches().size()),
      m_areas(subbasins.size()) {
    m_standings.resize(idle() ? 0 : plan.parcels.size());
    for (std::size_t i = 0; i < m_areas.size(); ++i) {
        SubbasinRow& row = m_areas[i].row;
        row.subbasin_id = subbasins.id(i);
        row.roof_count = 0;
        row.ok_roof_count = 0;
        row.roofs_area_m2 = 0.0;
        row.roofs_harvest_mean_m3 = 0.0;
        row.parcel_count = 0;
        row.forbearance_m3 = 0.0;
        row.instream_gain_lps = 0.0;
        row.open_count = 0;
        row.open_added_m3 = 0.0;
        row.open_added_lps = 0.0;
    }
}

StreamAccounts::Standing StreamAccounts::standing_of(const std::optional<Point>& place,
                                                     const std::optional<Point>& diversion) const {
    Standing standing;
    standing.known = true;
    if (const auto entry = m_creeks.entry_of(place, diversion)) {
        standing.reach = entry->reach;
        standing.way = entry->way;
        standing.distance_m = entry->distance_m;
    }
    const auto& from = diversion ? diversion : place;
    if (from) {
        standing.subbasin = m_subbasins.at(*from).value_or(kNone);
    }
    return standing;
}

template <typename Row>
void StreamAccounts::fill(const ReachEntry& entry, Row& row) const {
    row.reach_id = m_creeks.reaches()[entry.reach].id;
    row.reach_entry = entry.way;
    row.reach_distance_m = entry.distance_m;
}

std::optional<Point> StreamAccounts::diversion_of(std::uint32_t parcel) const {
    return parcel != kNone ? m_plan.parcels[parcel].diversion : std::nullopt;
}

// What a parcel, or a roof in none, would leave in its stream.
template <typename Row>
void StreamAccounts::add_property(const Row& row, SubbasinSums& sums) {
    ++*sums.row.parcel_count;
    const double volume_m3 = row.forbearance_m3.value_or(0.0);
    *sums.row.forbearance_m3 += volume_m3;
    *sums.row.instream_gain_lps += row.instream_gain_lps.value_or(0.0);
    sums.gravity_m3 += by_gravity(row) ? volume_m3 : 0.0;
    sums.sure_m3 += row.gravity_check == GravityCheck::yes ? volume_m3 : 0.0;
}

void StreamAccounts::take(std::uint32_t ordinal, const std::optional<Point>& interior, RoofRows& result) {
    if (idle()) {
        return;
    }
    RoofRow& row = result.roof;
    const auto stands = interior ? m_to_terrain(*interior) : std::nullopt;
    const std::uint32_t parcel = m_plan.roofs[ordinal].parcel;
    if (row.status == Status::ok) {
        const auto place = result.pad ? std::optional(result.pad->place) : stands;
        if (const auto entry = m_creeks.entry_of(place, diversion_of(parcel))) {
            fill(*entry, row);
            m_roof_entries.see(entry->way, entry->distance_m);
        }
    }
    const auto area = stands ? m_subbasins.at(*stands) : std::nullopt;
    if (!area) {
        return;
    }
    row.subbasin_id = m_subbasins.id(*area);
    SubbasinSums& sums = m_areas[*area];
    ++*sums.row.roof_count;
    if (row.status != Status::ok) {
        return;
    }
    ++*sums.row.ok_roof_count;
    add_to(sums.row.roofs_area_m2, row.plan_area_m2);
    add_to(sums.row.roofs_harvest_mean_m3, row.harvest_mean_m3);
    add_to(sums.row.roofs_harvest_dependable_m3, row.harvest_dependable_m3);
    if (parcel == kNone) {
        add_property(row, sums);
    }
}

void StreamAccounts::place(std::uint32_t parcel, std::uint32_t first_ok_roof, ParcelRows& result) {
    if (idle() || first_ok_roof == kNone) {
        return;
    }
    Standing& standing = m_standings[parcel];
    if (!standing.known) {
        const auto place =
            result.pad ? std::optional(result.pad->place) : m_to_terrain(m_plan.footprint(first_ok_roof).interior);
        standing = standing_of(place, diversion_of(parcel));
    }
    ParcelRow& row = result.parcel;
    if (standing.subbasin != kNone) {
        row.subbasin_id = m_subbasins.id(standing.subbasin);
    }
    if (standing.reach != kNoReach) {
        fill(ReachEntry{standing.reach, standing.way, standing.distance_m}, row);
        row.low_flow_lps = m_creeks.reaches()[standing.reach].low_flow_lps;
        row.low_flow_share = score_components(row).low_flow_share;
    }
}

void StreamAccounts::count(std::uint32_t parcel, const ParcelRow& row) {
    if (idle() || !m_standings[parcel].known) {
        return;
    }
    const bool open = is_candidate(row);
    const double gain_lps = row.instream_gain_lps.value_or(0.0);
    const double open_lps = open ? row.added_gain_lps.value_or(0.0) : 0.0;
    if (const std::uint32_t reach = m_standings[parcel].reach; reach != kNoReach) {
        m_parcel_entries.see(m_standings[parcel].way, m_standings[parcel].distance_m);
        ReachSums& sums = m_reaches[reach];
        sums.parcels += gain_lps > 0.0 ? 1 : 0;
        sums.gain_lps += gain_lps;
        sums.open_lps += open_lps;
        sums.enrolled_lps += row.contact_status == ContactStatus::enrolled ? gain_lps : 0.0;
    }
    if (const std::uint32_t area = m_standings[parcel].subbasin; area != kNone) {
        SubbasinSums& sums = m_areas[area];
        add_property(row, sums);
        *sums.row.open_count += open ? 1 : 0;
        *sums.row.open_added_m3 += open ? row.added_forbearance_m3.value_or(0.0) : 0.0;
        *sums.row.open_added_lps += open_lps;
    }
}

std::vector<ReachRow> StreamAccounts::reach_rows() const {
    const ReachTree& tree = m_creeks.tree();
    const auto totals = [&](double ReachSums::*member) {
        std::vector<double> local;
        for (const ReachSums& sums : m_reaches) {
            local.push_back(sums.*member);
        }
        return tree.accumulated(local);
    };
    const std::vector<double> gains = totals(&ReachSums::gain_lps);
    const std::vector<double> open = totals(&ReachSums::open_lps);
    const std::vector<double> enrolled = totals(&ReachSums::enrolled_lps);
    std::vector<ReachRow> rows;
    for (std::size_t i = 0; i < m_reaches.size(); ++i) {
        const CreekReach& reach = m_creeks.reaches()[i];
        ReachRow row;
        row.reach_id = reach.id;
        if (tree.next(i) != kNoReach) {
            row.next_reach_id = m_creeks.reaches()[tree.next(i)].id;
        }
        if (!reach.name.empty()) {
            row.creek = reach.name;
        }
        row.stream_order = tree.strahler(i);
        row.length_m = reach.length_m;
        row.drained_km2 = reach.drained_km2;
        row.parcel_count = m_reaches[i].parcels;
        row.gain_local_lps = m_reaches[i].gain_lps;
        row.gain_total_lps = gains[i];
        row.open_local_lps = m_reaches[i].open_lps;
        row.open_total_lps = open[i];
        row.enrolled_local_lps = m_reaches[i].enrolled_lps;
        row.enrolled_total_lps = enrolled[i];
        row.low_flow_lps = reach.low_flow_lps;
        row.gain_share = share_of_low_flow(gains[i], reach.low_flow_lps);
        rows.push_back(std::move(row));
    }
    return rows;
}

std::vector<SubbasinRow> StreamAccounts::subbasin_rows() const {
    std::vector<SubbasinRow> rows;
    for (const SubbasinSums& sums : m_areas) {
        SubbasinRow& row = rows.emplace_back(sums.row);
        row.gravity_share = share_of(sums.gravity_m3, row.forbearance_m3);
        row.sure_gravity_share = share_of(sums.sure_m3, row.forbearance_m3);
    }
    return rows;
}

}  // namespace eaveshed
