// What the data say of parcels, and which roofs the exclusions hold, as numbers. Private to the module.
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/plausible/parcel_sample.hpp"
#include "eaveshed/plausible/roof_sample.hpp"

namespace eaveshed {

inline constexpr std::uint64_t kSampledParcels = 20'000;  // their records alone are read
inline constexpr std::uint64_t kMeasuredStreams = 400;    // parcels whose distance to a line is measured

// Of an even sample of the parcels. `roofs_m2`: area of the roofs looked at, by parcel.
[[nodiscard]] std::vector<ParcelSample> look_at_parcel_facts(const Inputs& inputs, const Plan& plan,
                                                             const std::vector<double>& roofs_m2);

// Whether the middle of the roof lies in an area of the exclusions; keeps the areas that it met.
class ExclusionLook {
public:
    ExclusionLook(const Inputs& inputs, const Plan& plan);
    ~ExclusionLook();
    ExclusionLook(const ExclusionLook&) = delete;
    ExclusionLook& operator=(const ExclusionLook&) = delete;

    // `interior` in the footprints' CRS.
    [[nodiscard]] bool holds(Point interior);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

}  // namespace eaveshed
