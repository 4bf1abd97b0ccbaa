// The streams of a run as reaches that flow into each other, given as lines or drawn by the ground, and the ways from
// a place to them.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/flow/ways_to_stream.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/stream/nearest_reach.hpp"
#include "eaveshed/stream/reach_tree.hpp"
#include "eaveshed/terrain/terrain_metric.hpp"

namespace eaveshed {

struct CreekReach {
    std::string id;    // stands once among the reaches
    std::string name;  // of the creek; empty: none
    Line line;         // in the direction of flow, in the terrain's CRS
    double length_m = 0.0;
    std::optional<double> low_flow_lps{};
    std::optional<double> drained_km2{};  // ground that drains through a derived reach's lower end
};

// Where an offer comes to the streams.
struct ReachEntry {
    std::uint32_t reach = kNoReach;
    EntryWay way = EntryWay::nearest;
    double distance_m = 0.0;  // down the slopes, or straight for the others
};

// What the reaches and their index take of memory, roughly. The cells that water is led over lie in files.
inline constexpr std::uint64_t kBytesAReach = 150;
inline constexpr std::uint64_t kBytesAPoint = 40;

// Immutable once made, but for ways that were promised; safe to ask from several threads.
class Creeks {
public:
    // No streams.
    Creeks();
    Creeks(std::vector<CreekReach> reaches, ReachTree tree, const TerrainMetric& metric, const Box& extent,
           std::shared_ptr<const WaysToStream> ways);
    ~Creeks();
    Creeks(Creeks&& other) noexcept;
    Creeks& operator=(Creeks&& other) noexcept;

    [[nodiscard]] const std::vector<CreekReach>& reaches() const { return m_reaches; }
    [[nodiscard]] const ReachTree& tree() const { return m_tree; }
    [[nodiscard]] bool empty() const { return m_reaches.empty(); }

    // Of an offer at `place` (its pad, else its roof) whose water is taken at `diversion`, where that is known: both in
    // the terrain's CRS. The reach nearest to the diversion; else the first that the water of the place runs to; else
    // the nearest. None without reaches.
    // method.md 7.15.
    [[nodiscard]] std::optional<ReachEntry> entry_of(const std::optional<Point>& place,
                                                     const std::optional<Point>& diversion) const;
    // The nearest reach and how far it is, in the metres of the place itself.
    [[nodiscard]] std::optional<NearReach> nearest(Point place) const;
    // What stays in memory, roughly.
    [[nodiscard]] std::uint64_t bytes() const;
    // Null where water is not led over the ground.
    [[nodiscard]] const WaysToStream* ways() const { return m_ways.get(); }
    // Water will be led over so many cells: until then everything enters at the nearest reach.
    void promise_ways(std::uint64_t cells) { m_promised_cells = cells; }
    void lead(std::shared_ptr<const WaysToStream> ways);
    // The cells that water is led over, or will be; 0 where it is not.
    [[nodiscard]] std::uint64_t led_cells() const;

private:
    std::vector<CreekReach> m_reaches;
    ReachTree m_tree;
    TerrainMetric m_metric;
    LocalFrame m_frame;  // the metres of m_index
    ReachIndex m_index;
    std::shared_ptr<const WaysToStream> m_ways;
    std::uint64_t m_promised_cells = 0;
};

}  // namespace eaveshed
