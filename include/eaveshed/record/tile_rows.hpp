// What one tile gives back.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "eaveshed/rank/questions.hpp"
#include "eaveshed/record/curve_row.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/parcel_option_row.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/pipe_row.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/record/scenario_row.hpp"
#include "eaveshed/record/use_point_row.hpp"

namespace eaveshed {

// Everything about one footprint. The texts roof_id and parcel_id are left empty here: the plan knows them by ordinal.
struct RoofRows {
    std::uint64_t ordinal = 0;  // position in the input
    RoofRow roof;
    std::optional<UsePointRow> use_point;
    std::optional<PadRow> pad;
    std::vector<CurveRow> curve;    // of computed roofs: one row an option, the same number for all
    std::optional<PipeRow> fill{};  // to the roof's own pad, and from there
    std::optional<PipeRow> feed{};
    std::optional<PipeRow> shared_fill{};  // to the parcel's pad
    bool connected = false;                // fills its parcel's storage
    std::vector<ScenarioRow> scenarios{};  // of a roof in no parcel with a storage: one row a scenario
};

// Everything that a tile finds out about one parcel with roofs. Texts, counts of roofs and what depends on other
// parcels are left empty here.
struct ParcelRows {
    std::uint64_t ordinal = 0;  // position in the input
    ParcelRow parcel;
    std::optional<PadRow> pad;
    std::optional<PipeRow> feed{};
    std::uint64_t pad_roof = 0;              // ordinal of the pad's own roof, where there is a pad
    std::vector<QuestionToAsk> questions{};  // the most telling first, at most three
    std::vector<ScenarioRow> scenarios{};    // one row a scenario, where there is a storage
    std::vector<ParcelOptionRow> options{};  // the sizes that could stand at the pad, at most one an option
};

struct TileRows {
    std::vector<RoofRows> roofs;        // in ascending ordinal
    std::vector<ParcelRows> parcels{};  // in ascending ordinal
};

}  // namespace eaveshed
