#include "climate.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "noise.hpp"
#include "portable_math.hpp"
#include "random.hpp"

namespace demo {
namespace {

constexpr double kMeanYear_mm = 1080.0;
constexpr double kYearSd = 0.17;       // of the log of a year's factor
constexpr double kPersistence = 0.35;  // wet days follow wet days
// January first: share of wet days, mean depth of one (mm), evapotranspiration (mm a day)
constexpr std::array<double, 12> kWetShare = {.42, .40, .36, .25, .13, .035, .010, .012, .05, .20, .34, .42};
constexpr std::array<double, 12> kWetDepth_mm = {16, 15.5, 13, 10, 8, 6, 4, 5, 8, 13, 16, 17};
constexpr std::array<double, 12> kEt0_mm_day = {1.2, 1.7, 2.5, 3.5, 4.5, 5.4, 5.8, 5.2, 4.1, 2.7, 1.6, 1.1};

unsigned month_of(std::chrono::year_month_day date) {
    return static_cast<unsigned>(date.month());
}

}  // namespace

Climate::Climate(const BasinPlan& plan) : m_plan(plan) {
    using namespace std::chrono;
    m_start = sys_days{year{plan.first_year} / October / 1};
    const sys_days end = sys_days{year{plan.first_year + plan.years} / December / 31};
    m_rain_mm.assign(static_cast<std::size_t>((end - m_start).count() + 1), 0.0);
    m_missing.assign(m_rain_mm.size(), false);
    draw_days();
    scale_to_mean();
    lose_days();
}

std::string Climate::date_text(int day) const {
    const std::chrono::year_month_day date{m_start + std::chrono::days{day}};
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), month_of(date),
                       static_cast<unsigned>(date.day()));
}

// Wet and dry years: one factor for each year from October, so that a winter is wet or dry as a whole.
double Climate::year_factor(std::chrono::year_month_day date) const {
    const int year = static_cast<int>(date.year()) + (month_of(date) >= 10 ? 1 : 0);
    Random random(m_plan.seed, Purpose::kYear, {year});
    const double z = std::clamp(random.normal(), -2.2, 2.2);
    return portable_exp(kYearSd * z - kYearSd * kYearSd / 2.0);
}

void Climate::draw_days() {
    bool wet = false;
    for (int day = 0; day < day_count(); ++day) {
        const std::chrono::year_month_day date{m_start + std::chrono::days{day}};
        const std::size_t month = month_of(date) - 1;
        const double factor = year_factor(date);
        const double share = std::min(0.75, kWetShare[month] * portable_exp(0.4 * portable_log(factor)));
        Random random(m_plan.seed, Purpose::kDay, {day});
        wet = random.chance(wet ? share + kPersistence * (1.0 - share) : share * (1.0 - kPersistence));
        if (!wet) {
            continue;
        }
        // Weibull depths of shape 0.85: many small rains, a few great ones (1.087 = Gamma(1 + 1 / 0.85) makes the mean
        // come out).
        const double depth = portable_exp(1.176 * portable_log(-portable_log(1.0 - random.uniform() + 1e-12))) / 1.087;
        m_rain_mm[static_cast<std::size_t>(day)] =
            kWetDepth_mm[month] * depth * portable_exp(0.6 * portable_log(factor));
    }
}

void Climate::scale_to_mean() {
    double sum = 0.0;
    for (double mm : m_rain_mm) {
        sum += mm;
    }
    // The last three months belong to no whole year; they carry about 0.36 of one.
    const double years = m_plan.years + 0.36;
    for (double& mm : m_rain_mm) {
        mm *= kMeanYear_mm * years / std::max(sum, 1.0);
    }
}

// Gauges fail: single days here and there, once for three days.
void Climate::lose_days() {
    Random random(m_plan.seed, Purpose::kStorm);
    const int singles = std::max(2, m_plan.years / 4);
    for (int i = 0; i < singles; ++i) {
        m_missing[static_cast<std::size_t>(random.whole(day_count()))] = true;
    }
    const int start = random.whole(day_count() - 3);
    for (int i = 0; i < 3; ++i) {
        m_missing[static_cast<std::size_t>(start + i)] = true;
    }
}

// More rain towards the north and east, where the ground is higher, and some unevenness.
double Climate::place_factor(Point p) const {
    const double gradient = 0.13 * (p.x / m_plan.width_m - 0.5) + 0.16 * (p.y / m_plan.height_m - 0.5);
    const auto key = Random(m_plan.seed, Purpose::kStorm, {1}).next();
    return 1.0 + gradient + 0.1 * gradient_noise(key, p.x / 6000.0 + 0.37, p.y / 6000.0 + 0.61);
}

std::int16_t Climate::rain_tenths(Point p, int day) const {
    if (m_missing[static_cast<std::size_t>(day)]) {
        return kMissingRain;
    }
    const double mm = m_rain_mm[static_cast<std::size_t>(day)];
    if (mm == 0.0) {
        return 0;
    }
    const auto key = Random(m_plan.seed, Purpose::kStorm, {2, day}).next();
    const double storm = 1.0 + 0.35 * gradient_noise(key, p.x / 5000.0, p.y / 5000.0);
    return static_cast<std::int16_t>(rounded_to(std::min(3000.0, 10.0 * mm * storm * place_factor(p)), 1.0));
}

double Climate::et0_mm_day(Point p, int month) const {
    const double north = p.y / m_plan.height_m - 0.5;
    return rounded_to(kEt0_mm_day[static_cast<std::size_t>(month) - 1] * (1.0 - 0.03 * north), 0.01);
}

}  // namespace demo
