// Which raster is which: by its name, how many bands it has, and between what its values lie.
#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <iterator>
#include <span>

#include <fmt/format.h>

#include "climate_words.hpp"
#include "eaveshed/words/unit_text.hpp"
#include "eaveshed/words/wording.hpp"
#include "sightings.hpp"
#include "words_in.hpp"

namespace eaveshed {

namespace {

using Words = std::span<const std::string_view>;

constexpr std::array<std::string_view, 5> kCanopyWords{"canopy", "chm", "tree", "trees", "vegetation"};
// "hh" and "be" of elevation models from lidar: highest hit and bare earth.
constexpr std::array<std::string_view, 9> kSurfaceWords{"dsm",          "surface",     "surf",     "ndsm",    "height",
                                                        "first_return", "highest_hit", "hh_lidar", "lidar_hh"};
constexpr std::array<std::string_view, 12> kElevationWords{
    "dem", "dtm", "elevation", "elev", "terrain", "bare", "ground", "srtm", "dgm", "bareearth", "be_lidar", "lidar_be"};
// Made from elevations, or of the ground's cover, and no heights.
constexpr std::array<std::string_view, 21> kNoHeightWords{
    "hillshade",    "shade", "shaded",    "slope",      "aspect",    "impervious", "groundwater",
    "ground_water", "depth", "landcover", "land_cover", "cover",     "pct",        "percent",
    "intensity",    "ndvi",  "landuse",   "water",      "curvature", "roughness",  "soil"};

bool is_free(const Sighting& sighting) {
    return sighting.grid != nullptr && sighting.free();
}

// Takes every free grid that some words name and a test lets through.
template <typename Test>
std::vector<Sighting*> named(Sightings& all, Words words, const Test& test) {
    std::vector<Sighting*> found;
    for (Sighting& sighting : all) {
        if (is_free(sighting) && test(*sighting.grid) && !word_in(sighting.name, words).empty()) {
            found.push_back(&sighting);
        }
    }
    return found;
}

bool single(const GridSeen& grid) {
    return grid.steps == StepsSeen::one;
}
bool twelve(const GridSeen& grid) {
    return grid.steps == StepsSeen::twelve;
}
bool several(const GridSeen& grid) {
    return !single(grid);
}

std::string called(const Sighting& sighting, Words words) {
    return fmt::format("called \"{}\"", word_in(sighting.name, words));
}

bool overlap(const GridSeen& a, const GridSeen& b) {
    if (!a.degrees || !b.degrees) {
        return false;
    }
    // Neighbouring tiles share an edge or a few cells.
    const double width = std::min(a.degrees->x_max, b.degrees->x_max) - std::max(a.degrees->x_min, b.degrees->x_min);
    const double height = std::min(a.degrees->y_max, b.degrees->y_max) - std::max(a.degrees->y_min, b.degrees->y_min);
    constexpr double kMuch = 0.2;
    return width > kMuch * (a.degrees->x_max - a.degrees->x_min) &&
           height > kMuch * (a.degrees->y_max - a.degrees->y_min);
}

// Of rasters that cover the same ground the finest is taken; those beside it with cells of the same size are its tiles.
void take_tiles(const std::vector<Sighting*>& found, std::string_view role, Words words) {
    if (found.empty()) {
        return;
    }
    Sighting* const best =
        *std::ranges::min_element(found, {}, [](const Sighting* sighting) { return sighting->grid->cell_m; });
    best->take(role, called(*best, words));
    std::vector<const Sighting*> taken{best};
    for (Sighting* const other : found) {
        if (other == best) {
            continue;
        }
        constexpr double kAlike = 0.01;
        const bool alike =
            std::abs(other->grid->cell_m / best->grid->cell_m - 1.0) < kAlike && other->grid->crs == best->grid->crs;
        const bool apart =
            std::ranges::none_of(taken, [&](const Sighting* tile) { return overlap(*tile->grid, *other->grid); });
        if (alike && apart) {
            other->take(role, called(*other, words) + ", a tile beside the others");
            taken.push_back(other);
        } else {
            other->why = fmt::format("{}, as another file with finer or as fine cells", called(*other, words));
        }
    }
}

// What speaks against taking a raster for heights; empty for nothing.
std::string no_heights(const GridSeen& grid) {
    constexpr double kMostOfAByte = 255.0;
    return grid.whole_numbers && grid.least >= 0.0 && grid.most <= kMostOfAByte && grid.unit.empty()
               ? fmt::format("whole numbers from {:g} to {:g} without a unit may be a picture or classes", grid.least,
                             grid.most)
               : "";
}

void put_no_heights_aside(Sightings& all) {
    for (Sighting* const sighting : named(all, kNoHeightWords, single)) {
        sighting->why = called(*sighting, kNoHeightWords) + ": no heights of ground, roofs or trees";
    }
}

// A unit of temperature or of a rate of rain is none of heights.
bool has_climate_unit(const GridSeen& grid) {
    return temperature_unit_from_text(grid.unit) ||
           (rain_unit_from_text(grid.unit) && !length_unit_from_text(grid.unit));
}

// Single bands of climate that got no role: rain is read by steps or months, all else by months. A word of climate in
// the name of an elevation model ("dem_minimum") counts nothing, one in that of a surface ("rain_surface") only where
// it is plain.
void put_climate_aside(Sightings& all) {
    static constexpr std::array<std::string_view, 5> kVague{"minimum", "maximum", "pr", "tp", "rr"};
    static constexpr std::array<Words, 5> kAll{kRainWords, kEt0Words, kColdWords, kWarmWords, kMeanWords};
    for (Sighting& sighting : all) {
        if (!is_free(sighting) || !single(*sighting.grid) || !word_in(sighting.name, kElevationWords).empty()) {
            continue;
        }
        const bool vaguely =
            !word_in(sighting.name, kSurfaceWords).empty() || !word_in(sighting.name, kCanopyWords).empty();
        std::string_view word;
        for (const Words words : kAll) {
            const std::string_view found = word_in(sighting.name, words);
            if (!found.empty() && !(vaguely && std::ranges::find(kVague, found) != kVague.end())) {
                word = found;
                break;
            }
        }
        if (!word.empty() || has_climate_unit(*sighting.grid)) {
            sighting.why = fmt::format(
                "{}: one band of climate, and no heights; rain is read by days or months, all else by twelve months",
                word.empty() ? fmt::format("a unit of \"{}\"", printable(sighting.grid->unit, 40))
                             : fmt::format("called \"{}\"", word));
        }
    }
}

// Rasters that no word names: a lone one is the elevation, of several none is.
void guess_nameless_elevation(Sightings& all) {
    std::vector<Sighting*> nameless;
    for (Sighting& sighting : all) {
        if (is_free(sighting) && single(*sighting.grid)) {
            nameless.push_back(&sighting);
        }
    }
    for (Sighting* const sighting : nameless) {
        const GridSeen& grid = *sighting->grid;
        sighting->take("terrain.elevation", "the only raster of one band whose name speaks for no other use");
        sighting->doubt = no_heights(grid);
        if (nameless.size() > 1) {
            sighting->doubt = fmt::format(
                "one of {} whose names do not say what they are; its values: {:g} to {:g}, "
                "{:g} in the middle",
                counted(nameless.size(), "raster"), grid.least, grid.most, grid.median);
        }
    }
}

void guess_elevations(Sightings& all) {
    put_no_heights_aside(all);
    put_climate_aside(all);
    if (auto canopy = named(all, kCanopyWords, single); !canopy.empty()) {
        take_tiles(canopy, "canopy.source", kCanopyWords);
    }
    const std::vector<Sighting*> surfaces = named(all, kSurfaceWords, single);
    const std::vector<Sighting*> ground = named(all, kElevationWords, single);
    std::vector<Sighting*> only_ground;
    for (Sighting* const sighting : ground) {
        if (std::ranges::find(surfaces, sighting) == surfaces.end()) {
            only_ground.push_back(sighting);
        }
    }
    take_tiles(only_ground, "terrain.elevation", kElevationWords);
    take_tiles(surfaces, "terrain.surface", kSurfaceWords);
    for (Sighting& sighting : all) {
        if (sighting.grid != nullptr && (sighting.role == "terrain.elevation" || sighting.role == "terrain.surface")) {
            sighting.doubt = no_heights(*sighting.grid);
        }
    }
    if (with_role(all, "terrain.elevation") == nullptr) {
        guess_nameless_elevation(all);
    }
}

int rain_worth(StepsSeen steps) {
    switch (steps) {
        case StepsSeen::days: return 4;
        case StepsSeen::months: return 3;
        case StepsSeen::undated: return 2;
        case StepsSeen::twelve: return 1;
        case StepsSeen::one: break;
    }
    return 0;
}

Sighting* gauge_table(Sightings& all) {
    const auto found = std::ranges::find_if(
        all, [](const Sighting& sighting) { return sighting.layer != nullptr && sighting.role == "rain.source"; });
    return found == all.end() ? nullptr : &*found;
}

// Rain of the same cells, in the same unit and steps: perhaps parts of one record.
bool parts_alike(const GridSeen& a, const GridSeen& b) {
    constexpr double kAlike = 0.001;
    const bool same_place =
        a.degrees.has_value() == b.degrees.has_value() &&
        (!a.degrees ||
         (std::abs(a.degrees->x_min - b.degrees->x_min) < kAlike * (a.degrees->x_max - a.degrees->x_min) &&
          std::abs(a.degrees->y_min - b.degrees->y_min) < kAlike * (a.degrees->y_max - a.degrees->y_min)));
    return a.rows == b.rows && a.cols == b.cols && a.crs == b.crs && a.unit == b.unit && a.steps == b.steps &&
           same_place;
}

bool dates_apart(const GridSeen& a, const GridSeen& b) {
    return a.first && b.first && (*a.last < *b.first || *b.last < *a.first);
}

// The files that go on where another ends, that one among them.
std::vector<Sighting*> record_of(Sighting* first, const std::vector<Sighting*>& series) {
    std::vector<Sighting*> record{first};
    for (Sighting* const other : series) {
        if (other != first && parts_alike(*first->grid, *other->grid) &&
            std::ranges::all_of(record, [&](const Sighting* part) { return dates_apart(*part->grid, *other->grid); })) {
            record.push_back(other);
        }
    }
    return record;
}

int bands_of(const std::vector<Sighting*>& record) {
    int bands = 0;
    for (const Sighting* const part : record) {
        bands += part->grid->bands;
    }
    return bands;
}

// Finer steps go before longer records.
std::vector<Sighting*> best_record(const std::vector<Sighting*>& series) {
    std::vector<Sighting*> best;
    std::vector<const Sighting*> seen;
    const auto worth = [](const std::vector<Sighting*>& record) {
        const int steps = rain_worth(record.front()->grid->steps);
        // Twelve bands a file over several files are months of years.
        return std::pair(record.size() > 1 && steps == 1 ? rain_worth(StepsSeen::months) : steps, bands_of(record));
    };
    for (Sighting* const start : series) {
        if (std::ranges::find(seen, start) != seen.end()) {
            continue;
        }
        std::vector<Sighting*> record = record_of(start, series);
        seen.insert(seen.end(), record.begin(), record.end());
        if (best.empty() || worth(record) > worth(best)) {
            best = std::move(record);
        }
    }
    return best;
}

std::string why_not(const Sighting& other, const Sighting& best) {
    const std::string leaf = std::filesystem::path(best.path).filename().string();
    if (other.grid->steps != best.grid->steps) {
        return "rain too, in other steps than " + leaf + ", which is taken";
    }
    if (!parts_alike(*other.grid, *best.grid)) {
        return "rain too, but not with the cells or the unit of " + leaf + ", which is taken";
    }
    return other.grid->first ? "rain too, of dates that the record with " + leaf + " has already"
                             : "rain too, without dates that would join it to " + leaf + ", which is taken";
}

// The year's sum beside its months would be a thirteenth.
void put_year_aside(std::vector<Sighting*>& steps) {
    static constexpr std::array<std::string_view, 5> kYear{"annual", "ann", "year", "yearly", "total"};
    constexpr std::size_t kMonths = 12;
    if (steps.size() != kMonths + 1) {
        return;
    }
    auto year = std::ranges::find_if(steps, [](const Sighting* step) { return !word_in(step->name, kYear).empty(); });
    if (year == steps.end()) {
        year = std::ranges::max_element(steps, {}, [](const Sighting* step) { return step->grid->median; });
        double sum = 0.0;
        for (const Sighting* const step : steps) {
            sum += step->grid->median;
        }
        constexpr double kOfBoth = 0.4;  // half of all thirteen, were medians to add up
        if ((*year)->grid->median < kOfBoth * sum) {
            return;
        }
    }
    (*year)->why = "rain of the year, beside that of its twelve months";
    steps.erase(year);
}

// A file a step: those of the grid that most have.
void take_single_steps(Sightings& all) {
    const std::vector<Sighting*> found = named(all, kRainWords, single);
    std::vector<Sighting*> most;
    for (const Sighting* const first : found) {
        std::vector<Sighting*> alike;
        std::ranges::copy_if(found, std::back_inserter(alike),
                             [&](const Sighting* other) { return parts_alike(*first->grid, *other->grid); });
        if (alike.size() > most.size()) {
            most = std::move(alike);
        }
    }
    put_year_aside(most);
    for (Sighting* const step : most) {
        step->take("rain.source",
                   called(*step, kRainWords) + (most.size() > 1 ? ", one file a step" : ", a single step"));
    }
    for (Sighting* const other : found) {
        if (other->free()) {
            other->why = why_not(*other, *most.front());
        }
    }
}

void take_series(const std::vector<Sighting*>& series, Sighting* gauges) {
    const std::vector<Sighting*> record = best_record(series);
    Sighting* const best = record.front();
    if (gauges != nullptr && record.size() == 1 && best->grid->steps == StepsSeen::twelve) {
        best->take("rain.normals", called(*best, kRainWords) + ": the gauges' days are scaled by it");
        return;
    }
    if (gauges != nullptr) {
        gauges->role.clear();
        gauges->why = "a gauge's record, beside gridded rain: one of them is read";
    }
    for (Sighting* const part : record) {
        part->take("rain.source",
                   called(*part, kRainWords) + (record.size() > 1 ? ", one of the files of a record by date" : ""));
    }
    for (Sighting* const other : series) {
        if (other->free()) {
            other->why = why_not(*other, *best);
        }
    }
}

void guess_rain(Sightings& all) {
    const std::vector<Sighting*> series = named(all, kRainWords, several);
    Sighting* const gauges = gauge_table(all);
    if (!series.empty()) {
        take_series(series, gauges);
    } else if (gauges == nullptr) {
        take_single_steps(all);
    }
}

void guess_months(Sightings& all) {
    const auto first = [&](Words words, std::string_view role) {
        if (const auto found = named(all, words, twelve); !found.empty()) {
            for (Sighting& table : all) {
                if (table.layer != nullptr && table.role == role) {
                    table.role.clear();
                    table.why = "temperatures of a gauge, beside gridded ones: one of them is read";
                }
            }
            found.front()->take(role, called(*found.front(), words));
        }
    };
    first(kEt0Words, "evapotranspiration.source");
    first(kColdWords, "temperature.minimum");
    first(kWarmWords, "temperature.maximum");
    for (Sighting* const mean : named(all, kMeanWords, several)) {
        mean->why = "mean temperatures: evapotranspiration is computed from daily minima and maxima";
    }
    for (const Words words : {Words(kColdWords), Words(kWarmWords), Words(kEt0Words)}) {
        for (Sighting* const series : named(all, words, several)) {
            series->why = "a series, where twelve months of a mean year are read: average it first";
        }
    }
}

// A lone record of several bands that no word names is rain: nothing else is asked of so many.
void guess_rest(Sightings& all) {
    if (with_role(all, "rain.source") != nullptr) {
        return;
    }
    constexpr int kFewest = 12;  // fewer bands are a picture
    for (Sighting& sighting : all) {
        if (is_free(sighting) && several(*sighting.grid) && sighting.grid->least >= 0.0 &&
            sighting.grid->bands >= kFewest) {
            sighting.take("rain.source", fmt::format("{} bands without a negative value", sighting.grid->bands));
            return;
        }
    }
}

}  // namespace

void guess_grids(Sightings& all) {
    guess_rain(all);
    guess_months(all);
    guess_elevations(all);
    guess_rest(all);
}

}  // namespace eaveshed
