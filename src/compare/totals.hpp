// The totals of two files side by side, as page and JSON print them. Private to the module.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/compare/compare.hpp"
#include "eaveshed/record/headline.hpp"

namespace eaveshed {

struct TotalSide {
    std::uint64_t number = 0;
    double forbearance_m3 = 0.0;
    std::optional<double> felt_m3{};  // none where what the creek feels is not known
    std::optional<double> felt_lps{};
};

struct HeadlineTotal {
    std::string_view part;     // a word of HeadlinePart, "all" or "roofs_in_no_parcel"
    std::string_view meaning;  // for people
    TotalSide before;
    TotalSide after;
};

// Every part, the whole, and beside it the roofs in no parcel; zeros too.
[[nodiscard]] std::vector<HeadlineTotal> headline_totals(const Comparison& comparison);

struct CountTotal {
    std::string_view word;
    std::uint64_t before = 0;
    std::uint64_t after = 0;
};
struct CountGroup {
    std::string_view key;    // in JSON
    std::string_view title;  // on the page
    std::vector<CountTotal> counts;
};

// Rows by status, candidates by delivery, ...: every word of each list.
[[nodiscard]] std::vector<CountGroup> count_groups(const Comparison& comparison);

// What the candidates would add at the lower end of a creek; null in a file that does not have it.
struct CreekTotal {
    const PartSum* before = nullptr;
    const PartSum* after = nullptr;

    [[nodiscard]] const PartSum& either() const { return after != nullptr ? *after : *before; }
};

// By name, without one by outlet: those of the file after in their order, then those that only the file before has.
[[nodiscard]] std::vector<CreekTotal> creek_totals(const Comparison& comparison);

}  // namespace eaveshed
