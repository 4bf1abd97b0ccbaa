// [season], [harvest], [[tanks]], [storage]: when water comes, how much of it, and how it is kept.
#include "table_parts.hpp"

namespace eaveshed::table_parts {

namespace {

constexpr std::array kStorageRules{
    Term{"after-spillage", "the day's yield is drawn after the overflow: the cautious rule"},
    Term{"before-spillage", "the day's yield is drawn before the overflow"},
};

constexpr auto kSeason = &Settings::season;
constexpr auto kHarvest = &Settings::harvest;
constexpr auto kTanks = &Settings::tanks;
constexpr auto kStorage = &Settings::storage;

void append_season(std::vector<Setting>& table) {
    table.insert(
        table.end(),
        {
            {.section = "season",
             .key = "fill_months",
             .kind = Kind::months,
             .access = at<kSeason, &SeasonSettings::fill_months>(),
             .meaning = "The wet season: months whose harvest is counted as the winter harvest.",
             .source = "choice of this program: winter rain of the northern hemisphere"},
            {.section = "season",
             .key = "forbear_months",
             .kind = Kind::months,
             .access = at<kSeason, &SeasonSettings::forbear_months>(),
             .meaning = "The dry season in which storage replaces stream diversion: one run of months; the tank year "
                        "begins with the month after it.",
             .source = "choice of this program: low flow of northern dry summers"},
            {.section = "season",
             .key = "draw_months",
             .kind = Kind::months,
             .access = at<kSeason, &SeasonSettings::draw_months>(),
             .absent = "the forbearance months",
             .meaning = "Months in which water is drawn from the tank."},
            {.section = "season",
             .key = "term_years",
             .unit = "years",
             .range = above(0.0, 200.0),
             .access = at<kSeason, &SeasonSettings::term_years>(),
             .meaning = "Years over which an agreement's forbearance is summed.",
             .source = kOwn},
        });
}

void append_harvest(std::vector<Setting>& table) {
    using H = HarvestSettings;
    table.insert(
        table.end(),
        {
            {.section = "harvest",
             .key = "runoff_coefficient",
             .kind = Kind::coefficients,
             .range = kPositiveShare,
             .access = at<kHarvest, &H::runoff_coefficient>(),
             .meaning = "Share of the rain that leaves a roof of each material; entries given join or replace these.",
             .source = "paper: Farreny et al. 2011, Water Research 45 (metal, tile, gravel); common practice (others)"},
            {.section = "harvest",
             .key = "default_runoff_coefficient",
             .range = kPositiveShare,
             .access = at<kHarvest, &H::default_runoff_coefficient>(),
             .meaning = "The same for a roof whose material is not known or not in that table.",
             .source = "common practice: hard roofs over the years, 0.80 to 0.90"},
            {.section = "harvest",
             .key = "default_connected_share",
             .range = kShare,
             .access = at<kHarvest, &H::default_connected_share>(),
             .meaning = "Share of a roof that drains to collected downspouts, where no field says.",
             .source = kOwn},
        });
}

// What of the rain is turned away or lost on the way to the tank.
void append_harvest_losses(std::vector<Setting>& table) {
    using H = HarvestSettings;
    table.insert(
        table.end(),
        {
            {.section = "harvest",
             .key = "first_flush_mm",
             .unit = "mm",
             .range = between(0.0, 50.0),
             .access = at<kHarvest, &H::first_flush_mm>(),
             .meaning = "Runoff turned away at the start of each event to rinse the roof.",
             .source = "common practice: 0.4 mm (Texas manual) to 0.5 mm (light dirt)"},
            {.section = "harvest",
             .key = "dry_days",
             .kind = Kind::whole_number,
             .unit = "days",
             .range = between(0.0, 365.0),
             .access = at<kHarvest, &H::dry_days>(),
             .meaning = "Days without rain after which a wet day begins a new event; 0 makes every wet day one.",
             .source = kOwn},
            {.section = "harvest",
             .key = "wet_day_mm",
             .unit = "mm",
             .range = above(0.0, 25.0),
             .access = at<kHarvest, &H::wet_day_mm>(),
             .meaning = "Least rain of a wet day.",
             .source = "standard: rain day of the United Kingdom's weather service, 0.2 mm"},
            {.section = "harvest",
             .key = "collection_efficiency",
             .range = kPositiveShare,
             .access = at<kHarvest, &H::collection_efficiency>(),
             .meaning = "Share of the runoff that passes gutters, screens and filters into the tank.",
             .source = "common practice: 0.9 and more"},
            {.section = "harvest",
             .key = "mean_event_mm",
             .unit = "mm",
             .range = above(0.0, 500.0),
             .access = at<kHarvest, &H::mean_event_mm>(),
             .meaning = "Rain of a typical event: how many first flushes a month of rain holds; for monthly kinds.",
             .source = kOwn},
        });
}

void append_tanks(std::vector<Setting>& table) {
    table.insert(table.end(), {
                                  {.section = "tanks",
                                   .key = "volume_m3",
                                   .unit = "m3",
                                   .range = above(0.0, 1.0e6),
                                   .access = at<kTanks, &TankOption::volume_m3>(),
                                   .required = true,
                                   .meaning = "Nominal volume of one tank."},
                                  {.section = "tanks",
                                   .key = "diameter_m",
                                   .unit = "m",
                                   .range = above(0.0, 500.0),
                                   .access = at<kTanks, &TankOption::diameter_m>(),
                                   .required = true,
                                   .meaning = "Diameter of one tank."},
                                  {.section = "tanks",
                                   .key = "height_m",
                                   .unit = "m",
                                   .range = above(0.0, 100.0),
                                   .access = at<kTanks, &TankOption::height_m>(),
                                   .required = true,
                                   .meaning = "Height of one tank, which the gutter must reach over."},
                                  {.section = "tanks",
                                   .key = "count",
                                   .kind = Kind::whole_number,
                                   .range = between(1.0, 1000.0),
                                   .access = at<kTanks, &TankOption::count>(),
                                   .meaning = "Number of such tanks in this option, level with each other."},
                                  {.section = "tanks",
                                   .key = "cost",
                                   .unit = "currency",
                                   .range = at_least(0.0),
                                   .access = at<kTanks, &TankOption::cost>(),
                                   .meaning = "Cost of the whole option, delivered."},
                              });
}

void append_storage(std::vector<Setting>& table) {
    using Kept = StorageSettings;
    constexpr std::string_view kCode =
        "standard: International Building Code 105.2 exempts tanks on the ground up to 5,000 gal and 2 to 1 from "
        "permits";
    table.insert(
        table.end(),
        {
            {.section = "storage",
             .key = "reliability",
             .range = kPositiveShare,
             .access = at<kStorage, &Kept::reliability>(),
             .meaning = "Share of winters or seasons in which a dependable volume is reached.",
             .source = kPractice},
            {.section = "storage",
             .key = "storage_share",
             .range = kPositiveShare,
             .access = at<kStorage, &Kept::storage_share>(),
             .meaning = "Of the storages that are worth their size the smallest is recommended that replaces this "
                        "share of what the "
                        "best of them would.",
             .source = kOwn},
            {.section = "storage",
             .key = "marginal_yield",
             .range = between(0.0, 1.0),
             .access = at<kStorage, &Kept::marginal_yield>(),
             .meaning = "A larger storage is worth its size where it replaces at least this share of the volume by "
                        "which it is larger.",
             .source = kOwn},
            {.section = "storage",
             .key = "seldom_full_share",
             .range = between(0.0, 1.0),
             .access = at<kStorage, &Kept::seldom_full_share>(),
             .meaning = "Storage that is full in a smaller share of winters has the flag seldom_full.",
             .source = kOwn},
            {.section = "storage",
             .key = "reserve_m3",
             .unit = "m3",
             .range = between(0.0, 1.0e6),
             .access = at<kStorage, &Kept::reserve_m3>(),
             .meaning = "Water always held back for fire.",
             .source = "local: ask the fire authority"},
            {.section = "storage",
             .key = "rule",
             .kind = Kind::choice,
             .access = choice_at<kStorage, &Kept::rule>(kStorageRules),
             .meaning = "Order of drawing and overflowing within a step.",
             .source = "paper: Fewkes and Butler 2000"},
            {.section = "storage",
             .key = "permit_volume_m3",
             .unit = "m3",
             .range = above(0.0, 1.0e6),
             .access = at<kStorage, &Kept::permit_volume_m3>(),
             .meaning = "One tank larger than this is flagged check_permit.",
             .source = kCode},
            {.section = "storage",
             .key = "permit_ratio",
             .range = above(0.0, 100.0),
             .access = at<kStorage, &Kept::permit_ratio>(),
             .meaning = "A tank higher than this many times its diameter is flagged check_permit.",
             .source = kCode},
        });
}

}  // namespace

void append_water_settings(std::vector<Setting>& table) {
    append_season(table);
    append_harvest(table);
    append_harvest_losses(table);
    append_tanks(table);
    append_storage(table);
}

}  // namespace eaveshed::table_parts
