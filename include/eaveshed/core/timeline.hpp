// The steps of a rain record and the tank years they make up.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/season.hpp"

namespace eaveshed {

enum class RainKind : std::uint8_t { monthly_normals, monthly, daily };

// One step of the record: a day, a month, or a month of the mean year; of a condensed record (spells.hpp) also several
// days of one month.
struct Step {
    std::int8_t month = 1;
    std::int8_t days = 1;  // true length of the step, days
};

// A complete tank year: steps [begin, end). Named by the calendar year in which it ends.
// method.md 2.6.
struct TankYear {
    int name = 0;
    std::size_t begin = 0;
    std::size_t first_forbear = 0;  // first step of a forbearance month, begin <= first_forbear < end
    std::size_t end = 0;
    int days = 0;
    int forbear_days = 0;
};

// Steps in the order of time; complete tank years in order, without gaps between them. `monthly_normals` has twelve
// steps, beginning with the tank year's first month, and one year.
struct Timeline {
    RainKind kind = RainKind::daily;
    Calendar calendar = Calendar::standard;
    Date first;  // date of the first step (mean years: year 0)
    std::vector<Step> steps;
    std::vector<TankYear> years;
    int partial_years = 0;  // tank years cut off by either end of the record

    [[nodiscard]] bool is_series() const { return kind != RainKind::monthly_normals; }
};

// `step_count` days from `first`, or months from the month of `first`.
[[nodiscard]] Timeline make_series_timeline(RainKind kind, Calendar calendar, Date first, std::size_t step_count,
                                            const Season& season);
[[nodiscard]] Timeline make_normals_timeline(const Season& season);

// The day with which a step of a series begins.
[[nodiscard]] Date first_day(const Timeline& series, std::size_t step);
// The day with which a series ends.
[[nodiscard]] Date last_day(const Timeline& series);

}  // namespace eaveshed
