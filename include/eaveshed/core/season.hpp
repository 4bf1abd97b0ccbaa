// The seasons of the year as sets of months, and the tank year they imply.
#pragma once

#include <optional>
#include <span>
#include <vector>

namespace eaveshed {

// A set of months 1..12, in no order.
class MonthSet {
public:
    MonthSet() = default;
    explicit MonthSet(std::span<const int> months);  // months outside 1..12 are a broken invariant
    [[nodiscard]] bool has(int month) const { return (m_bits >> static_cast<unsigned>(month) & 1U) != 0; }
    [[nodiscard]] bool empty() const { return m_bits == 0; }
    [[nodiscard]] int count() const;
    // Days of these months in a mean year (31, 28, 31, ...).
    [[nodiscard]] int mean_year_days() const;
    friend bool operator==(MonthSet, MonthSet) = default;

private:
    unsigned m_bits = 0;
};

// The last month of a run round the year: the one whose successor is not in the set. None when the months are not one
// run (or are none, or all twelve: then there is no last).
// method.md 2.6.
[[nodiscard]] std::optional<int> last_of_run(MonthSet months);

// method.md 2.5.
struct Season {
    MonthSet fill;         // months whose harvest is the winter harvest
    MonthSet forbear;      // months in which the stream keeps the water
    MonthSet draw;         // months in which the tank is drawn upon
    int first_month = 11;  // of the tank year: the month after the last forbearance month
};

}  // namespace eaveshed
