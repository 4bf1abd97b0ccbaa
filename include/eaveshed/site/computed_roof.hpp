// One roof while its site is evaluated: its rows, and what the parcel's common storage asks of it.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/roof/eave.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/site/site_survey.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "eaveshed/site/water.hpp"
#include "eaveshed/siting/search.hpp"

namespace eaveshed {

struct ComputedRoof {
    const TileRoof* input = nullptr;  // outlives this
    RoofRows result;
    WaterOutcome water;
    std::optional<Eave> eave;
    std::unique_ptr<const SiteSurvey> site;  // where a pad was searched for
    std::size_t option = 0;                  // chosen, where the water recommends any
    std::optional<Pad> pad;
    std::vector<double> garden_elev_m;  // of the garden's cells, ascending; where a pad was searched for

    [[nodiscard]] bool ok() const { return result.roof.status == Status::ok; }
};

}  // namespace eaveshed
