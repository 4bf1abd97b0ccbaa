#include "eaveshed/notes/upkeep.hpp"

#include <algorithm>

namespace eaveshed {

namespace {

constexpr int kMonths = 12;

int before(int month) {
    return month == 1 ? kMonths : month - 1;
}
int after(int month) {
    return month == kMonths ? 1 : month + 1;
}

// The first month of every run of the set.
std::vector<int> first_of_runs(MonthSet months) {
    std::vector<int> first;
    for (int month = 1; month <= kMonths; ++month) {
        if (months.has(month) && !months.has(before(month))) {
            first.push_back(month);
        }
    }
    return first;
}

// The month before each run: of a set that is one run, the one month.
std::vector<int> months_before(MonthSet months) {
    std::vector<int> found = first_of_runs(months);
    std::ranges::transform(found, found.begin(), before);
    return found;
}

class Calendar {
public:
    // Nothing to be done in no month is no task.
    void add(UpkeepTime time, const std::vector<int>& months, std::string_view what, bool applies = true) {
        if (applies && !months.empty()) {
            m_tasks.push_back({time, months, what});
        }
    }
    [[nodiscard]] std::vector<UpkeepTask> take() { return std::move(m_tasks); }

private:
    std::vector<UpkeepTask> m_tasks;
};

void add_wet_season(const UpkeepFacts& facts, Calendar& calendar) {
    const auto first = months_before(facts.fill);
    constexpr UpkeepTime kFirst = UpkeepTime::before_first_rain;
    calendar.add(kFirst, first, "Clean gutters, downspouts and leaf screens.");
    calendar.add(kFirst, first, "Empty and close the first-flush chamber.");
    calendar.add(kFirst, first, "Look at the overflow's outfall: stone it where the water has dug.");
    calendar.add(kFirst, first, "See that lids are tight and screens whole. Never enter a tank.");
    const auto storms = in_order_round_the_year(facts.fill);
    constexpr UpkeepTime kStorms = UpkeepTime::in_storms;
    calendar.add(kStorms, storms, "Look at screens and first flush after every storm.");
    calendar.add(kStorms, storms, "Clean gutters and screens again when leaves have fallen: trees stand over the roof.",
                 facts.leaves);
    calendar.add(kStorms, storms, "See that the overflow runs away from slopes and foundations.");
}

void add_frost(const UpkeepFacts& facts, Calendar& calendar) {
    if (!facts.freezing || facts.freezing->count() == kMonths) {
        return;
    }
    const auto months = months_before(*facts.freezing);
    constexpr UpkeepTime kFrost = UpkeepTime::before_frost;
    calendar.add(kFrost, months, "Drain the fill line that stays full of water at its lowest point.",
                 facts.wet_line.value_or(false));
    calendar.add(kFrost, months, "Drain any fill line that stays full of water.", !facts.wet_line);
    calendar.add(kFrost, months, "Drain the pump, or bring it in.", facts.pump);
    calendar.add(kFrost, months, "Open the drain of the first flush, wrap valves and taps that stand above ground.");
}

void add_dry_season(const UpkeepFacts& facts, Calendar& calendar) {
    const auto before_it = months_before(facts.forbear);
    constexpr UpkeepTime kBefore = UpkeepTime::before_dry_season;
    calendar.add(kBefore, before_it, "Read the tank's level and write it down: it is the season's water.");
    calendar.add(kBefore, before_it, "Try taps, filter and garden lines; clean the filter.");
    calendar.add(kBefore, before_it, "Run the pump and look at its switch and power.", facts.pump);
    std::vector<int> after_it;
    if (const auto last = last_of_run(facts.forbear)) {
        after_it.push_back(after(*last));
    }
    constexpr UpkeepTime kAfter = UpkeepTime::after_dry_season;
    calendar.add(kAfter, after_it,
                 "Read the level again, and the meter: what was taken from the tank and not the creek.");
    calendar.add(
        kAfter, after_it,
        "Rinse sludge from the bottom if it reaches the outlet, one tank at a time, and without bleach where it "
        "drains to a creek.");
    calendar.add(kAfter, after_it, "Trim branches over the roof.", facts.leaves);
}

}  // namespace

std::optional<MonthSet> freezing_months(const KnownMonthValues& minimum_c) {
    std::vector<int> freezing;
    for (int month = 1; month <= kMonths; ++month) {
        const auto& value = minimum_c.at(static_cast<std::size_t>(month - 1));
        if (!value) {
            return std::nullopt;
        }
        if (*value < 0.0) {
            freezing.push_back(month);
        }
    }
    return MonthSet(freezing);
}

std::vector<int> in_order_round_the_year(MonthSet months) {
    std::vector<int> starts = first_of_runs(months);
    if (starts.empty() && !months.empty()) {
        starts.push_back(1);
    }
    std::vector<int> order;
    for (const int start : starts) {
        int month = start;
        do {
            order.push_back(month);
            month = after(month);
        } while (months.has(month) && month != start);
    }
    return order;
}

std::vector<UpkeepTask> upkeep_calendar(const UpkeepFacts& facts) {
    Calendar calendar;
    add_wet_season(facts, calendar);
    add_frost(facts, calendar);
    add_dry_season(facts, calendar);
    return calendar.take();
}

}  // namespace eaveshed
