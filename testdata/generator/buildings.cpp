#include "buildings.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "portable_math.hpp"

namespace demo {
namespace {

constexpr double kFenceClearance_m = 1.6;
constexpr double kBetween_m = 2.0;
constexpr double kStreamClearance_m = 19.0;

enum class Shape { kRectangle, kL, kT };

struct Wish {
    const char* use;
    double length_m, width_m;
    double setback_low_m, setback_high_m;  // from the road
    Shape shape;
};

Wish house_wish(Random& random) {
    const double area = std::clamp(150.0 * portable_exp(0.3 * random.normal()), 80.0, 320.0);
    const double aspect = random.range(1.15, 1.9);
    const Shape shape = static_cast<Shape>(random.weighted({0.55, 0.33, 0.12}));
    const double grown = shape == Shape::kRectangle ? area : area * 1.3;  // corners cut away below
    const bool deep = random.chance(0.22);
    return {"house",           std::sqrt(grown * aspect), std::sqrt(grown / aspect),
            deep ? 22.0 : 5.0, deep ? 48.0 : 14.0,        shape};
}

Wish sized_wish(Random& random, const char* use, double area_low, double area_high, double setback_low,
                double setback_high) {
    const double area = random.range(area_low, area_high);
    const double aspect = random.range(1.2, 2.1);
    return {use, std::sqrt(area * aspect), std::sqrt(area / aspect), setback_low, setback_high, Shape::kRectangle};
}

std::vector<Wish> village_wishes(Random& random) {
    std::vector<Wish> out{house_wish(random)};
    if (random.chance(0.20)) {
        out.push_back(sized_wish(random, "garage", 28.0, 52.0, 4.0, 20.0));
    }
    if (random.chance(0.24)) {
        out.push_back(sized_wish(random, "shed", 7.0, 19.0, 15.0, 70.0));
    }
    if (random.chance(0.05)) {
        out.push_back(sized_wish(random, "house", 60.0, 90.0, 18.0, 60.0));
    }
    if (random.chance(0.07)) {
        out.push_back(sized_wish(random, "greenhouse", 24.0, 70.0, 15.0, 70.0));
    }
    return out;
}

std::vector<Wish> farm_wishes(Random& random) {
    std::vector<Wish> out{house_wish(random), sized_wish(random, "barn", 110.0, 320.0, 10.0, 60.0)};
    if (random.chance(0.35)) {
        out.push_back(sized_wish(random, "barn", 70.0, 180.0, 10.0, 65.0));
    }
    if (random.chance(0.40)) {
        out.push_back(sized_wish(random, "shed", 8.0, 19.5, 10.0, 70.0));
    }
    if (random.chance(0.40)) {
        out.push_back(sized_wish(random, "greenhouse", 60.0, 220.0, 10.0, 70.0));
    }
    return out;
}

std::vector<Wish> lot_wishes(const Lot& lot, Random& random) {
    const int frontage = lot.last - lot.first;
    if (random.chance(0.08)) {
        return {};  // not built on
    }
    if (frontage >= 5 && random.chance(0.06)) {
        Wish hall = sized_wish(random, "hall", 550.0, 1250.0, 8.0, 20.0);
        if (hall.length_m > frontage * LotGrid::kKnot_m - 8.0) {
            hall.length_m = frontage * LotGrid::kKnot_m - 8.0;
        }
        return {hall, sized_wish(random, "shed", 10.0, 19.0, 30.0, 70.0)};
    }
    return frontage >= 8 ? farm_wishes(random) : village_wishes(random);
}

Ring footprint_ring(const Box& box, Shape shape, Random& random) {
    if (shape == Shape::kRectangle) {
        return box_ring(box);
    }
    const double l = box.half_length;
    const double w = box.half_width;
    const double notch_l = l * random.range(0.7, 1.1);
    const double notch_w = w * random.range(0.7, 1.0);
    const double flip = random.chance(0.5) ? -1.0 : 1.0;
    Ring out;
    const auto corner = [&](double along, double across) { out.push_back(box_to_world(box, along * flip, across)); };
    corner(-l, -w);
    corner(l, -w);
    if (shape == Shape::kL) {
        corner(l, w - notch_w);
        corner(l - notch_l, w - notch_w);
        corner(l - notch_l, w);
        corner(-l, w);
    } else {
        const double arm = l * 0.45;
        for (Point p : {Point{l, w - notch_w}, Point{arm, w - notch_w}, Point{arm, w}, Point{-arm, w},
                        Point{-arm, w - notch_w}, Point{-l, w - notch_w}}) {
            corner(p.x, p.y);
        }
    }
    if (flip < 0.0) {
        std::reverse(out.begin(), out.end());
    }
    return out;
}

// The lot seen from its road: an origin in the middle of the front, axes along the front and into the lot.
struct Yard {
    Ring ring;
    Point origin, along, inward;
    double half_front_m;
};

Yard make_yard(const LotGrid& grid, const Lot& lot) {
    Yard yard{grid.ring(lot), {}, {}, {}, 0.0};
    const Point a = grid.node(lot.valley, lot.side, grid.front_line(lot), lot.first);
    const Point b = grid.node(lot.valley, lot.side, grid.front_line(lot), lot.last);
    yard.origin = (a + b) * 0.5;
    yard.along = unit(b - a);
    yard.inward = turned_left(yard.along);
    if (dot(ring_middle(yard.ring) - yard.origin, yard.inward) < 0.0) {
        yard.inward = yard.inward * -1.0;
    }
    yard.half_front_m = length(b - a) / 2.0;
    return yard;
}

bool fits(const Yard& yard, const Box& box, const std::vector<Building>& others, const StreamIndex& streams) {
    for (Point p : box_ring(box)) {
        if (!ring_contains(yard.ring, p) || ring_edge_distance(yard.ring, p) < kFenceClearance_m) {
            return false;
        }
        if (streams.distance_m(p, kStreamClearance_m) < kStreamClearance_m) {
            return false;
        }
    }
    return std::all_of(others.begin(), others.end(),
                       [&](const Building& o) { return boxes_apart(box, o.box, kBetween_m); });
}

std::optional<Box> find_place(const Yard& yard, const Wish& wish, const std::vector<Building>& others,
                              const StreamIndex& streams, Random& random) {
    for (int attempt = 0; attempt < 40; ++attempt) {
        const double turn =
            random.chance(0.15) ? random.range(-0.08, 0.08) : random.range(-0.012, 0.012);  // turns, not degrees
        const bool gable_to_road = random.chance(0.25);
        const Point front = yard.along * cosine_of_turns(turn) + yard.inward * sine_of_turns(turn);
        const double along_half = gable_to_road ? wish.width_m / 2.0 : wish.length_m / 2.0;
        const double deep_half = gable_to_road ? wish.length_m / 2.0 : wish.width_m / 2.0;
        const double play = std::max(0.0, yard.half_front_m - along_half - kFenceClearance_m);
        // One draw a statement: within an expression each compiler has its own order.
        const double along = random.range(-play, play);
        const double deep = random.range(wish.setback_low_m, wish.setback_high_m) + deep_half;
        const Point centre = yard.origin + yard.along * along + yard.inward * deep;
        const Box box{centre, gable_to_road ? turned_left(front) : front, wish.length_m / 2.0, wish.width_m / 2.0};
        if (fits(yard, box, others, streams)) {
            return box;
        }
    }
    return std::nullopt;
}

std::string draw_material(const std::string& use, Random& random) {
    static constexpr std::array<const char*, 8> kNames = {"shingle",     "tile",  "metal", "membrane",
                                                          "flat_gravel", "green", "",      "thatch"};
    if (use == "house") {
        return kNames[static_cast<std::size_t>(random.weighted({0.40, 0.25, 0.18, 0.04, 0.01, 0.01, 0.09, 0.02}))];
    }
    if (use == "hall") {
        return kNames[static_cast<std::size_t>(random.weighted({0, 0, 0.25, 0.40, 0.25, 0.10, 0, 0}))];
    }
    if (use == "greenhouse") {
        return "glass";
    }
    if (use == "barn") {
        return kNames[static_cast<std::size_t>(random.weighted({0.05, 0.03, 0.86, 0, 0, 0, 0.06, 0}))];
    }
    return kNames[static_cast<std::size_t>(random.weighted({0.35, 0.10, 0.40, 0, 0, 0.02, 0.13, 0}))];
}

void draw_roof_data(Building& b, Random& random) {
    const bool house = b.use == "house";
    const int floors = house || b.use == "hall" ? 1 + random.weighted({0.60, 0.35, 0.05}) : 1;
    b.material = draw_material(b.use, random);
    b.null_material = b.material.empty() && random.chance(0.4);
    if (!random.chance(house ? 0.15 : 0.30)) {
        b.floors = floors;
    }
    double eave = 2.75 * floors + random.range(-0.25, 0.55);
    if (b.use == "barn") {
        eave = random.range(3.4, 5.4);
    }
    if (b.use == "hall") {
        eave = random.range(4.0, 7.0);
    }
    if (b.use == "shed" || b.use == "greenhouse") {
        eave = random.range(1.9, 2.3);
    }
    if (random.chance(0.35)) {
        b.eave_height_m = rounded_to(eave, 0.1);
    }
    if (random.chance(0.30)) {
        b.connected_share = rounded_to(random.range(0.4, 1.0), 0.05);
    }
}

}  // namespace

std::vector<Building> make_buildings(const BasinPlan& plan, const LotGrid& grid, const Lot& lot,
                                     const StreamIndex& streams) {
    Random random(plan.seed, Purpose::kBuilding, {lot.valley, lot.side, lot.lane, lot.first});
    const Yard yard = make_yard(grid, lot);
    std::vector<Building> out;
    int nth = 0;
    for (const Wish& wish : lot_wishes(lot, random)) {
        Random data(plan.seed, Purpose::kRoof, {lot.valley, lot.side, lot.lane, lot.first, nth++});
        const auto box = find_place(yard, wish, out, streams, random);
        if (!box) {
            continue;
        }
        Building b;
        b.box = *box;
        b.use = wish.use;
        b.footprint.outer = rounded_ring(footprint_ring(*box, wish.shape, random));
        draw_roof_data(b, data);
        out.push_back(std::move(b));
    }
    return out;
}

}  // namespace demo
