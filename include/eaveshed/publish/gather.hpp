// From the rows of the tiles to the finished result: in input order, joined with their shapes and names.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

#include "eaveshed/creeks/creeks.hpp"
#include "eaveshed/creeks/subbasins.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/publish/counts.hpp"
#include "eaveshed/publish/run_record.hpp"
#include "eaveshed/rain/mean_year.hpp"
#include "eaveshed/record/result_writer.hpp"
#include "eaveshed/record/rows_in_order.hpp"
#include "eaveshed/record/tile_rows.hpp"

namespace eaveshed {

// Names the rows of a result, of which the tile knows numbers only, and marks those that maps leave out or draw
// faintly. `parcel`: position of the one that the roof lies in, or kNone.
void set_names(RoofRows& result, const std::string& roof_id, const Plan& plan, std::uint32_t parcel);
// The same for a parcel whose row is complete: scenarios and, with the name of the pad's roof, the pad.
void set_names(ParcelRows& result, const Settings& settings, const std::string& pad_roof_id);

struct GatherJob {
    const Project& project;
    const Inputs& inputs;
    const Plan& plan;
    const Creeks& creeks;
    const Subbasins& subbasins;
    const std::vector<InputFile>& files;
    Findings& findings;                                                 // what the rows show is added
    RowsInOrder& rows;                                                  // of the tiles
    ResultWriter& writer;                                               // with the layers of output_layers
    const std::vector<std::pair<std::string, std::string>>& libraries;  // outside ones: name and version
    std::optional<MonthDepths> mean_year_mm{};                          // rain in the middle of the basin
    std::vector<std::uint32_t> stations_used{};                         // gauges of rain that some roof draws on
    unsigned threads = 1;
    std::filesystem::path scratch{};  // a folder for lists that large basins outgrow memory with; without it none does
    bool strict = false;              // warnings stop the run
};

// Writes all rows, finishes the result and gives the counts. A missing or damaged row is a working error, after which
// the result is not finished.
[[nodiscard]] RunCounts gather(const GatherJob& job, Progress& progress);

}  // namespace eaveshed
