// The rows of the table `storage_curve`: every storage option of every computed roof, smallest first.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/record/shared_columns.hpp"
#include "eaveshed/record/table.hpp"

namespace eaveshed {

struct CurveRow {
    static constexpr Table kTable{.name = "storage_curve",
                                  .title = "Storage curve",
                                  .meaning = "What every storage option of every computed roof replaces.",
                                  .shape = LayerShape::none,
                                  .filled_by = FilledBy::tile,
                                  .rows =
                                      "No geometry; every storage option of every computed roof, smallest first. Left "
                                      "out with `[output] storage_curve = false`."};

    std::string roof_id;
    std::optional<double> storage_m3;
    std::optional<std::int64_t> tank_count;
    std::optional<double> replaced_mean_m3;
    std::optional<double> replaced_dependable_m3;
    std::optional<double> replaced_worst_m3;
    std::optional<double> season_reliability;
    std::optional<double> volume_reliability;
    std::optional<double> full_winters_share;
    std::optional<double> overflow_mean_m3;

    static constexpr auto list_columns(auto&& use) {
        return use(column(&CurveRow::roof_id, shared::kRoofId),
                   column(&CurveRow::storage_m3,
                          shared::kStorage.as("Nominal volume of the option: tank volume times count.")),
                   column(&CurveRow::tank_count, shared::kTankCount.as("Number of equal tanks.")),
                   column(&CurveRow::replaced_mean_m3, shared::kReplacedMean),
                   column(&CurveRow::replaced_dependable_m3, shared::kReplacedDependable),
                   column(&CurveRow::replaced_worst_m3, shared::kReplacedWorst),
                   column(&CurveRow::season_reliability, shared::kSeasonReliability),
                   column(&CurveRow::volume_reliability, shared::kVolumeReliability),
                   column(&CurveRow::full_winters_share, shared::kFullWintersShare),
                   column(&CurveRow::overflow_mean_m3, shared::kOverflowMean));
    }
};

}  // namespace eaveshed
