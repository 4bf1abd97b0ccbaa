// Which layer is which: by its name, its geometry, how large its polygons are, and what its fields are called.
#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <span>

#include <fmt/format.h>

#include "eaveshed/shape/ellipsoid.hpp"
#include "eaveshed/words/wording.hpp"
#include "sightings.hpp"
#include "words_in.hpp"

namespace eaveshed {

namespace {

using Words = std::span<const std::string_view>;

constexpr std::array<std::string_view, 6> kFootprintWords{"building", "footprint", "roof", "roofs", "bldg", "house"};
constexpr std::array<std::string_view, 8> kParcelWords{"parcel",  "lot",     "lots",     "taxlot",
                                                       "taxlots", "cadastr", "property", "properties"};
constexpr std::array<std::string_view, 4> kParcelFields{"apn", "parcel", "owner", "taxlot"};
constexpr std::array<std::string_view, 4> kFootprintFields{"storeys", "roof", "eave", "building"};
constexpr std::array<std::string_view, 14> kKeepOffWords{
    "septic",    "leach", "leachfield", "flood",       "floodplain", "floodway", "wetland",
    "exclusion", "water", "waterbody",  "waterbodies", "lake",       "pond",     "easement"};
// Whose land it is or who serves it, and no ground to keep off.
constexpr std::array<std::string_view, 9> kWholeWords{"boundary", "boundaries", "service", "district", "watershed",
                                                      "basin",    "area",       "areas",   "catchment"};
// Ground of these is kept off even where its name says area or boundary: "flood_hazard_area".
constexpr std::array<std::string_view, 7> kSureWords{"septic",   "leach",   "leachfield", "flood",
                                                     "floodway", "wetland", "floodplain"};
constexpr std::array<std::string_view, 7> kStreamWords{"stream",   "creek", "river",      "waterway",
                                                       "flowline", "hydro", "watercourse"};
constexpr std::array<std::string_view, 4> kRoadWords{"road", "street", "highway", "roads"};
constexpr std::array<std::string_view, 5> kUseWords{"use_point", "tap", "taps", "diversion", "garden"};

// Areas that most footprints of houses, and most parcels, lie between, m2: common practice, and wide.
constexpr double kSmallRoof = 15.0;
constexpr double kLargeRoof = 2500.0;
constexpr double kSmallParcel = 150.0;

struct Score {
    int points = 0;
    std::string why;

    void add(int more, const std::string& reason) {
        points += more;
        why += (why.empty() ? "" : ", ") + reason;
    }
};

// What speaks for a layer's being of some role by its name: the most of all.
void add_name(Score& score, const Sighting& sighting, Words words) {
    if (const std::string_view word = word_in(sighting.name, words); !word.empty()) {
        score.add(4, fmt::format("called \"{}\"", word));
    }
}

Score footprint_score(const Sighting& sighting) {
    Score score;
    add_name(score, sighting, kFootprintWords);
    const double area = sighting.layer->typical_area_m2.value_or(0.0);
    if (area >= kSmallRoof && area <= kLargeRoof) {
        score.add(2, fmt::format("polygons of {:.0f} m2 in the middle", area));
    }
    if (has_field(*sighting.layer, kFootprintFields)) {
        score.add(1, "a field of buildings");
    }
    if (!word_in(sighting.name, kParcelWords).empty()) {
        score.points -= 4;
    }
    return score;
}

Score parcel_score(const Sighting& sighting) {
    Score score;
    add_name(score, sighting, kParcelWords);
    const double area = sighting.layer->typical_area_m2.value_or(0.0);
    if (area >= kSmallParcel) {
        score.add(1, fmt::format("polygons of {:.0f} m2 in the middle", area));
    }
    if (has_field(*sighting.layer, kParcelFields)) {
        score.add(2, "a field of parcels");
    }
    return score;
}

Score named_score(const Sighting& sighting, Words words) {
    Score score;
    add_name(score, sighting, words);
    return score;
}

constexpr int kEnough = 2;

bool is_shape(const Sighting& sighting, LayerShape2d shape) {
    return sighting.layer != nullptr && sighting.free() && sighting.layer->shape == shape;
}

// Roofs are smaller than the ground that they stand on.
bool much_smaller(const LayerSeen& a, const LayerSeen& b) {
    constexpr double kMuch = 2.0;
    return a.typical_area_m2 && b.typical_area_m2 && *a.typical_area_m2 * kMuch < *b.typical_area_m2;
}

// Of two candidates with as many points: the one of smaller polygons, then the one with more fields, else the first.
bool goes_before(const LayerSeen& a, const LayerSeen& b) {
    if (much_smaller(a, b) || much_smaller(b, a)) {
        return much_smaller(a, b);
    }
    return a.fields.size() > b.fields.size();
}

// The best of those that are free.
template <typename ScoreOf>
Sighting* take_best(Sightings& all, std::string_view role, LayerShape2d shape, int least, const ScoreOf& score_of) {
    Sighting* best = nullptr;
    Score best_score;
    const auto better = [&](const Sighting& sighting, const Score& score) {
        return best == nullptr || score.points > best_score.points ||
               (score.points == best_score.points && goes_before(*sighting.layer, *best->layer));
    };
    for (Sighting& sighting : all) {
        if (!is_shape(sighting, shape)) {
            continue;
        }
        const Score score = score_of(sighting);
        if (score.points >= least && better(sighting, score)) {
            best = &sighting;
            best_score = score;
        }
    }
    if (best != nullptr) {
        best->take(role, best_score.why);
    }
    return best;
}

// As many polygons, and as large in the middle: areas of a map and of the ground differ by its scale.
bool may_be_copies(const LayerSeen& a, const LayerSeen& b) {
    constexpr double kAlike = 0.02;
    return a.features == b.features && a.typical_area_m2 && b.typical_area_m2 &&
           std::abs(*a.typical_area_m2 / *b.typical_area_m2 - 1.0) < kAlike;
}

// The same features in another file: no second role for them.
void put_copies_aside(Sightings& all, const Sighting& taken) {
    for (Sighting& sighting : all) {
        if (is_shape(sighting, taken.layer->shape) && may_be_copies(*sighting.layer, *taken.layer)) {
            sighting.why = fmt::format("as many features as in {}: perhaps a copy of it",
                                       std::filesystem::path(taken.file->path).filename().string());
        }
    }
}

// What speaks against keeping off a layer's ground; empty for nothing. `roofs`: the footprints, or null.
std::string no_exclusion(const Sighting& sighting, const Sighting* roofs) {
    if (word_in(sighting.name, kSureWords).empty()) {
        if (const std::string_view word = word_in(sighting.name, kWholeWords); !word.empty()) {
            return fmt::format(
                "called \"{}\" too: perhaps the bounds of a service or a basin, and no ground to keep off", word);
        }
    }
    if (roofs == nullptr || !roofs->layer->degrees || !sighting.layer->degrees) {
        return {};
    }
    const Box& place = *roofs->layer->degrees;
    const Box& cover = *sighting.layer->degrees;
    const double width = std::min(place.x_max, cover.x_max) - std::max(place.x_min, cover.x_min);
    const double height = std::min(place.y_max, cover.y_max) - std::max(place.y_min, cover.y_min);
    const double all = (place.x_max - place.x_min) * (place.y_max - place.y_min);
    constexpr double kNearlyAll = 0.9;
    if (all <= 0.0 || width <= 0.0 || height <= 0.0 || width * height < kNearlyAll * all) {
        return {};
    }
    // Many small ponds have a wide extent too.
    const MetresPerDegree degree = metres_per_degree((place.y_min + place.y_max) / 2.0, Ellipsoid{});
    const double ground_m2 = all * degree.east * degree.north;
    constexpr double kMuch = 0.3;
    const auto& area = sighting.layer->typical_area_m2;
    return !area || *area * static_cast<double>(sighting.layer->features) > kMuch * ground_m2
               ? "it covers nearly all of the ground that the footprints lie on, so that no roof there would get a tank"
               : "";
}

void guess_polygons(Sightings& all) {
    const auto shape = LayerShape2d::polygons;
    const Sighting* const roofs = take_best(all, "footprints.source", shape, kEnough, footprint_score);
    if (roofs != nullptr) {
        put_copies_aside(all, *roofs);
    }
    take_best(all, "parcels.source", shape, kEnough + 1, parcel_score);
    for (Sighting& sighting : all) {
        if (is_shape(sighting, shape)) {
            if (const std::string_view word = word_in(sighting.name, kKeepOffWords); !word.empty()) {
                sighting.take("exclusions.source", fmt::format("called \"{}\"", word));
                sighting.doubt = no_exclusion(sighting, roofs);
            }
        }
    }
}

}  // namespace

void guess_layers(Sightings& all) {
    guess_polygons(all);
    take_best(all, "streams.source", LayerShape2d::lines, kEnough,
              [](const Sighting& sighting) { return named_score(sighting, kStreamWords); });
    take_best(all, "roads.source", LayerShape2d::lines, kEnough,
              [](const Sighting& sighting) { return named_score(sighting, kRoadWords); });
    if (with_role(all, "parcels.source") != nullptr) {
        take_best(all, "use_points.source", LayerShape2d::points, kEnough,
                  [](const Sighting& sighting) { return named_score(sighting, kUseWords); });
    }
}

}  // namespace eaveshed
