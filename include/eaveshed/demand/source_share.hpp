// How much of a take the creek feels within the season.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/core/choices.hpp"

namespace eaveshed {

// What a parcel's field says, or the default where it says nothing; a word that is no source is unknown.
[[nodiscard]] WaterSource water_source(const std::optional<std::string>& field, WaterSource fallback);

// Share of the volume pumped at a steady rate from day 0 that has come out of the stream by day `days` (Jenkins 1968,
// Techniques for computing rate and volume of stream depletion by wells, Ground Water 6(2)): an ideal aquifer, a
// straight stream that cuts through it. distance_m >= 0 from well to stream; transmissivity_m2_day > 0;
// storage_coefficient >= 0; days > 0. Result 0..1, absolute accuracy 1e-14; 1 at the stream, falling with the distance.
// method.md 4.11.
[[nodiscard]] double stream_depletion_share(double distance_m, double transmissivity_m2_day, double storage_coefficient,
                                            double days);

// What is known of the aquifer between a shallow well and the nearest stream.
struct WellSetting {
    std::optional<double> distance_m;
    std::optional<double> transmissivity_m2_day;
    std::optional<double> storage_coefficient;
};

// What a share comes from: a field; the stream depletion of a known aquifer; an assumption for a shallow well of which
// not all is known; the kind of source.
enum class ShareBasis : std::uint8_t { given, well, assumed_well, source_class };

struct SourceShare {
    double share = 0.0;    // 0..1
    bool unknown = false;  // nothing says where the water comes from: the share 0 is an assumption
    ShareBasis basis = ShareBasis::source_class;
};

// A share given by a field, if it lies in 0..1; else for a shallow well with all of `well` known (distance not
// negative, the others positive) the stream depletion share by the season's end, for another shallow well
// `shallow_well_share`; else 1 for creek and spring, 0 for deep well, mains and unknown.
// method.md 4.10.
[[nodiscard]] SourceShare source_share(WaterSource source, std::optional<double> given_share, const WellSetting& well,
                                       double shallow_well_share, double season_days);

}  // namespace eaveshed
