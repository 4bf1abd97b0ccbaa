// Daily rain of wet winters and nearly dry summers, 1 October to 31 December some years on, and the evaporation that
// goes with it.
#pragma once
#include <chrono>
#include <cstdint>
#include <string>
#include <vector>

#include "basin_plan.hpp"
#include "geometry.hpp"

namespace demo {

inline constexpr int kMissingRain = -32768;

class Climate {
public:
    explicit Climate(const BasinPlan& plan);

    [[nodiscard]] int day_count() const { return static_cast<int>(m_rain_mm.size()); }
    [[nodiscard]] std::string date_text(int day) const;  // YYYY-MM-DD
    [[nodiscard]] std::string first_date_text() const { return date_text(0); }

    // Tenths of a millimetre at a place, or kMissingRain. Local coordinates; may lie outside the basin.
    [[nodiscard]] std::int16_t rain_tenths(Point p, int day) const;
    // Grass reference evapotranspiration, mm a day; month 1..12.
    [[nodiscard]] double et0_mm_day(Point p, int month) const;

private:
    [[nodiscard]] double place_factor(Point p) const;
    [[nodiscard]] double year_factor(std::chrono::year_month_day date) const;
    void draw_days();
    void scale_to_mean();
    void lose_days();

    BasinPlan m_plan;
    std::chrono::sys_days m_start;
    std::vector<double> m_rain_mm;  // at a mean place of the basin
    std::vector<bool> m_missing;
};

}  // namespace demo
