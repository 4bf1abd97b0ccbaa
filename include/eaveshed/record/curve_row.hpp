// The rows of the table `storage_curve`: every storage option of every computed roof, smallest first.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/record/field.hpp"

namespace eaveshed {

struct CurveRow {
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
};

template <typename Row, typename Visitor>
requires std::is_same_v<std::remove_const_t<Row>, CurveRow>
void visit_fields(Row& row, Visitor&& visit) {
    visit(Field{"roof_id", "", "Roof", "Identifier of the footprint."}, row.roof_id);
    visit(Field{"storage_m3", "m3", "Storage", "Nominal volume of the option: tank volume times count."},
          row.storage_m3);
    visit(Field{"tank_count", "1", "Tanks", "Number of equal tanks."}, row.tank_count);
    visit(Field{"replaced_mean_m3", "m3", "Replaced, mean",
                "Diversion replaced in the season, mean over the tank years."},
          row.replaced_mean_m3);
    visit(Field{"replaced_dependable_m3", "m3", "Replaced, dependable",
                "Diversion replaced in the share of seasons set as reliability; low where dry winters fill little or "
                "wet summers ask for little."},
          row.replaced_dependable_m3);
    visit(Field{"replaced_worst_m3", "m3", "Replaced, worst",
                "Least diversion replaced in a season of the record: a dry winter, or a summer that asks for little."},
          row.replaced_worst_m3);
    visit(Field{"season_reliability", "1", "Season reliability", "Share of seasons whose whole demand is met."},
          row.season_reliability);
    visit(Field{"volume_reliability", "1", "Volume reliability", "Volume replaced over volume wanted, all seasons."},
          row.volume_reliability);
    visit(Field{"full_winters_share", "1", "Full winters", "Share of tank years in which the storage fills."},
          row.full_winters_share);
    visit(Field{"overflow_mean_m3", "m3", "Overflow", "Water that overflows in a tank year, mean."},
          row.overflow_mean_m3);
}

}  // namespace eaveshed
