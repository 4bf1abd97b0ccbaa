// Store sizes that handbooks find by other ways than running a store: sequent peak, mass curve, closed forms.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <numeric>
#include <vector>

#include "eaveshed/core/season.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/storage/behaviour.hpp"
#include "eaveshed/storage/store.hpp"
#include "support/plain_values.hpp"

namespace eaveshed {
namespace {

using testing::sum;

// The sequent-peak algorithm: K = max(0, K + R - Q) over as many passes as are asked for; the greatest K.
double sequent_peak(const std::vector<double>& inflow, const std::vector<double>& release, int passes) {
    double needed = 0.0;
    double greatest = 0.0;
    for (int pass = 0; pass < passes; ++pass) {
        for (std::size_t i = 0; i < inflow.size(); ++i) {
            needed = std::max(0.0, needed + release[i] - inflow[i]);
            greatest = std::max(greatest, needed);
        }
    }
    return greatest;
}

// Whether a store meets every release in the last of many repeats of the record.
bool meets(const std::vector<double>& inflow, const std::vector<double>& release, double usable_m3) {
    double stock = 0.0;
    double short_of = 0.0;
    for (int repeat = 0; repeat < 30; ++repeat) {
        short_of = 0.0;
        for (std::size_t i = 0; i < inflow.size(); ++i) {
            const StoreStep step =
                step_store(stock, inflow[i], release[i], {usable_m3, 0.0}, StoreRule::before_spillage);
            stock = step.stock_m3;
            short_of += release[i] - step.yield_m3;
        }
    }
    return short_of <= 1e-9;
}

// The least store that does, by halving.
double least_store(const std::vector<double>& inflow, const std::vector<double>& release) {
    double too_small = 0.0;
    double enough = 2.0 * sum(release);
    EXPECT_TRUE(meets(inflow, release, enough));
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (too_small + enough);
        (meets(inflow, release, middle) ? enough : too_small) = middle;
    }
    return enough;
}

// R3.4: Loucks and van Beek 2005, Water Resources Systems Planning and Management, table 11.2 (read inputs).
TEST(Sizing, TheLeastStoreIsTheSequentPeak) {
    const std::vector<double> inflow{1, 3, 3, 5, 8, 6, 7, 2, 1};
    const std::vector<double> release(9, 3.5);
    EXPECT_NEAR(least_store(inflow, release), 7.5, 1e-6);
    EXPECT_DOUBLE_EQ(sequent_peak(inflow, release, 2), 7.5);
    EXPECT_DOUBLE_EQ(sequent_peak(inflow, release, 1), 4.0);  // one pass misses the turn of the record
}

// R3.5: mass-curve textbook example 8.3 in a public Scilab textbook companion (read).
TEST(Sizing, TheLeastStoreIsThatOfTheMassCurve) {
    const std::vector<double> inflow{1500, 1000, 500, 500, 500, 1200, 2900, 2900, 1000, 400, 600, 1600};
    EXPECT_NEAR(least_store(inflow, std::vector<double>(12, 1000.0)), 1500.0, 1e-4);
}

// R3.6: derived: roof 120 m2, C 0.85; the greatest need is at the end of September.
TEST(Sizing, TheLeastStoreOfTheSummerDemandIsItsGreatestNeed) {
    const std::vector<double> rain_mm{180, 200, 150, 90, 40, 15, 3, 5, 15, 70, 150, 190};
    const std::vector<double> demand{0, 0, 0, 0, 0, 0, 0, 9, 9, 6, 0, 0};
    std::vector<double> inflow;
    for (const double depth : rain_mm) {
        inflow.push_back(120.0 * 0.85 * depth / 1000.0);
    }
    EXPECT_NEAR(sum(inflow), 113.016, 1e-9);
    EXPECT_NEAR(least_store(inflow, demand), 15.96, 1e-6);
}

// One tank year of days: so many events of equal depth with a dry day between them, then a season of equal demand.
struct DryYear {
    Timeline timeline;
    std::vector<double> inflow_m3;
    std::vector<double> demand_m3;
};

DryYear dry_year(double area_m2, double rain_mm, double runoff_coefficient, double flush_mm, int events,
                 double season_demand_m3) {
    const std::array<int, 3> months{8, 9, 10};
    const Season season{.fill = {}, .forbear = MonthSet(months), .draw = MonthSet(months), .first_month = 11};
    DryYear year{make_series_timeline(RainKind::daily, Calendar::noleap, {2000, 11, 1}, 365, season), {}, {}};
    const double event_m3 = area_m2 * (runoff_coefficient * rain_mm / events - flush_mm) / 1000.0;
    for (std::size_t i = 0; i < 365; ++i) {
        const bool rains = i % 2 == 0 && i < 2 * static_cast<std::size_t>(events);
        year.inflow_m3.push_back(rains ? event_m3 : 0.0);
        year.demand_m3.push_back(season.draw.has(year.timeline.steps[i].month) ? season_demand_m3 / 92.0 : 0.0);
    }
    return year;
}

YearOfStore run(const DryYear& year, double usable_m3, StoreRule rule) {
    return run_store(year.timeline, year.timeline.years, year.inflow_m3, year.demand_m3, {usable_m3, 0.0}, rule)
        .front();
}

// R3.7: derived closed form min(S, inflow, demand): the tank binds.
TEST(Sizing, OneWinterAndOneDrySummerReplaceTheTank) {
    const DryYear year = dry_year(150.0, 1100.0, 0.85, 0.5, 80, 20.0);
    EXPECT_NEAR(sum(year.inflow_m3), 134.25, 1e-9);
    for (const StoreRule rule : {StoreRule::after_spillage, StoreRule::before_spillage}) {
        const YearOfStore result = run(year, 18.927, rule);
        EXPECT_NEAR(result.replaced_m3, 18.927, 1e-9);
        EXPECT_NEAR(result.overflow_m3, 115.323, 1e-9);
        EXPECT_TRUE(result.filled);
    }
}

// R3.8: derived closed form: the roof binds; the demand binds.
TEST(Sizing, OneWinterAndOneDrySummerReplaceTheHarvestOrTheDemand) {
    for (const StoreRule rule : {StoreRule::after_spillage, StoreRule::before_spillage}) {
        const YearOfStore roof = run(dry_year(60.0, 400.0, 0.85, 0.5, 40, 30.0), 37.854, rule);
        EXPECT_NEAR(roof.replaced_m3, 19.20, 1e-9);
        EXPECT_NEAR(roof.overflow_m3, 0.0, 1e-9);
        EXPECT_FALSE(roof.filled);
        const YearOfStore demand = run(dry_year(150.0, 1100.0, 0.85, 0.5, 80, 9.0), 18.927, rule);
        EXPECT_NEAR(demand.replaced_m3, 9.0, 1e-9);
        EXPECT_NEAR(demand.demand_m3, 9.0, 1e-9);
    }
}

// R1.11: a store of 3,000 L serves 120 L a day for 25 dry days, Univ. of Warwick DTU sizing guidance (read).
TEST(Sizing, AStoreOfThreeCubicMetresServesSixPeopleFor25Days) {
    double stock = 3.0;
    double yield = 0.0;
    for (int day = 0; day < 25; ++day) {
        const StoreStep step = step_store(stock, 0.0, 0.120, {3.0, 0.0}, StoreRule::after_spillage);
        EXPECT_NEAR(step.yield_m3, 0.120, 1e-12);
        stock = step.stock_m3;
        yield += step.yield_m3;
    }
    EXPECT_NEAR(yield, 3.0, 1e-12);
    EXPECT_NEAR(step_store(stock, 0.0, 0.120, {3.0, 0.0}, StoreRule::after_spillage).yield_m3, 0.0, 1e-12);
}

}  // namespace
}  // namespace eaveshed
