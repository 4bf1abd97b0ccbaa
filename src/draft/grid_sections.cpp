// What a project file says of the rasters that have a role.
#include <algorithm>
#include <array>
#include <numeric>
#include <utility>

#include <fmt/format.h>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/words/unit_text.hpp"
#include "eaveshed/words/wording.hpp"
#include "sightings.hpp"
#include "words_in.hpp"

namespace eaveshed {

namespace {

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
    // The plain form: clang 14 does not take the one of the ranges.
    const auto sure = [](const Sighting* one) { return one->doubt.empty(); };
    const auto unsure = std::partition(elevation.begin(), elevation.end(), sure);
    std::for_each(unsure, elevation.end(), [&](const Sighting* one) {
        section.lines.push_back({"elevation", toml_text(one->path), one->doubt, true});
    });
    elevation.erase(unsure, elevation.end());
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

// The kind, and no certainty where a list says nothing of its steps.
std::string_view kind_of_files(const std::vector<const Sighting*>& rain, bool& sure) {
    constexpr std::size_t kMonths = 12;
    constexpr std::int64_t kLongDay = 2;
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
        const auto day = [](const Date& date) { return day_number(Calendar::standard, date); };
        return day(*rain[1]->grid->first) - day(*first.first) < kLongDay ? "daily" : "monthly";
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
    // By their dates; those without any behind them, as they came.
    std::ranges::stable_sort(rain, {}, [](const Sighting* part) {
        return std::pair(!part->grid->first, part->grid->first.value_or(Date{}));
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
