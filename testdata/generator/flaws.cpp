#include "flaws.hpp"

#include <algorithm>
#include <utility>

namespace demo {
namespace {

// The first untouched house at or after a share of the list, of at least a given width.
class HousePicker {
public:
    explicit HousePicker(const std::vector<Building>& buildings) : m_taken(buildings.size(), false) {}

    std::size_t pick(const std::vector<Building>& buildings, double share, double width_m) {
        const std::size_t count = m_taken.size();
        const auto start = static_cast<std::size_t>(share * static_cast<double>(count));
        for (std::size_t step = 0; step < count; ++step) {
            const std::size_t i = (start + step) % count;
            const Building& b = buildings[i];
            if (m_taken[i] || b.use != "house" || b.footprint.outer.size() != 4 || 2.0 * b.box.half_width < width_m) {
                continue;
            }
            m_taken[i] = true;
            return i;
        }
        return start % count;
    }

private:
    std::vector<bool> m_taken;
};

void add_courtyard(Building& b) {
    Box yard = b.box;
    yard.half_length *= 0.45;
    yard.half_width *= 0.4;
    Ring ring = rounded_ring(box_ring(yard));
    std::reverse(ring.begin(), ring.end());  // holes run against the outer ring
    b.footprint.holes.push_back(ring);
}

Building digitised_again(const Building& original) {
    Building copy = original;
    copy.box.centre = box_to_world(original.box, 1.3, 0.9);
    copy.box.along = unit(original.box.along + turned_left(original.box.along) * 0.05);
    copy.footprint.outer = rounded_ring(box_ring(copy.box));
    copy.eave_height_m.reset();
    return copy;
}

Building without_geometry(const Building& like) {
    Building empty = like;
    empty.footprint = {};
    return empty;
}

}  // namespace

std::vector<ElevationHole> add_flaws(std::vector<Building>& buildings) {
    std::vector<ElevationHole> holes;
    HousePicker picker(buildings);
    const int sets = std::max(1, static_cast<int>(buildings.size()) / 5000);
    std::vector<Building> added;
    for (int set = 0; set < sets; ++set) {
        const auto house = [&](double share, double width_m) {
            return picker.pick(buildings, (set + share) / sets, width_m);
        };
        Ring& crossed = buildings[house(0.12, 8.0)].footprint.outer;
        std::swap(crossed[1], crossed[2]);
        add_courtyard(buildings[house(0.30, 11.0)]);
        added.push_back(buildings[house(0.45, 8.0)]);
        added.push_back(digitised_again(buildings[house(0.60, 9.0)]));
        added.push_back(without_geometry(buildings[house(0.72, 8.0)]));
        const Box gap = buildings[house(0.82, 8.0)].box;
        holes.push_back({box_to_world(gap, gap.half_length, gap.half_width), 6.5});  // one corner of the roof
        const Box lost = buildings[house(0.92, 8.0)].box;
        holes.push_back({lost.centre, length({lost.half_length, lost.half_width}) + 5.0});  // the whole roof
    }
    buildings.insert(buildings.end(), added.begin(), added.end());
    return holes;
}

}  // namespace demo
