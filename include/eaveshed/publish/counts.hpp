// What came out, in numbers: for the run record and the table at the end.
#pragma once

#include <array>
#include <cstdint>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/headline.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/roof_row.hpp"

namespace eaveshed {

// A sum over some of the roofs.
struct GroupSum {
    std::uint64_t roofs = 0;
    double harvest_mean_m3 = 0.0;
    double harvest_dependable_m3 = 0.0;  // of the roofs that have one
    std::uint64_t with_dependable = 0;   // how many those are
};

// Which part of the headline a row belongs to.
// method.md 8.15.
[[nodiscard]] HeadlinePart part_of(const ParcelRow& row);
// The same of a roof in no parcel: a household of its own, of which no talks are known.
[[nodiscard]] HeadlinePart part_of(const RoofRow& row);

// Fed in input order, so that sums are the same whatever the tiles and threads.
class RunCounts {
public:
    void add(const RoofRow& row);
    void add(const PadRow& pad);
    void add(const ParcelRow& parcel);

    [[nodiscard]] std::uint64_t rows() const { return m_rows; }
    [[nodiscard]] const PerTerm<Status, std::uint64_t>& by_status() const { return m_status; }
    [[nodiscard]] const PerTerm<Flag, std::uint64_t>& by_flag() const { return m_flags; }
    // Of parcels: their own flags, which are not those of their roofs alone.
    [[nodiscard]] const PerTerm<Flag, std::uint64_t>& by_parcel_flag() const { return m_parcel_flags; }
    [[nodiscard]] const PerTerm<PadReason, std::uint64_t>& by_reason() const { return m_reasons; }
    [[nodiscard]] const PerTerm<Delivery, GroupSum>& by_delivery() const { return m_delivery; }
    // Pads by the stage of the choice (method.md 6.19): sure fill, likely fill, the same with pumped feed, lifted.
    [[nodiscard]] const std::array<std::uint64_t, 5>& by_stage() const { return m_stage; }
    [[nodiscard]] const GroupSum& computed() const { return m_computed; }
    // What storage could replace, over parcels, and over computed roofs in no parcel: roofs of one parcel share its
    // demand, so that only parcels' volumes add up.
    [[nodiscard]] const Headline& headline_of_parcels() const { return m_parcel_headline; }
    [[nodiscard]] const Headline& headline_of_single_roofs() const { return m_roof_headline; }
    // Parcels and roofs in no parcel together.
    [[nodiscard]] HeadlineSum all_properties() const;
    // Of their forbearance volume what rests on rows with a flag, m3.
    [[nodiscard]] const PerTerm<Flag, double>& flagged_volume_m3() const { return m_flagged_volume_m3; }
    // Candidates: parcels, or without parcels roofs, whose owner can be asked and that would replace something.
    [[nodiscard]] const PerTerm<Delivery, std::uint64_t>& candidates_by_delivery() const { return m_candidates; }
    [[nodiscard]] const PerTerm<GravityCheck, std::uint64_t>& candidates_by_gravity() const { return m_gravity; }
    [[nodiscard]] const PerTerm<ParcelStatus, std::uint64_t>& parcels_by_status() const { return m_parcel_status; }
    [[nodiscard]] const PerTerm<ContactStatus, std::uint64_t>& parcels_by_contact() const { return m_contact; }
    [[nodiscard]] std::uint64_t parcels() const { return m_parcels; }
    // Parcels that reach beyond the elevations, and those that lie wholly outside.
    [[nodiscard]] std::uint64_t cut_parcels() const { return m_cut_parcels; }
    [[nodiscard]] std::uint64_t outside_parcels() const { return m_outside_parcels; }
    // Computed roofs in no parcel.
    [[nodiscard]] std::uint64_t without_parcel() const { return m_without_parcel; }

private:
    template <typename Row>
    void add_property(const Row& row, HeadlinePart part, double source_share, Headline& headline);

    std::uint64_t m_rows = 0;
    PerTerm<Status, std::uint64_t> m_status{};
    PerTerm<Flag, std::uint64_t> m_flags{};
    PerTerm<Flag, std::uint64_t> m_parcel_flags{};
    PerTerm<PadReason, std::uint64_t> m_reasons{};
    PerTerm<Delivery, GroupSum> m_delivery{};
    std::array<std::uint64_t, 5> m_stage{};
    GroupSum m_computed;
    Headline m_parcel_headline{};
    Headline m_roof_headline{};
    PerTerm<Flag, double> m_flagged_volume_m3{};
    PerTerm<Delivery, std::uint64_t> m_candidates{};
    PerTerm<GravityCheck, std::uint64_t> m_gravity{};
    PerTerm<ParcelStatus, std::uint64_t> m_parcel_status{};
    PerTerm<ContactStatus, std::uint64_t> m_contact{};
    std::uint64_t m_parcels = 0;
    std::uint64_t m_cut_parcels = 0;
    std::uint64_t m_outside_parcels = 0;
    std::uint64_t m_without_parcel = 0;
};

}  // namespace eaveshed
