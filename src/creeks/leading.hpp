// The ground that water is led over, read from the elevations. Private to the module.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <mutex>
#include <vector>

#include "eaveshed/blocks/block_shape.hpp"
#include "eaveshed/core/finding.hpp"
#include "eaveshed/files/spill_memory.hpp"
#include "eaveshed/flow/block_mean.hpp"
#include "eaveshed/flow/directions.hpp"
#include "eaveshed/flow/ways_to_stream.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/project/project.hpp"

namespace eaveshed {

// Which cells of the elevations are led over, and how many of them make one.
struct LeadingGrid {
    CellRange range;  // of the elevations; whole blocks but for the last
    std::int64_t block_rows = 1;
    std::int64_t block_cols = 1;
    double cell_m2 = 0.0;  // of one that is led over, in the middle of the elevations

    [[nodiscard]] std::int64_t cells() const;
};

// What filling, directions, accumulation and catchments take of a cell at most, bytes of files (flow/surface.hpp).
inline constexpr std::uint64_t kBytesACell = 14;

// For derived streams all elevations, by their own cells unless streams.routing_cell_m asks for larger ones. For the
// ways to given lines those within kAroundRoofsM of the roofs, by cells of kWaysCellM.
inline constexpr double kAroundRoofsM = 2000.0;
inline constexpr double kWaysCellM = 10.0;
[[nodiscard]] LeadingGrid leading_grid(const Project& project, const Inputs& inputs);

// An input error where streams are to be derived that begin below ten cells: nearly all ground would be their channels.
void require_hillsides(const LeadingGrid& grid, const Project& project, const Inputs& inputs);

// An input error where there are too many of them.
void require_few(const LeadingGrid& grid, const Project& project, const Inputs& inputs);

// Which way the water goes, and what that lies in.
struct LedGround {
    std::shared_ptr<SpillMemory> memory;
    FlowDirections directions;
};
[[nodiscard]] std::shared_ptr<const WaysToStream> ways_to(std::vector<ChannelCell> channel, LedGround ground);

// The elevations of a grid, averaged as whoever decodes a block of them decodes it. Listens from its making to its end.
class GroundToLead {
public:
    // `inputs` outlives it.
    GroundToLead(const LeadingGrid& grid, const OpenInputs& inputs, const std::filesystem::path& scratch);
    ~GroundToLead();
    GroundToLead(const GroundToLead&) = delete;
    GroundToLead& operator=(const GroundToLead&) = delete;

    // Reads what nobody decoded yet, fills and directs. What cannot be read is told and counts as a gap.
    [[nodiscard]] LedGround lead(Findings& findings, Progress& progress);

private:
    void hear(const DecodedBlock& block);
    void add(const BlockMean<float>::Parts& parts);
    void read_rest(Progress& progress);

    const OpenInputs& m_inputs;
    LeadingGrid m_grid;
    RasterSource m_source;
    bool m_hears;         // blocks of the file; else pieces are strips of the whole
    BlockShape m_pieces;  // of the whole raster
    std::shared_ptr<SpillMemory> m_memory;
    BlockMean<float> m_mean;
    std::mutex m_mutex;
    std::vector<bool> m_heard;  // by piece
    bool m_damaged = false;
};

}  // namespace eaveshed
