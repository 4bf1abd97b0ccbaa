// One roof on its site: garden, use point, and the search for a pad, with everything they need held together.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "eaveshed/hydraulics/elevation_window.hpp"
#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/roof/eave.hpp"
#include "eaveshed/site/place.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "eaveshed/siting/garden.hpp"
#include "eaveshed/siting/search.hpp"

namespace eaveshed {

class SiteSurvey;

// What other roofs have found out already. Nothing that it tells changes: it is only told sooner.
struct SharedSurveys {
    GroundVerdicts* verdicts = nullptr;       // of the tile
    const SiteSurvey* same_parcel = nullptr;  // of another roof of the parcel
};

// What is named here outlives the site. Not copied: parts of it point to each other.
class SiteSurvey {
public:
    // `parcel` is null for a roof without one.
    SiteSurvey(const TileRoof& roof, const TileParcel* parcel, const TileInput& tile, const TileRules& rules,
               const Eave& eave, const SharedSurveys& shared = {});
    SiteSurvey(const SiteSurvey&) = delete;
    SiteSurvey& operator=(const SiteSurvey&) = delete;

    // The given point, else the garden cell that stands in for it; none without either.
    [[nodiscard]] const std::optional<UsePointRow>& use_point() const { return m_use_point; }
    [[nodiscard]] std::size_t garden_cell_count() const { return m_garden->cells.size(); }
    [[nodiscard]] double garden_m2() const;
    // Of the garden's cells, ascending.
    [[nodiscard]] const std::vector<double>& garden_elev_m() const { return m_garden->elev_m; }
    // In order of row, then column.
    [[nodiscard]] const std::vector<GardenCell>& garden() const { return m_garden->cells; }
    [[nodiscard]] const RoofCells& cells() const { return m_cells; }
    [[nodiscard]] const PadRules& rules() const { return m_rules; }

    // The following need a use point.
    [[nodiscard]] ElevationWindow window(const StorageOption& option) const;
    // One for all questions; for one thread at a time.
    [[nodiscard]] const PadSearch& search() const;
    // The row of a pad that the search found for the option, but for its fill line, which the pipe tells.
    [[nodiscard]] PadRow row_of(const Pad& pad, const StorageOption& option) const;
    // The pipe from the roof to there, and from there to the use point.
    [[nodiscard]] PipeRow fill_pipe(const Pad& pad, const StorageOption& option) const;
    [[nodiscard]] PipeRow feed_pipe(const Pad& pad) const;

private:
    struct Garden {
        std::vector<GardenCell> cells;
        std::vector<double> elev_m;  // ascending
    };
    // Where cells and metres are the same as of that roof of the parcel, so is the ground.
    [[nodiscard]] bool shares_ground_with(const SiteSurvey& other) const;
    [[nodiscard]] std::shared_ptr<const SiteTerrain> terrain_of_site() const;
    [[nodiscard]] std::shared_ptr<const Garden> garden_of_site() const;
    [[nodiscard]] std::shared_ptr<const OpenGround> known_ground() const;

    const TileRoof& m_roof;
    const TileInput& m_tile;
    const Settings& m_settings;
    const WindowRules& m_window;
    PadRules m_rules;
    Eave m_eave;
    RoofCells m_cells;
    LocalFrame m_frame;
    Surroundings m_surroundings;
    const SiteSurvey* m_same_ground;  // of a roof of the parcel; null where there is none
    std::shared_ptr<const SiteTerrain> m_terrain;
    Obstacles m_obstacles;
    std::shared_ptr<const Garden> m_garden;
    std::optional<UsePointRow> m_use_point;
    std::optional<Cell> m_pad_cell;  // of a measured pad
    GroundVerdicts* m_verdicts;
    mutable std::optional<PadSearch> m_search;
};

}  // namespace eaveshed
