// What came out, in numbers: for the run record and the table at the end.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/roof_row.hpp"

namespace eaveshed::run {

// A sum over some of the roofs.
struct GroupSum {
    std::uint64_t roofs = 0;
    double harvest_mean_m3 = 0.0;
    double harvest_dependable_m3 = 0.0;
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

    // `parcel` is the position of the roof's parcel, or none_parcel for a roof without one.
    static constexpr std::uint32_t kNoParcel = 0xFFFFFFFFU;
    explicit RunCounts(std::size_t parcel_count)
        : m_best_of_parcel(parcel_count, -1.0), m_flow_of_parcel(parcel_count) {}
    void add(const RoofRow& row, std::uint32_t parcel);
    void add(const PadRow& pad);

    [[nodiscard]] std::uint64_t rows() const { return m_rows; }
    [[nodiscard]] const std::array<std::uint64_t, 5>& by_status() const { return m_status; }
    [[nodiscard]] const std::array<std::uint64_t, kFlagCount>& by_flag() const { return m_flags; }
    [[nodiscard]] const std::array<std::uint64_t, 12>& by_reason() const { return m_reasons; }
    [[nodiscard]] const std::array<GroupSum, 6>& by_delivery() const { return m_delivery; }
    // Pads by the stage of the choice (method.md): sure fill, likely fill, the same with pumped feed, lifted.
    [[nodiscard]] const std::array<std::uint64_t, 5>& by_stage() const { return m_stage; }
    [[nodiscard]] const std::array<GroupSum, 3>& by_limit() const { return m_limit; }
    [[nodiscard]] const GroupSum& computed() const { return m_computed; }
    // Forbearance with one roof enrolled on each parcel, the best one, and every roof outside the parcels: roofs of one
    // parcel share its demand, so their volumes do not add up.
    [[nodiscard]] double forbearance_m3() const;
    [[nodiscard]] double forbearance_lps() const;
    // Most forbearance first; equal ones in input order.
    [[nodiscard]] const std::vector<BestRoof>& best() const { return m_best; }

private:
    void add_best(const RoofRow& row);
    std::uint64_t m_rows = 0;
    std::array<std::uint64_t, 5> m_status{};
    std::array<std::uint64_t, kFlagCount> m_flags{};
    std::array<std::uint64_t, 12> m_reasons{};
    std::array<GroupSum, 6> m_delivery{};
    std::array<std::uint64_t, 5> m_stage{};
    std::array<GroupSum, 3> m_limit{};
    GroupSum m_computed;
    std::vector<double> m_best_of_parcel;  // m3; negative: none yet
    std::vector<double> m_flow_of_parcel;
    double m_free_m3 = 0.0;
    double m_free_lps = 0.0;
    std::vector<BestRoof> m_best;
};

}  // namespace eaveshed::run
