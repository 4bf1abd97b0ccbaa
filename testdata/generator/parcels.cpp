#include "parcels.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "portable_math.hpp"

namespace demo {
namespace {

// Names that nobody bears.
constexpr std::array<const char*, 32> kFirst = {
    "Alderwick", "Bramblina", "Corvellan",  "Dapplemere", "Eglantha", "Fennimor",   "Gossamira", "Hazelorn",
    "Ivelda",    "Junipero",  "Kestrelle",  "Larkspurn",  "Mallowyn", "Nettlewood", "Oakenby",   "Periwick",
    "Quincella", "Rowanette", "Sorrelin",   "Thistlena",  "Umberly",  "Vetchley",   "Willowmar", "Yarrowick",
    "Zephyrine", "Bulrush",   "Clovertine", "Dockleaf",   "Elderino", "Figwort",    "Gorselyn",  "Heathering"};
constexpr std::array<const char*, 32> kLast = {
    "Quillfeather", "Mossgather",     "Underbough",  "Pebblewash",   "Rainbutt",        "Gutterling", "Downspoute",
    "Cloudsby",     "Dewpenny",       "Puddlefoot",  "Drizzlecombe", "Springwell-Mock", "Cisternby",  "Eavesdropper",
    "Ridgetile",    "Shinglesworth",  "Barrelhoop",  "Tapperley",    "Hosewinder",      "Trickleton", "Brooksquawk",
    "Siltyhand",    "Weirdale-Notte", "Fernwhistle", "Copsewander",  "Larchbottom",     "Stormgauge", "Mistletwig",
    "Sluicegood",   "Watercressby",   "Fogharbour",  "Hailstoneby"};

std::optional<std::string> draw_source(const Lot& lot, Random& random) {
    static constexpr std::array<const char*, 5> kNames = {"creek", "spring", "shallow_well", "deep_well", "mains"};
    if (random.chance(0.12)) {
        return std::nullopt;
    }
    if (lot.lane == 0) {
        return kNames[static_cast<std::size_t>(random.weighted({0.50, 0.05, 0.25, 0.05, 0.15}))];
    }
    if (lot.road() == 0) {
        return kNames[static_cast<std::size_t>(random.weighted({0.20, 0.08, 0.32, 0.15, 0.25}))];
    }
    return kNames[static_cast<std::size_t>(random.weighted({0.08, 0.27, 0.20, 0.35, 0.10}))];
}

std::optional<std::string> draw_status(Random& random) {
    static constexpr std::array<const char*, 3> kNames = {"enrolled", "declined", "do-not-contact"};
    if (!random.chance(0.11)) {
        return std::nullopt;
    }
    return kNames[static_cast<std::size_t>(random.weighted({0.5, 0.38, 0.12}))];
}

void draw_use(Parcel& parcel, const Lot& lot, bool has_house, Random& random) {
    const double frontage = LotGrid::kKnot_m * (lot.last - lot.first);
    const double depth_m = random.range(1.0, 11.0);
    const double garden = std::clamp(frontage * depth_m * portable_exp(0.35 * random.normal()), 30.0, 2400.0);
    const int people = has_house ? 1 + random.weighted({0.2, 0.36, 0.18, 0.16, 0.07, 0.03}) : 0;
    if (!random.chance(0.30)) {
        parcel.people = people;
    }
    if (!random.chance(0.35)) {
        parcel.irrigated_m2 = rounded_to(garden, 10.0);
    }
    if (has_house && random.chance(0.08)) {
        parcel.season_use_m3 = rounded_to(people * 12.0 + garden * random.range(0.35, 0.7), 1.0);
    }
}

}  // namespace

Parcel make_parcel(const BasinPlan& plan, const LotGrid& grid, const Lot& lot, bool has_house,
                   const StreamIndex& streams) {
    Random random(plan.seed, Purpose::kParcel, {lot.valley, lot.side, lot.lane, lot.first});
    Parcel parcel;
    parcel.parts.push_back(grid.ring(lot));
    draw_use(parcel, lot, has_house, random);
    parcel.source = draw_source(lot, random);
    const bool pumped = parcel.source && *parcel.source != "mains";
    if (pumped && random.chance(0.7)) {
        parcel.pump_lps = rounded_to(random.range(0.3, *parcel.source == "creek" ? 2.2 : 1.2), 0.1);
    }
    static constexpr std::array<double, 5> kTanks_m3 = {0.8, 1.9, 5.7, 9.5, 18.9};
    if (random.chance(0.14)) {
        parcel.tank_m3 = kTanks_m3[static_cast<std::size_t>(random.weighted({0.3, 0.3, 0.2, 0.15, 0.05}))];
    } else if (random.chance(0.3)) {
        parcel.tank_m3 = 0.0;
    }
    parcel.status = draw_status(random);
    const double distance = streams.distance_m(ring_middle(parcel.parts.front()), 1000.0);
    if (!random.chance(0.1)) {
        parcel.stream_m = rounded_to(distance, 1.0);
    }
    return parcel;
}

Owner make_owner(const BasinPlan& plan, int number) {
    Random random(plan.seed, Purpose::kOwner, {number});
    const char* first = kFirst[static_cast<std::size_t>(random.whole(static_cast<int>(kFirst.size())))];
    const char* last = kLast[static_cast<std::size_t>(random.whole(static_cast<int>(kLast.size())))];
    return {fmt::format("{} {}", first, last), fmt::format("555-01{:02}", random.whole(100)),
            fmt::format("K{:05}", number + 1)};
}

std::optional<Point> make_tap(const BasinPlan& plan, const Terrain& terrain, const LotGrid& grid, const Lot& lot,
                              const std::vector<Building>& buildings) {
    Random random(plan.seed, Purpose::kTap, {lot.valley, lot.side, lot.lane, lot.first});
    if (buildings.empty() || !random.chance(0.16)) {
        return std::nullopt;
    }
    const Ring ring = grid.ring(lot);
    std::optional<Point> lowest;  // of a few likely spots: gardens lie at the foot of the slope more often than not
    int left = 1 + random.whole(3);
    for (int attempt = 0; attempt < 60 && left > 0; ++attempt) {
        const double far = LotGrid::kKnot_m * 4.5;
        const Point p = ring_middle(ring) + Point{random.range(-far, far), random.range(-far, far)};
        if (!ring_contains(ring, p) || ring_edge_distance(ring, p) < 2.5) {
            continue;
        }
        const Box spot{p, {1.0, 0.0}, 0.1, 0.1};
        const bool clear = std::all_of(buildings.begin(), buildings.end(),
                                       [&](const Building& b) { return boxes_apart(spot, b.box, 1.5); });
        if (!clear) {
            continue;
        }
        if (!lowest || terrain.elevation_m(p) < terrain.elevation_m(*lowest)) {
            lowest = p;
        }
        --left;
    }
    if (lowest) {
        lowest = Point{rounded_to(lowest->x, 0.1), rounded_to(lowest->y, 0.1)};
    }
    return lowest;
}

}  // namespace demo
