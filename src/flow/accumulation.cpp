#include "eaveshed/flow/accumulation.hpp"

#include <algorithm>

#include "eaveshed/core/error.hpp"
#include "neighbours.hpp"

namespace eaveshed {

namespace {

constexpr std::uint8_t kPassed = 0xFF;

// How many neighbours drain to each cell; kPassed for gaps.
std::pmr::vector<std::uint8_t> inflow_counts(const FlowDirections& directions) {
    const Neighbours around(directions.grid);
    std::pmr::vector<std::uint8_t> counts(directions.ways.size(), 0, directions.ways.get_allocator());
    for (std::size_t cell = 0; cell < counts.size(); ++cell) {
        const std::uint8_t way = directions.ways[cell];
        if (way == kNoGround) {
            counts[cell] = kPassed;
        } else if (way < kWays.size()) {
            const std::size_t to = around.along(cell, way);
            if (to >= counts.size() || directions.ways[to] == kNoGround) {
                internal_error("a direction that leads off the ground");
            }
            ++counts[to];
        }
    }
    return counts;
}

// Adds each cell's sum to the one that it drains to. Gives how many cells were passed.
template <typename Sum>
std::size_t add_downstream(const FlowDirections& directions, std::pmr::vector<std::uint8_t> waiting,
                           std::pmr::vector<Sum>& sums) {
    std::size_t passed = 0;
    for (CellNumber start = 0; start < waiting.size(); ++start) {
        if (waiting[start] != 0) {
            continue;
        }
        CellNumber cell = start;
        while (true) {
            waiting[cell] = kPassed;
            ++passed;
            const auto to = directions.downstream(cell);
            if (!to) {
                break;
            }
            sums[*to] += sums[cell];
            if (--waiting[*to] != 0) {
                break;
            }
            cell = *to;
        }
    }
    return passed;
}

bool of_one_size(const RowSides& sides) {
    const auto differs = [](const std::vector<double>& lengths) {
        return std::ranges::any_of(lengths, [&](double length) { return length != lengths.front(); });
    };
    return !differs(sides.width_m) && !differs(sides.height_m);
}

}  // namespace

Accumulation accumulate(const FlowDirections& directions) {
    std::pmr::memory_resource* const memory = directions.ways.get_allocator().resource();
    Accumulation result{.cells = std::pmr::vector<std::uint32_t>(memory), .area_m2 = std::pmr::vector<double>(memory)};
    std::pmr::vector<std::uint8_t> counts = inflow_counts(directions);
    const auto is_ground = [](std::uint8_t way) { return way != kNoGround; };
    result.cells.resize(directions.ways.size());
    std::ranges::transform(directions.ways, result.cells.begin(),
                           [&](std::uint8_t way) { return is_ground(way) ? 1U : 0U; });
    if (of_one_size(directions.sides)) {
        result.cell_area_m2 = directions.sides.area_m2(0);
    } else {
        result.area_m2.resize(directions.ways.size());
        for (std::size_t cell = 0; cell < directions.ways.size(); ++cell) {
            const auto row = static_cast<std::int64_t>(cell) / directions.grid.cols;
            result.area_m2[cell] = is_ground(directions.ways[cell]) ? directions.sides.area_m2(row) : 0.0;
        }
        add_downstream(directions, {counts, counts.get_allocator()}, result.area_m2);
    }
    const auto ground = static_cast<std::size_t>(std::ranges::count_if(directions.ways, is_ground));
    if (add_downstream(directions, std::move(counts), result.cells) != ground) {
        internal_error("directions that lead in a loop");
    }
    return result;
}

}  // namespace eaveshed
