// Which raster is which: by its name, how many bands it has, and between what its values lie.
#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <iterator>
#include <map>
#include <numeric>
#include <span>

#include <fmt/format.h>

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
constexpr std::array<std::string_view, 8> kRainWords{"rain", "rainfall", "precip", "prec", "prcp", "pr", "ppt", "tp"};
constexpr std::array<std::string_view, 6> kEt0Words{"et0", "eto", "pet", "evapotranspiration", "evap", "refet"};
constexpr std::array<std::string_view, 5> kColdWords{"tmin", "tasmin", "tmn", "minimum", "mint"};
constexpr std::array<std::string_view, 5> kWarmWords{"tmax", "tasmax", "tmx", "maximum", "maxt"};
constexpr std::array<std::string_view, 6> kMeanWords{"tmean", "tas", "tavg", "temperature", "temp", "tmp"};

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

double sum_of(const std::vector<double>& values) {
    return std::accumulate(values.begin(), values.end(), 0.0);
}

std::vector<const Sighting*> all_with(const Sightings& all, std::string_view role) {
    std::vector<const Sighting*> found;
    for (const Sighting& sighting : all) {
        if (sighting.role == role) {
            found.push_back(&sighting);
        }
    }
    return found;
}

// The setting of a file, or of several.
DraftLine source_line(std::string_view key, const std::vector<const Sighting*>& found) {
    std::string value = toml_text(found.front()->path);
    if (found.size() > 1) {
        value = "[";
        for (const Sighting* const sighting : found) {
            value += (value.size() > 1 ? ", " : "") + toml_text(sighting->path);
        }
        value += "]";
    }
    return {std::string(key), value, found.front()->why};
}

// Heights above the ground begin at 0 wherever nothing stands.
bool holds_heights(const Sighting& surface, const Sighting* elevation) {
    constexpr double kLowMedian = 3.0;  // m: most of a town is no roof
    const GridSeen& grid = *surface.grid;
    return !word_in(surface.name, std::array<std::string_view, 2>{"height", "ndsm"}).empty() ||
           (grid.least >= 0.0 && grid.median < kLowMedian && elevation != nullptr &&
            elevation->grid->median > grid.median + kLowMedian);
}

DraftSection terrain_section(const Sightings& all) {
    DraftSection section{.name = "terrain"};
    auto elevation = all_with(all, "terrain.elevation");
    const auto unsure = std::ranges::partition(elevation, [](const Sighting* one) { return one->doubt.empty(); });
    for (const Sighting* const one : unsure) {
        section.lines.push_back({"elevation", toml_text(one->path), one->doubt, true});
    }
    elevation.erase(unsure.begin(), unsure.end());
    if (elevation.empty()) {
        section.wanted = "elevation: a raster of bare ground (GeoTIFF), with cells of 1 to 3 m if there is one";
        return section;
    }
    const GridSeen& grid = *elevation.front()->grid;
    section.lines.push_back(source_line("elevation", elevation));
    if (!length_unit_from_text(grid.unit)) {
        section.lines.push_back({"vertical_unit", toml_text("m"),
                                 fmt::format("the file does not say whether its {:.0f} to {:.0f} are metres or feet: "
                                             "make sure, then write it down",
                                             grid.least, grid.most),
                                 true});
    }
    if (const auto surface = all_with(all, "terrain.surface"); !surface.empty()) {
        section.lines.push_back(source_line("surface", surface));
        if (const std::string& doubt = surface.front()->doubt; !doubt.empty()) {
            section.lines.back().why = doubt;
            section.lines.back().doubtful = true;
        } else if (holds_heights(*surface.front(), elevation.front())) {
            section.lines.push_back({"surface_kind", toml_text("height"),
                                     fmt::format("values from {:.0f}, {:.0f} in the middle: heights above the ground",
                                                 surface.front()->grid->least, surface.front()->grid->median)});
        }
    }
    return section;
}

// How far apart the first two files of a dated list begin, in days, roughly.
int days_between(const Date& a, const Date& b) {
    constexpr int kYear = 365;
    constexpr int kMonth = 30;
    return (b.year - a.year) * kYear + (b.month - a.month) * kMonth + b.day - a.day;
}

// The kind, and no certainty where a list says nothing of its steps.
std::string_view kind_of_files(const std::vector<const Sighting*>& rain, bool& sure) {
    constexpr std::size_t kMonths = 12;
    constexpr int kLongDay = 2;
    const GridSeen& first = *rain[0]->grid;
    if (first.steps == StepsSeen::days) {
        return "daily";
    }
    if (first.steps != StepsSeen::one) {
        return "monthly";
    }
    if (rain.size() == kMonths) {
        return "monthly-normals";
    }
    if (first.first && rain[1]->grid->first) {
        return days_between(*first.first, *rain[1]->grid->first) < kLongDay ? "daily" : "monthly";
    }
    sure = rain.size() % kMonths == 0;
    return "monthly";
}

std::string_view kind_of(const std::vector<const Sighting*>& rain, bool& sure) {
    if (rain.size() > 1) {
        return kind_of_files(rain, sure);
    }
    const GridSeen& grid = *rain.front()->grid;
    switch (grid.steps) {
        case StepsSeen::twelve: return "monthly-normals";
        case StepsSeen::months: return "monthly";
        case StepsSeen::undated: return grid.bands % 12 == 0 && grid.bands < 3000 ? "monthly" : "daily";
        case StepsSeen::one: sure = false; return "monthly-normals";
        case StepsSeen::days: break;
    }
    return "daily";
}

DraftLine kind_line(const std::vector<const Sighting*>& rain) {
    bool sure = true;
    const std::string_view kind = kind_of(rain, sure);
    std::size_t bands = 0;
    for (const Sighting* const part : rain) {
        bands += static_cast<std::size_t>(part->grid->bands);
    }
    const GridSeen& first = *rain.front()->grid;
    const GridSeen& last = *rain.back()->grid;
    std::string why = counted(bands, "band") + (rain.size() > 1 ? " in " + counted(rain.size(), "file") : "");
    if (first.first && last.last) {
        why += " from " + year_month_text(*first.first) + " to " + year_month_text(*last.last);
    }
    if (!sure) {
        why += ": by day, by month, or months of a mean year?";
    }
    return {"kind", toml_text(kind), why, !sure};
}

DraftLine rain_unit_line(const Sighting& rain) {
    constexpr std::array<std::string_view, 3> kUnits{"mm", "cm", "inch"};
    if (const std::string_view word = word_in(rain.name, kUnits); !word.empty()) {
        return {"unit", toml_text(word == "inch" ? "in" : word), "by the file's name"};
    }
    constexpr double kDry = 100.0;  // mm in a year
    constexpr double kWet = 6000.0;
    const double year = sum_of(rain.grid->means);
    if (year >= kDry && year <= kWet) {
        return {"unit", toml_text("mm"), fmt::format("the twelve bands come to {:.0f}, as millimetres would", year)};
    }
    return {"unit", toml_text("mm"), "the file does not say: mm, cm, m, in, or a rate such as mm day-1", true};
}

DraftSection grid_rain_section(std::vector<const Sighting*> rain) {
    DraftSection section{.name = "rain"};
    // By their dates; without any, as they came.
    std::ranges::stable_sort(rain, [](const Sighting* a, const Sighting* b) {
        return a->grid->first && b->grid->first && *a->grid->first < *b->grid->first;
    });
    const GridSeen& grid = *rain.front()->grid;
    section.lines.push_back(source_line("source", rain));
    section.lines.push_back(kind_line(rain));
    const bool normals = section.lines.back().value == toml_text("monthly-normals");
    if (!rain_unit_from_text(grid.unit)) {
        section.lines.push_back(rain_unit_line(*rain.front()));
    }
    if (!grid.first && !normals) {
        section.lines.push_back(
            {"start", toml_text("1991-10-01"), "the bands name no dates: the date of the first of them", true});
    }
    return section;
}

DraftSection rain_section(const Sightings& all) {
    DraftSection section{.name = "rain"};
    const auto rain = all_with(all, "rain.source");
    if (rain.empty()) {
        section.wanted =
            "source: rain of many years by day or month (netCDF, GeoTIFF or a gauge's table), at least "
            "twelve monthly normals; and kind = \"daily\", \"monthly\" or \"monthly-normals\"";
        return section;
    }
    if (rain.front()->grid == nullptr) {
        return gauge_section(all, *rain.front());
    }
    return grid_rain_section(rain);
}

DraftSection et0_section(const std::vector<const Sighting*>& et0) {
    DraftSection section{.name = "evapotranspiration", .lines = {source_line("source", et0)}};
    constexpr double kMostADay = 15.0;  // mm: above what any place evaporates in a mean day of a month
    const GridSeen& grid = *et0.front()->grid;
    if (grid.unit.empty()) {
        const bool daily = std::ranges::all_of(grid.means, [](double mean) { return mean < kMostADay; });
        section.lines.push_back({"unit", toml_text(daily ? "mm day-1" : "mm month-1"),
                                 fmt::format("the twelve bands come to {:.0f}", sum_of(grid.means))});
    }
    return section;
}

}  // namespace

void guess_grids(Sightings& all) {
    guess_rain(all);
    guess_months(all);
    guess_elevations(all);
    guess_rest(all);
}

std::vector<DraftSection> grid_sections(const Sightings& all) {
    std::vector<DraftSection> sections{terrain_section(all), rain_section(all)};
    if (const auto et0 = all_with(all, "evapotranspiration.source"); !et0.empty()) {
        sections.push_back(et0_section(et0));
    }
    const auto cold = all_with(all, "temperature.minimum");
    const auto warm = all_with(all, "temperature.maximum");
    if (!cold.empty() && !warm.empty()) {
        sections.push_back(
            {.name = "temperature", .lines = {source_line("minimum", cold), source_line("maximum", warm)}});
    }
    if (const auto canopy = all_with(all, "canopy.source"); !canopy.empty()) {
        sections.push_back({.name = "canopy", .lines = {source_line("source", canopy)}});
    }
    return sections;
}

}  // namespace eaveshed
