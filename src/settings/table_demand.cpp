// [demand]: the summer use that storage could replace.
#include "table_parts.hpp"

namespace eaveshed::table_parts {

namespace {

constexpr auto kDemand = &Settings::demand;

void append_household(std::vector<Setting>& table) {
    using D = DemandSettings;
    table.insert(table.end(),
                 {
                     {.section = "demand",
                      .key = "people",
                      .range = between(0.0, 10000.0),
                      .access = at<kDemand, &D::people>(),
                      .meaning = "People of a household, where no parcel says.",
                      .source = kPractice},
                     {.section = "demand",
                      .key = "litres_per_person_day",
                      .unit = "L",
                      .range = between(0.0, 10000.0),
                      .access = at<kDemand, &D::litres_per_person_day>(),
                      .meaning = "Water that one person uses at home in a day.",
                      .source = "between California's indoor standard (47 gal) and the US average of 2015 (82 gal)"},
                     {.section = "demand",
                      .key = "home_share",
                      .range = kShare,
                      .access = at<kDemand, &D::home_share>(),
                      .meaning = "Part of the home use that roof water may serve without treatment.",
                      .source = kOwn},
                     {.section = "demand",
                      .key = "garden_m2",
                      .unit = "m2",
                      .range = between(0.0, 10000000.0),
                      .access = at<kDemand, &D::garden_m2>(),
                      .meaning = "Watered area of a parcel, where no parcel says; at most the ground of the parcel "
                                 "that no roof covers.",
                      .source = kOwn},
                 });
}

void append_garden(std::vector<Setting>& table) {
    using D = DemandSettings;
    table.insert(
        table.end(),
        {
            {.section = "demand",
             .key = "crop_coefficient",
             .range = between(0.0, 2.0),
             .access = at<kDemand, &D::crop_coefficient>(),
             .meaning = "Water need of the garden as a share of reference evapotranspiration.",
             .source = "standard: FAO-56 table 12, warm-season turf"},
            {.section = "demand",
             .key = "irrigation_efficiency",
             .range = kPositiveShare,
             .access = at<kDemand, &D::irrigation_efficiency>(),
             .meaning = "Share of the water applied that reaches the roots.",
             .source = "between sprinklers (0.75) and drip (0.90), FAO irrigation training manual 4"},
            {.section = "demand",
             .key = "rain_effectiveness",
             .range = kShare,
             .access = at<kDemand, &D::rain_effectiveness>(),
             .meaning = "Share of the rain on the garden that plants can use.",
             .source = kPractice},
            {.section = "demand",
             .key = "soil_store_mm",
             .unit = "mm",
             .range = between(0.0, 1000.0),
             .access = at<kDemand, &D::soil_store_mm>(),
             .meaning = "Rain that the garden's soil keeps for later days; for daily rain.",
             .source = kOwn},
            {.section = "demand",
             .key = "et0_mm_day",
             .unit = "mm/day",
             .range = between(0.0, 25.0),
             .access = at<kDemand, &D::et0_mm_day>(),
             .meaning =
                 "Reference evapotranspiration where neither [evapotranspiration] nor [temperature] has a value.",
             .source = kOwn},
            {.section = "demand",
             .key = "transmissivity_m2_day",
             .unit = "m2/day",
             .range = above(0.0, 1.0e6),
             .access = at<kDemand, &D::transmissivity_m2_day>(),
             .meaning = "Transmissivity of the aquifer, for the share of a shallow well's take that the creek feels.",
             .source = "paper: Jenkins 1968 gives the equation"},
            {.section = "demand",
             .key = "storage_coefficient",
             .range = kPositiveShare,
             .access = at<kDemand, &D::storage_coefficient>(),
             .meaning =
                 "Storage coefficient (specific yield) of that aquifer; needed together with its transmissivity.",
             .source = "paper: Jenkins 1968 gives the equation"},
            {.section = "demand",
             .key = "shallow_well_share",
             .range = between(0.0, 1.0),
             .access = at<kDemand, &D::shallow_well_share>(),
             .meaning = "Share of a shallow well's take that the creek feels within the season, where the aquifer or "
                        "the distance to the stream is not known.",
             .source = kOwn},
        });
}

}  // namespace

void append_demand_settings(std::vector<Setting>& table) {
    append_household(table);
    append_garden(table);
}

}  // namespace eaveshed::table_parts
