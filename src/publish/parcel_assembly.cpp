#include "eaveshed/publish/parcel_assembly.hpp"

#include "eaveshed/demand/source_share.hpp"

namespace eaveshed {

namespace {

void append(std::optional<std::string>& list, const std::string& item) {
    list = list ? *list + "," + item : item;
}

}  // namespace

ParcelAssembly::ParcelAssembly(const Project& project, const Plan& plan, const std::filesystem::path& scratch)
    : m_project(project), m_plan(plan), m_seen(scratch), m_id_of(scratch), m_ids(scratch), m_site_of(scratch) {
    m_seen.resize(plan.roofs.size(), Seen::not_ok);
    m_id_of.resize(plan.roofs.size());
    m_site_of.resize(plan.parcels.size(), kNone);
    for (std::uint32_t i = 0; i < plan.sites.size(); ++i) {
        if (plan.sites[i].parcel != kNone) {
            m_site_of[plan.sites[i].parcel] = i;
        }
    }
}

void ParcelAssembly::see(std::uint32_t ordinal, const std::string& roof_id, const RoofRows& roof) {
    if (roof.roof.status == Status::ok) {
        m_seen[ordinal] = roof.connected ? Seen::connected : Seen::left_out;
    }
    m_id_of[ordinal] = {m_ids.size(), static_cast<std::uint32_t>(roof_id.size())};
    m_ids.append(roof_id.begin(), roof_id.end());
}

void ParcelAssembly::rest() const {
    m_seen.rest();
    m_id_of.rest();
    m_ids.rest();
    m_site_of.rest();
}

std::string ParcelAssembly::roof_id(std::uint32_t ordinal) const {
    return {m_ids.data() + m_id_of[ordinal].first, m_id_of[ordinal].length};
}

void ParcelAssembly::set_roofs(const PlannedSite& site, ParcelRow& row) const {
    row.roof_count = site.count;
    std::int64_t ok = 0;
    for (std::uint32_t i = site.first; i < site.first + site.count; ++i) {
        const std::uint32_t roof = m_plan.site_roofs[i];
        if (m_seen[roof] != Seen::not_ok) {
            ++ok;
            append(m_seen[roof] == Seen::connected ? row.connected_roofs : row.unconnected_roofs, roof_id(roof));
        }
    }
    row.ok_roof_count = ok;
}

std::uint32_t ParcelAssembly::first_ok_roof(std::uint32_t parcel) const {
    if (m_site_of[parcel] == kNone) {
        return kNone;
    }
    const PlannedSite& site = m_plan.sites[m_site_of[parcel]];
    for (std::uint32_t i = site.first; i < site.first + site.count; ++i) {
        if (m_seen[m_plan.site_roofs[i]] != Seen::not_ok) {
            return m_plan.site_roofs[i];
        }
    }
    return kNone;
}

ParcelRows ParcelAssembly::completed(std::uint32_t parcel, const ParcelRecord& record, ParcelRows result) const {
    const PlannedParcel& planned = m_plan.parcels[parcel];
    ParcelRow& row = result.parcel;
    row.parcel_id = m_plan.parcel_id(parcel);
    row.contact_status = planned.contact;
    row.inside_share = planned.inside_share;
    if (planned.owner_group != kNone) {
        row.owner_group = std::int64_t{planned.owner_group} + 1;
    }
    row.water_source =
        std::string(to_text(water_source(record.facts.water_source, m_project.settings.parcels.default_water_source)));
    row.pump_lps = record.facts.pump_lps;
    if (planned.measured) {
        row.flags.add(Flag::measured);
    }
    row.roof_count = 0;
    row.ok_roof_count = 0;
    if (m_site_of[parcel] != kNone) {
        set_roofs(m_plan.sites[m_site_of[parcel]], row);
    }
    return result;
}

}  // namespace eaveshed
