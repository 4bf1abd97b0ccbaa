// The water side of one roof: rain, harvest, summer demand and what each storage makes of them.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/site/take.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "eaveshed/storage/recommend.hpp"
#include "eaveshed/storage/side_by_side.hpp"

namespace eaveshed {

// A series of fewer counted years says little of dry winters: flag short_record.
// method.md 2.7.
inline constexpr std::size_t kShortRecordYears = 10;

// What flows into a store and what is wanted of it, m3 per step of the record.
struct WaterSeries {
    std::vector<double> inflow_m3;
    std::vector<double> demand_m3;  // 0 outside the draw months
};

// The record of one roof, or of several that fill one storage.
struct WaterRecord {
    std::vector<TankYear> counted;
    WaterSeries series;
    std::optional<WaterSeries> dry;  // the mean year made dry, where one is assumed
};

// What would flow in if another share of the rain ran off.
struct OtherInflow {
    std::vector<double> inflow_m3;
    std::vector<double> dry_inflow_m3;  // empty without an assumed dry year
};

struct WaterOutcome {
    bool has_rain = false;
    WaterRecord record;
    std::vector<OtherInflow> at_other_runoff;  // as WaterTask::other_runoff, where the roof's own share is assumed
    std::vector<OptionResult> options;         // as TileRules::options
    std::optional<std::size_t> recommended;    // position among them; none when no storage replaces anything (`no_use`)
    Take take;                                 // that storage could replace
};

// How `options` do on a record. Of a mean year the dependable and worst values are those of the assumed dry one, or
// none.
[[nodiscard]] std::vector<OptionResult> store_results(const WaterRecord& record, const Timeline& timeline,
                                                      const TileRules& rules, std::span<const StorageOption> options);

// The same of several records side by side, a list a record.
[[nodiscard]] std::vector<std::vector<OptionResult>> store_results(std::span<const WaterRecord* const> records,
                                                                   const Timeline& timeline, const TileRules& rules,
                                                                   std::span<const StorageOption> options);

// Records of the same years, one a lane.
struct LaneRecord {
    std::span<const TankYear> counted;
    VariedFlows flows;
    std::optional<VariedFlows> dry;
};
// The same of one option on each of them.
[[nodiscard]] std::array<Behaviour, kLanes> store_results(const LaneRecord& record, const Timeline& timeline,
                                                          const TileRules& rules, const StorageOption& option);

// Mean, median, dependable and worst winter harvest of a record, m3; dependable is none where nothing is known of dry
// winters.
struct HarvestFigures {
    double mean_m3 = 0.0;
    double median_m3 = 0.0;
    std::optional<double> dependable_m3;
};
[[nodiscard]] HarvestFigures harvest_figures(const WaterRecord& record, const Timeline& timeline,
                                             const TileRules& rules);

// One roof to be computed. `result`: its plan area is set.
struct WaterTask {
    const TileRoof* roof = nullptr;
    const TileParcel* parcel = nullptr;  // null for a roof without one
    RoofRows* result = nullptr;
    std::vector<double> other_runoff;  // tried where the roof's own coefficient is assumed; at most kOtherRunoffs
};

// Fills the harvest and demand columns, their flags and the storage curve of every task's result. Without rain nothing
// is filled. Roofs run side by side (core/lanes.hpp): each is to the last bit what it is alone.
[[nodiscard]] std::vector<WaterOutcome> evaluate_waters(std::span<const WaterTask> tasks, const RoofClimate& climate,
                                                        const TileRules& rules);
// The same of one roof; `parcel` is null for a roof without one.
[[nodiscard]] WaterOutcome evaluate_water(const TileRoof& roof, const TileParcel* parcel, const RoofClimate& climate,
                                          const TileRules& rules, RoofRows& result);

// Fills the storage and forbearance columns of a roof or a parcel, whose harvest columns are set, and the flags of the
// chosen option: check_permit, seldom_full.
// method.md 5.9 to 5.12.
void fill_storage(const StorageOption& option, const OptionResult& chosen, double source_share, const TileRules& rules,
                  RoofRow& row);
void fill_storage(const StorageOption& option, const OptionResult& chosen, double source_share, const TileRules& rules,
                  ParcelRow& row);

}  // namespace eaveshed
