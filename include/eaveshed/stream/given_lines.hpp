// Stream lines as somebody drew them, made into a network: ends joined, directions held against the elevations, loops
// cut, and everything odd told with the number of its line. Each line stays one reach.
#pragma once

#include <cstdint>
#include <vector>

#include "eaveshed/core/raster.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/stream/reach_tree.hpp"

namespace eaveshed {

// A line drawn in the direction of flow, in a plane of metres; elevations above datum of the ground at its first and
// last point, NaN where there is none. Fewer than two points: a reach by itself that nothing enters or leaves.
struct GivenLine {
    Line line;
    double first_elev_m = kMissing;
    double last_elev_m = kMissing;
};

// All >= 0.
struct LineRules {
    double join_m = 1.0;             // ends at most this far apart are one node
    double gap_m = 30.0;             // a lower end that leads nowhere, with another line at most this far away: a gap
    double elevation_slack_m = 1.0;  // a rise of at most this much says nothing about the direction
    bool turn = false;               // turn lines that rise by more before the network is made
};

// A lower end that nearly meets another line.
struct LineGap {
    std::uint32_t line = 0;
    std::uint32_t other = 0;
    double distance_m = 0.0;
    friend bool operator==(const LineGap&, const LineGap&) = default;
};

// Lines that lead round to where they begin.
struct LineLoop {
    std::vector<std::uint32_t> lines;  // ascending
    std::uint32_t cut = 0;             // the one whose water was led elsewhere,
    std::uint32_t to = kNoReach;       // into this line, which leaves the loop; none: it became an outlet
    friend bool operator==(const LineLoop&, const LineLoop&) = default;
};

// A node that several lines leave.
struct LineFork {
    std::vector<std::uint32_t> arms;  // ascending; the whole goes to the first, but for loops
    friend bool operator==(const LineFork&, const LineFork&) = default;
};

struct GivenNetwork {
    ReachTree tree;
    std::vector<std::uint32_t> upper_node;  // of each line, as turned; nodes are numbered as they are met
    std::vector<std::uint32_t> lower_node;
    std::uint32_t node_count = 0;
    std::vector<std::uint32_t> rising;       // lines that end higher than they begin by more than the slack; ascending
    std::vector<std::uint32_t> unjudged;     // lines without an elevation at one end or both
    std::vector<std::uint32_t> short_lines;  // lines no longer than `join_m`: their own ends may be one node
    std::vector<std::uint32_t> joined_midway;  // lines that end on another between its ends, and flow into it
    std::vector<LineGap> gaps;                 // one a node, of the first line that ends there; ascending
    std::vector<LineLoop> loops;
    std::vector<LineFork> forks;
    bool turned = false;  // whether the lines of `rising` were turned
};

// The network of the lines:
//
// - ends at most join_m apart are one node, and so are chains of such ends; the two ends of one line only where they
//   are the same point or others lie between;
// - a line flows into the first line in input order that begins where it ends: the whole of it, so that at a fork
//   nothing is counted twice; where none begins, into the nearest line (ties by number) at most join_m from its end
//   that does not itself drain to there;
// - of a loop that is left the first line in input order from whose end another line leads away for good flows into
//   that one; where none does, the loop's last line in input order becomes an outlet;
// - a lower end that flows into nothing, with a line at most gap_m away that does not drain to it, is a gap; none where
//   a rising line that was not turned ends too: drawn the other way round it would lead on.
//
// The same lines in the same order give the same network. Costs about n log n. A rule below 0 is an internal error.
// method.md 7.16.
[[nodiscard]] GivenNetwork network_of(const std::vector<GivenLine>& lines, const LineRules& rules);

// A line as the network takes it: its points, last first where it was turned.
[[nodiscard]] Line as_turned(const GivenNetwork& network, std::uint32_t number, Line line);

}  // namespace eaveshed
