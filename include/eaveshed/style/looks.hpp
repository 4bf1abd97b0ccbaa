// What maps and pages draw alike: the classes of ranks, and the ways of delivery. Told apart with any colour vision and
// in grey, by shape as well as by hue.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/style/map_style.hpp"

namespace eaveshed {

// Where the classes of the rank end is a choice of ours for reading a map: what one can call in a week, a season, a
// year.
struct RankClass {
    std::int64_t from = 1;
    std::int64_t below = 0;
    std::string_view label;
    std::string_view fill;
};
// Four steps of an orange-brown sequence (ColorBrewer YlOrBr, Harrower and Brewer 2003, Apache licence), most first.
inline constexpr std::array kRankClasses{
    RankClass{1, 11, "rank 1 to 10: ask first", "#993404"},
    RankClass{11, 26, "rank 11 to 25", "#d95f0e"},
    RankClass{26, 101, "rank 26 to 100", "#fe9929"},
    RankClass{101, 1'000'000'000'000'000, "ranked, 101 and on", "#fed98e"},
};
inline constexpr std::string_view kRankedEdge = "#5a2d0c";
inline constexpr std::string_view kEnrolledFill = "#0072b2";
inline constexpr std::string_view kEnrolledEdge = "#00405f";

struct DeliveryLook {
    Delivery delivery = Delivery::no_pad;
    std::string_view fill;
    Mark mark = Mark::cross;
};
// Hues of Okabe and Ito (Color Universal Design, 2008), the better delivery first.
inline constexpr std::array kDeliveryLooks{DeliveryLook{Delivery::gravity, "#009e73", Mark::circle},
                                           DeliveryLook{Delivery::low_pressure, "#56b4e9", Mark::square},
                                           DeliveryLook{Delivery::pumped_feed, "#e69f00", Mark::triangle},
                                           DeliveryLook{Delivery::pumped_fill, "#d55e00", Mark::star}};

}  // namespace eaveshed
