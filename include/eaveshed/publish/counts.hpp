// What came out, in numbers: for the run record and the table at the end.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/roof_row.hpp"

namespace eaveshed {

// A sum over some of the roofs.
struct GroupSum {
    std::uint64_t roofs = 0;
    double harvest_mean_m3 = 0.0;
    double harvest_dependable_m3 = 0.0;
};

// A sum over properties: parcels, each with the storage that its roofs fill together, and roofs without a parcel.
struct PropertySum {
    std::uint64_t properties = 0;
    double forbearance_m3 = 0.0;
    double forbearance_lps = 0.0;
    double stream_gain_lps = 0.0;
};

// A roof worth naming.
struct BestRoof {
    std::string roof_id;
    std::string parcel_id;
    double forbearance_m3 = 0.0;
    double forbearance_lps = 0.0;
    double plan_area_m2 = 0.0;
    double storage_m3 = 0.0;
    std::int64_t tank_count = 0;
    std::string limited_by;
    std::string delivery;
};

// Fed in input order, so that sums are the same whatever the tiles and threads.
class RunCounts {
public:
    static constexpr std::size_t kBestRoofs = 10;

    void add(const RoofRow& row);
    void add(const PadRow& pad);
    void add(const ParcelRow& parcel);

    [[nodiscard]] std::uint64_t rows() const { return m_rows; }
    [[nodiscard]] const PerTerm<Status, std::uint64_t>& by_status() const { return m_status; }
    [[nodiscard]] const PerTerm<Flag, std::uint64_t>& by_flag() const { return m_flags; }
    [[nodiscard]] const PerTerm<PadReason, std::uint64_t>& by_reason() const { return m_reasons; }
    [[nodiscard]] const PerTerm<Delivery, GroupSum>& by_delivery() const { return m_delivery; }
    // Pads by the stage of the choice (method.md 6.19): sure fill, likely fill, the same with pumped feed, lifted.
    [[nodiscard]] const std::array<std::uint64_t, 5>& by_stage() const { return m_stage; }
    [[nodiscard]] const PerTerm<LimitedBy, GroupSum>& by_limit() const { return m_limit; }
    [[nodiscard]] const GroupSum& computed() const { return m_computed; }
    // Properties by delivery. Roofs of one parcel share its demand, so that only parcels' volumes add up.
    [[nodiscard]] const PerTerm<Delivery, PropertySum>& properties() const { return m_properties; }
    [[nodiscard]] PropertySum all_properties() const;
    [[nodiscard]] const PerTerm<ParcelStatus, std::uint64_t>& parcels_by_status() const { return m_parcel_status; }
    [[nodiscard]] const PerTerm<ContactStatus, std::uint64_t>& parcels_by_contact() const { return m_contact; }
    [[nodiscard]] std::uint64_t parcels() const { return m_parcels; }
    // Parcels that reach beyond the elevations, and those that lie wholly outside.
    [[nodiscard]] std::uint64_t cut_parcels() const { return m_cut_parcels; }
    [[nodiscard]] std::uint64_t outside_parcels() const { return m_outside_parcels; }
    // Computed roofs in no parcel.
    [[nodiscard]] std::uint64_t without_parcel() const { return m_without_parcel; }
    // Of roofs with a pad: most forbearance first; equal ones in input order.
    [[nodiscard]] const std::vector<BestRoof>& best() const { return m_best; }

private:
    void add_best(const RoofRow& row);
    std::uint64_t m_rows = 0;
    PerTerm<Status, std::uint64_t> m_status{};
    PerTerm<Flag, std::uint64_t> m_flags{};
    PerTerm<PadReason, std::uint64_t> m_reasons{};
    PerTerm<Delivery, GroupSum> m_delivery{};
    std::array<std::uint64_t, 5> m_stage{};
    PerTerm<LimitedBy, GroupSum> m_limit{};
    GroupSum m_computed;
    template <typename Row>
    void add_property(const Row& row);
    PerTerm<Delivery, PropertySum> m_properties{};
    PerTerm<ParcelStatus, std::uint64_t> m_parcel_status{};
    PerTerm<ContactStatus, std::uint64_t> m_contact{};
    std::uint64_t m_parcels = 0;
    std::uint64_t m_cut_parcels = 0;
    std::uint64_t m_outside_parcels = 0;
    std::uint64_t m_without_parcel = 0;
    std::vector<BestRoof> m_best;
};

}  // namespace eaveshed
