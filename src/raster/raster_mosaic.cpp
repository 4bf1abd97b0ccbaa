#include "eaveshed/raster/raster_mosaic.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include <fmt/format.h>
#include <gdal_priv.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/settings/input_role.hpp"
#include "eaveshed/shape/box_index.hpp"
#include "eaveshed/words/wording.hpp"
#include "member_look.hpp"
#include "overlap_look.hpp"
#include "vertical_unit.hpp"

namespace eaveshed {

namespace {

// A hundredth of a cell: tiles whose corners were written with few digits still meet.
constexpr double kAlignment = 0.01;
void note_assumed_metres(const std::string& where, const RasterRequest& request, const Crs& crs, Findings& findings) {
    const Trouble trouble{where, "no vertical unit; metres are taken", "",
                          request.unit_setting.empty()
                              ? "say in the file what it is when that is wrong: gdal_edit.py -unittype ft FILE"
                              : fmt::format("set {} when that is wrong", request.unit_setting)};
    const bool metric = crs.is_geographic() || crs.metres_per_unit() == 1.0;
    metric ? findings.note(trouble) : findings.warn(trouble);
}

// Why `other` is no part of the raster that `model` belongs to; empty when it is.
std::string difference(const MosaicMember& model, const MosaicMember& other) {
    const Grid& a = model.layout.grid;
    const Grid& b = other.layout.grid;
    if (!model.crs.same_as(other.crs)) {
        return "CRS " + other.crs.name();
    }
    const double drift = std::max(std::abs(b.cell_width / a.cell_width - 1.0) * static_cast<double>(b.cols),
                                  std::abs(b.cell_height / a.cell_height - 1.0) * static_cast<double>(b.rows));
    if (drift > kAlignment) {
        return fmt::format("cells of {} x {}", b.cell_width, b.cell_height);
    }
    const double cols = (b.x_min - a.x_min) / a.cell_width;
    const double rows = (a.y_max - b.y_max) / a.cell_height;
    const double off = std::max(std::abs(cols - std::round(cols)), std::abs(rows - std::round(rows)));
    if (off > kAlignment) {
        return fmt::format("cells that lie {:.3f} of a cell beside the others'", off);
    }
    if (model.rule.holds_missing() != other.rule.holds_missing()) {
        return other.rule.holds_missing() ? "a nodata value or mask" : "no nodata value";
    }
    if (!same_factor(other.metres_per_value, model.metres_per_value) || other.value_step != model.value_step) {
        return fmt::format("values of {} m in steps of {} m{}", other.metres_per_value, other.value_step,
                           other.unit_said.empty() ? ", no unit" : ", " + other.unit_said);
    }
    if (!(other.vertical == model.vertical)) {
        return "heights above " + datum_words(other.vertical);
    }
    return {};
}

// Compares every file with the kind that most of them are of.
void require_one_kind(const std::string& setting, const std::vector<MosaicMember>& members) {
    std::vector<std::vector<std::size_t>> kinds;
    for (std::size_t i = 0; i < members.size(); ++i) {
        const auto same = std::find_if(kinds.begin(), kinds.end(), [&](const std::vector<std::size_t>& kind) {
            return difference(members[kind.front()], members[i]).empty();
        });
        same != kinds.end() ? same->push_back(i) : kinds.push_back({i});
    }
    if (kinds.size() == 1) {
        return;
    }
    const auto most =
        std::max_element(kinds.begin(), kinds.end(), [](const auto& a, const auto& b) { return a.size() < b.size(); });
    const MosaicMember& model = members[most->front()];
    std::vector<std::string> odd;
    for (const MosaicMember& member : members) {
        const std::string why = difference(model, member);
        if (!why.empty()) {
            odd.push_back(fmt::format("{} ({})", member.file, why));
        }
    }
    throw input_error(
        setting, fmt::format("{} of {} files that do not fit the others: {}", odd.size(), members.size(), listed(odd)),
        fmt::format("files like {}: {}, cells of {} x {}, {}, heights above {}", model.file, model.crs.name(),
                    model.layout.grid.cell_width, model.layout.grid.cell_height,
                    model.unit_said.empty() ? "no unit" : model.unit_said, datum_words(model.vertical)),
        "leave them out, or make them alike: gdalwarp -tap for the grid, the settings of a unit or a nodata value that "
        "only some of them state");
}

// Places the members; the whole's corner is the corner of the members that lie there.
Grid placed(const std::string& setting, std::vector<MosaicMember>& members) {
    Grid whole = members.front().layout.grid;
    for (const MosaicMember& member : members) {
        whole.x_min = std::min(whole.x_min, member.layout.grid.x_min);
        whole.y_max = std::max(whole.y_max, member.layout.grid.y_max);
    }
    constexpr double kMostCells = std::numeric_limits<std::int32_t>::max();
    whole.rows = 0;
    whole.cols = 0;
    for (MosaicMember& member : members) {
        const double col = std::round((member.layout.grid.x_min - whole.x_min) / whole.cell_width);
        const double row = std::round((whole.y_max - member.layout.grid.y_max) / whole.cell_height);
        if (col > kMostCells || row > kMostCells) {
            throw input_error(setting, fmt::format("files too far apart for one raster ({})", member.file),
                              "tiles of one area", "leave out the ones that lie elsewhere");
        }
        member.col_begin = static_cast<std::int64_t>(col);
        member.row_begin = static_cast<std::int64_t>(row);
        whole.rows = std::max(whole.rows, member.range().row_end);
        whole.cols = std::max(whole.cols, member.range().col_end);
    }
    return whole;
}

BoxIndex index_of(const std::vector<MosaicMember>& members) {
    std::vector<Box> boxes;
    boxes.reserve(members.size());
    for (const MosaicMember& member : members) {
        boxes.push_back(inner_edges(member.range()));
    }
    return BoxIndex(boxes);
}

std::vector<LaidPiece> laid_pieces(const Mosaic& mosaic) {
    std::vector<LaidPiece> pieces;
    for (const MosaicMember& member : mosaic.members) {
        pieces.push_back({&member, member.range()});
    }
    return pieces;
}

std::int64_t widest_block(const std::vector<MosaicMember>& members) {
    std::int64_t cols = 1;
    for (const MosaicMember& member : members) {
        const BlockShape& shape = member.blocks.shape;
        cols = std::max(cols, member.layout.transposed ? shape.block_rows : shape.block_cols);
    }
    return cols;
}

void tell_overlaps(const Mosaic& mosaic, Findings& findings) {
    const auto overlapping =
        std::count_if(mosaic.members.begin(), mosaic.members.end(),
                      [&](const MosaicMember& member) { return mosaic.members_in(member.range()).size() > 1; });
    if (overlapping > 0) {
        tell_disagreement(mosaic.info.where, laid_pieces(mosaic), findings);
        findings.note({mosaic.info.where,
                       fmt::format("{} of {} files overlap others", overlapping, mosaic.members.size()), "",
                       "the last one in order that has a value counts"});
    }
}

}  // namespace

MemberBlocks blocks_of(GDALDataset& dataset, const MosaicMember& member) {
    GDALRasterBand& band = *dataset.GetRasterBand(member.band);
    int cols = 1;
    int rows = 1;
    band.GetBlockSize(&cols, &rows);
    MemberBlocks blocks;
    blocks.shape = {member.layout.file_rows(), member.layout.file_cols(), rows, cols};
    if (blocks.shape.cells() > MemberBlocks::kMostBlockCells) {
        constexpr std::int64_t kWindowSide = 256;
        blocks.shape.block_rows = kWindowSide;
        blocks.shape.block_cols = kWindowSide;
        blocks.windows = true;
    }
    const GDALDataType type = band.GetRasterDataType();
    blocks.windows = blocks.windows || member.rule.masked || member.cover != nullptr;
    blocks.single =
        !blocks.windows && (type == GDT_Float32 || type == GDT_Byte || type == GDT_Int16 || type == GDT_UInt16);
    blocks.maybe_direct = !blocks.windows && type == GDT_Float32 && dataset.GetRasterCount() == 1 &&
                          dataset.GetDriverName() == std::string("GTiff");
    return blocks;
}

std::vector<std::uint32_t> Mosaic::members_in(const CellRange& range) const {
    return index.query(inner_edges(range));
}

const std::vector<std::string>& elevation_drivers() {
    const auto& allowed = formats_of(InputKind::raster).drivers;
    static const std::vector<std::string> drivers(allowed.begin(), allowed.end());
    return drivers;
}

Mosaic look_at_mosaic(const std::string& setting, const std::vector<std::string>& paths, const RasterRequest& request,
                      Findings& findings) {
    Mosaic mosaic;
    mosaic.info.files = expand_paths(setting, paths);
    if (mosaic.info.files.empty()) {
        throw input_error(setting, "no file", "at least one raster file", "name it");
    }
    bool turned = false;
    for (const std::string& file : mosaic.info.files) {
        mosaic.members.push_back(looked_at(setting, file, request, findings));
        const RasterLayout& layout = mosaic.members.back().layout;
        turned = turned || layout.south_up || layout.mirrored || layout.transposed;
    }
    require_one_kind(setting, mosaic.members);
    const MosaicMember& first = mosaic.members.front();
    const std::size_t more = mosaic.members.size() - 1;
    RasterInfo& info = mosaic.info;
    info.where = setting_and_path(setting, paths.front()) + (more > 0 ? fmt::format(" ({} files)", more + 1) : "");
    info.grid = placed(setting, mosaic.members);
    info.crs = first.crs;
    info.bands = 1;
    info.metres_per_value = first.metres_per_value;
    info.value_step = first.value_step;
    info.band_scale = first.rule.scale;
    info.band_offset = first.rule.offset;
    info.unit_said = first.unit_said;
    info.unit_in_file = std::ranges::all_of(mosaic.members, &MosaicMember::unit_in_file);
    info.declares_missing = first.rule.holds_missing();
    info.vertical = first.vertical;
    info.block_cols = widest_block(mosaic.members);
    const bool single = std::ranges::all_of(mosaic.members, [](const auto& member) { return member.blocks.single; });
    info.cell_bytes = single ? sizeof(float) : sizeof(double);
    if (std::ranges::any_of(mosaic.members, [](const MosaicMember& member) { return member.unit_said.empty(); })) {
        note_assumed_metres(info.where, request, info.crs, findings);
    }
    if (turned) {
        findings.note({info.where,
                       "rows or columns that do not run from north to south and from west to east; they "
                       "are turned",
                       "", ""});
    }
    mosaic.index = index_of(mosaic.members);
    tell_overlaps(mosaic, findings);
    return mosaic;
}

}  // namespace eaveshed
