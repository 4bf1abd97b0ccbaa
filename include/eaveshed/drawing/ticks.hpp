// Round numbers for axes, scale bars and contours: 1, 2 or 5 times a power of ten (common practice).
#pragma once

#include <string>
#include <vector>

namespace eaveshed {

// The largest round number that is at most `most`; `most` > 0 and finite, else a broken invariant.
[[nodiscard]] double round_below(double most);

// The multiples of a round step within [from, to], about `wanted` of them (never more than 2.5 times as many; `wanted`
// >= 1): in order, with the decimals that tell them apart. Where to <= from, or one of them is not finite, `values` is
// `from` alone.
struct Ticks {
    double step = 1.0;
    int decimals = 0;
    std::vector<double> values;

    // "1200", "0.05".
    [[nodiscard]] std::string text(double value) const;
};
[[nodiscard]] Ticks round_ticks(double from, double to, int wanted);

}  // namespace eaveshed
