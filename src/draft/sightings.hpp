// The layers and grids of all files side by side, and which of them has a role already. Private to the module.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/draft/draft.hpp"
#include "eaveshed/survey/seen.hpp"

namespace eaveshed {

// One layer or one grid of a file, as a candidate for a role.
struct Sighting {
    const FileSeen* file = nullptr;
    const LayerSeen* layer = nullptr;  // of a vector file
    const GridSeen* grid = nullptr;    // of a raster
    std::string path;                  // as the project file is to name it
    std::string name;                  // what it calls itself: the file's name and the layer's or bands' words
    std::string role{};                // the setting that names it; empty: none yet
    std::string why{};                 //  of the role, or why it has none
    std::string doubt{};               // why the role is written behind #

    [[nodiscard]] bool free() const { return role.empty() && why.empty(); }
    void take(std::string_view setting, std::string reason) {
        role = setting;
        why = std::move(reason);
    }
};

using Sightings = std::vector<Sighting>;

// `folder`: of the project file, absolute; empty: the working folder.
[[nodiscard]] Sightings sightings_of(const std::vector<FileSeen>& files, const std::string& folder);

// The first with the role; null for none.
[[nodiscard]] const Sighting* with_role(const Sightings& all, std::string_view setting);

// Whether some field's name has one of the words.
[[nodiscard]] bool has_field(const LayerSeen& layer, std::span<const std::string_view> words);

// Give roles. Of several candidates the best gets it, and the others say why they did not.
void guess_layers(Sightings& all);
void guess_tables(Sightings& all);
void guess_grids(Sightings& all);
// When all have theirs: of which gauges the table of places tells, if any.
void settle_stations(Sightings& all);

// The lines of a section, for what has a role in it.
[[nodiscard]] DraftSection layer_section(const Sighting& sighting, const Sightings& all);
// Materials of the footprints that no shipped coefficient is for; no lines where there is none.
[[nodiscard]] DraftSection material_section(const Sighting& footprints);
[[nodiscard]] std::vector<DraftSection> grid_sections(const Sightings& all);
// Rain from a table of gauges, and temperatures where it has both of them.
[[nodiscard]] std::optional<DraftSection> gauge_temperature_section(const Sightings& all);
[[nodiscard]] DraftSection gauge_section(const Sightings& all, const Sighting& gauges);

// A basic string of TOML.
[[nodiscard]] std::string toml_text(std::string_view text);

}  // namespace eaveshed
