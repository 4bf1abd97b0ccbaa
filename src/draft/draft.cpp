#include "eaveshed/draft/draft.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <string_view>

#include <fmt/format.h>

#include "eaveshed/words/wording.hpp"
#include "sightings.hpp"
#include "words_in.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

// Beside or a few folders above the project file: relative; elsewhere as it was given.
std::string path_from(const std::string& path, const std::string& folder) {
    constexpr std::string_view kFar = "../../../..";
    const fs::path base = folder.empty() ? fs::current_path() : fs::path(folder);
    const std::string relative =
        fs::absolute(path).lexically_normal().lexically_relative(base.lexically_normal()).string();
    return relative.empty() || relative.starts_with(kFar) ? path : relative;
}

std::string leaf_without_ending(const std::string& path) {
    return fs::path(path).stem().string();
}

void add_sightings(const FileSeen& file, const std::string& path, Sightings& all) {
    if (file.own_result) {
        return;
    }
    const std::string stem = leaf_without_ending(file.path);
    for (const LayerSeen& layer : file.layers) {
        // A file of several layers is called after the whole, each layer after what it holds.
        all.push_back({.file = &file,
                       .layer = &layer,
                       .path = path,
                       .name = file.layers.size() == 1 ? stem + " " + layer.name : layer.name});
    }
    if (file.grid) {
        all.push_back({.file = &file, .grid = &*file.grid, .path = path, .name = stem + " " + file.grid->words});
    }
}

// Where the basin lies, by its footprints or else its grids.
std::optional<Box> place_of(const Sightings& all) {
    for (const std::string_view role : {"footprints.source", "terrain.elevation", "rain.source"}) {
        if (const Sighting* const sighting = with_role(all, role)) {
            const auto& place = sighting->layer != nullptr ? sighting->layer->degrees : sighting->grid->degrees;
            if (place) {
                return place;
            }
        }
    }
    return std::nullopt;
}

// The first month, counted from 0, of the three in a row with the least rain; none without twelve means.
std::optional<std::size_t> driest_three(const Sightings& all) {
    constexpr std::size_t kMonths = 12;
    std::optional<std::size_t> driest;
    double least = 0.0;
    for (const Sighting& sighting : all) {
        const bool rain = sighting.role == "rain.source" || sighting.role == "rain.normals";
        if (!rain || sighting.grid == nullptr || sighting.grid->means.size() != kMonths) {
            continue;
        }
        const std::vector<double>& means = sighting.grid->means;
        for (std::size_t i = 0; i < kMonths; ++i) {
            const double sum = means[i] + means[(i + 1) % kMonths] + means[(i + 2) % kMonths];
            if (!driest || sum < least) {
                driest = i;
                least = sum;
            }
        }
        return driest;
    }
    return driest;
}

// The shipped months are those of a dry summer north of the equator.
std::optional<DraftSection> season_section(const Sightings& all) {
    const std::optional<Box> place = place_of(all);
    if (!place || place->y_max >= 0.0) {
        return std::nullopt;
    }
    constexpr std::size_t kMonths = 12;
    constexpr std::size_t kDry = 3;
    constexpr std::size_t kFill = 7;
    constexpr std::size_t kFebruary = 1;
    const std::optional<std::size_t> known = driest_three(all);
    const std::size_t first = known.value_or(kFebruary);
    const auto months = [&](std::size_t from, std::size_t count) {
        std::string text;
        for (std::size_t i = 0; i < count; ++i) {
            text += fmt::format("{}{}", i == 0 ? "[" : ", ", (from + i) % kMonths + 1);
        }
        return text + "]";
    };
    DraftSection section{.name = "season"};
    section.doubt = fmt::format(
        "latitude {:.1f} is south of the equator, and the settings' own months are those of a dry summer north of it. "
        "Take the basin's own dry months",
        place->y_max);
    const std::string dry = known ? "the three months in a row with the least rain of the mean year"
                                  : "summer there; take the months in which the basin's creeks run low";
    section.lines = {{"fill_months", months(first + kDry, kFill), "the months that follow the dry ones"},
                     {"forbear_months", months(first, kDry), dry}};
    return section;
}

void add_layer_sections(const Sightings& all, Draft& draft) {
    constexpr std::array<std::string_view, 6> kOneEach{"parcels.source", "streams.source",  "use_points.source",
                                                       "roads.source",   "contacts.source", "overrides.source"};
    for (const std::string_view role : kOneEach) {
        if (const Sighting* const sighting = with_role(all, role)) {
            draft.sections.push_back(layer_section(*sighting, all));
        }
    }
    for (const Sighting& sighting : all) {
        if (sighting.role == "exclusions.source") {
            draft.sections.push_back(layer_section(sighting, all));
        }
    }
}

void add_footprints(const Sightings& all, Draft& draft) {
    if (const Sighting* const roofs = with_role(all, "footprints.source")) {
        draft.sections.push_back(layer_section(*roofs, all));
        return;
    }
    draft.sections.push_back({.name = "footprints",
                              .wanted = "source: building outlines as polygons (GeoPackage, FlatGeobuf, GeoJSON, "
                                        "shapefile or CSV with WKT)"});
}

void list_inputs(const std::vector<FileSeen>& files, const Sightings& all, Draft& draft) {
    for (const FileSeen& file : files) {
        if (!file.trouble.empty() || file.own_result) {
            draft.inputs.push_back(
                {file.path, "", "", file.own_result ? "a result of this program, which is no input" : file.trouble});
        }
        for (const Sighting& sighting : all) {
            if (sighting.file == &file) {
                const std::string why = sighting.why.empty() ? "no role fits it" : sighting.why;
                draft.inputs.push_back({file.path, file.layers.size() > 1 ? sighting.layer->name : "", sighting.role,
                                        sighting.doubt.empty() ? why : "behind #, not sure: " + sighting.doubt});
            }
        }
    }
}

}  // namespace

Sightings sightings_of(const std::vector<FileSeen>& files, const std::string& folder) {
    Sightings all;
    for (const FileSeen& file : files) {
        add_sightings(file, path_from(file.path, folder), all);
    }
    return all;
}

const Sighting* with_role(const Sightings& all, std::string_view setting) {
    const auto found = std::ranges::find(all, setting, &Sighting::role);
    return found == all.end() ? nullptr : &*found;
}

bool has_field(const LayerSeen& layer, std::span<const std::string_view> words) {
    return std::ranges::any_of(layer.fields,
                               [&](const FieldSeen& field) { return !word_in(field.name, words).empty(); });
}

Draft draft_project(const std::vector<FileSeen>& files, const std::string& folder) {
    Sightings all = sightings_of(files, folder);
    guess_layers(all);
    guess_tables(all);
    guess_grids(all);
    settle_stations(all);
    Draft draft;
    add_footprints(all, draft);
    for (DraftSection& section : grid_sections(all)) {
        draft.sections.push_back(std::move(section));
    }
    const Sighting* const gridded = with_role(all, "temperature.minimum");
    if (auto temperature = gauge_temperature_section(all);
        temperature && (gridded == nullptr || gridded->layer != nullptr)) {
        draft.sections.push_back(std::move(*temperature));
    }
    add_layer_sections(all, draft);
    if (auto season = season_section(all)) {
        draft.sections.push_back(std::move(*season));
    }
    if (const Sighting* const roofs = with_role(all, "footprints.source")) {
        if (DraftSection materials = material_section(*roofs); !materials.lines.empty()) {
            draft.sections.push_back(std::move(materials));
        }
    }
    list_inputs(files, all, draft);
    return draft;
}

}  // namespace eaveshed
