// A rain record in the form that roofs are computed from: its steps, and what the depths of one place's series stand
// for. There are three kinds; what differs between them is answered here.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <variant>
#include <vector>

#include "eaveshed/core/spells.hpp"
#include "eaveshed/core/timeline.hpp"

namespace eaveshed {

// The twelve months of a mean year: a depth a month. Another timeline is a broken invariant.
struct MeanYear {
    explicit MeanYear(Timeline timeline_);
    Timeline timeline;
};

// A series of months: a depth a month. Another timeline is a broken invariant.
struct MonthRecord {
    explicit MonthRecord(Timeline timeline_);
    Timeline timeline;
};

// The third is a series of days as its spells (core/spells.hpp): a depth a wet spell.
using RainRecord = std::variant<MeanYear, MonthRecord, CondensedDays>;

// Of a mean year or a series of months.
[[nodiscard]] RainRecord record_of_months(Timeline timeline);

// The steps that stores run through; of days the condensed ones.
[[nodiscard]] const Timeline& timeline_of(const RainRecord& record);

// How many depths the series of one place has.
[[nodiscard]] std::size_t depth_count(const RainRecord& record);

// The depths out of a series as it was recorded, one value a month or a day.
[[nodiscard]] std::vector<double> depths_of(const RainRecord& record, std::vector<double> recorded);

// The complete tank years with enough data at a place, in order (years.hpp). NaN is a missing depth.
[[nodiscard]] std::vector<TankYear> counted_years(const RainRecord& record, std::span<const double> depths_mm);

// The depths of one place added up over each step of the record, mm; a missing one is dry.
[[nodiscard]] std::vector<double> step_depths_mm(const RainRecord& record, std::span<const double> depths_mm);

// Multiplies each depth by the factor of its month, January first.
void scale_by_month(const RainRecord& record, const std::array<double, 12>& factors, std::vector<double>& depths_mm);

}  // namespace eaveshed
