// The rows of the parcels, put together from the plan and from what the tiles found. Private to the module.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "eaveshed/files/spill_array.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/record/tile_rows.hpp"

namespace eaveshed {

class ParcelAssembly {
public:
    // What is named here outlives the object. `scratch`: a folder for what large basins outgrow memory with, or empty.
    ParcelAssembly(const Project& project, const Plan& plan, const std::filesystem::path& scratch = {});

    // Remembers a roof's id and what its row says of its parcel: for every roof of a parcel before that is completed.
    void see(std::uint32_t ordinal, const std::string& roof_id, const RoofRows& roof);
    // Of a roof that was seen.
    [[nodiscard]] std::string roof_id(std::uint32_t ordinal) const;

    // Of large lists the memory goes back to the system until they are asked again.
    void rest() const;
    [[nodiscard]] std::uint32_t count() const { return static_cast<std::uint32_t>(m_plan.parcels.size()); }
    // The whole row but for what depends on other parcels: `result`, as a tile gave it, or empty for a parcel that none
    // evaluated, with what the plan knows. `record`: the plan's own.
    [[nodiscard]] ParcelRows completed(std::uint32_t parcel, const ParcelRecord& record, ParcelRows result) const;
    // The parcel's first roof with status ok, of those seen; kNone without one.
    [[nodiscard]] std::uint32_t first_ok_roof(std::uint32_t parcel) const;
    // Where it stands among the sites; kNone without roofs.
    [[nodiscard]] std::uint32_t site_of(std::uint32_t parcel) const { return m_site_of[parcel]; }

private:
    enum class Seen : std::uint8_t { not_ok, left_out, connected };
    void set_roofs(const PlannedSite& site, ParcelRow& row) const;

    const Project& m_project;
    const Plan& m_plan;
    // Where a roof's id stands in m_ids.
    struct IdPlace {
        std::uint64_t first = 0;
        std::uint32_t length = 0;
    };

    SpillArray<Seen> m_seen;              // by roof
    SpillArray<IdPlace> m_id_of;          // by roof
    SpillArray<char> m_ids;               // one after the other
    SpillArray<std::uint32_t> m_site_of;  // by parcel; kNone without roofs
};

}  // namespace eaveshed
