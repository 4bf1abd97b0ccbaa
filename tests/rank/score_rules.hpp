// The score as shipped, for tests of what is built on it.
#pragma once

#include "eaveshed/rank/score.hpp"

namespace eaveshed::testing {

// method.md 8.2: weights and reference ranges.
inline ScoreRule shipped_rule() {
    return {
        .weights = {.stream_gain = 0.35, .low_flow_share = 0.15, .gravity = 0.20, .cost = 0.20, .reliability = 0.10},
        .ranges = {.stream_gain_lps = 0.01, .low_flow_share = 0.05, .cost_per_m3 = 2000.0}};
}

}  // namespace eaveshed::testing
