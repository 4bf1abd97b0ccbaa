#include "eaveshed/raster/raster_mosaic.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <limits>
#include <optional>
#include <utility>

#include <fmt/format.h>
#include <gdal_priv.h>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/raster/tiff_blocks.hpp"
#include "eaveshed/settings/input_role.hpp"
#include "eaveshed/shape/box_index.hpp"
#include "eaveshed/words/unit_text.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

// A hundredth of a cell: tiles whose corners were written with few digits still meet.
constexpr double kAlignment = 0.01;
// Factors of one unit written twice agree to this; the two feet differ by 2e-6.
constexpr double kSameFactor = 1e-7;

bool agree(double a, double b) {
    return std::abs(a - b) <= kSameFactor * std::abs(b);
}

struct StatedUnit {
    LengthUnit unit;
    std::string words;  // who says so
};

std::optional<StatedUnit> unit_of_setting(VerticalUnit unit) {
    switch (unit) {
        case VerticalUnit::from_file: return std::nullopt;
        case VerticalUnit::metre: return StatedUnit{{1.0, false}, "m by the setting"};
        case VerticalUnit::foot: return StatedUnit{{kMetresPerFoot, false}, "ft by the setting"};
        case VerticalUnit::us_survey_foot: return StatedUnit{{kMetresPerUsSurveyFoot, false}, "us-ft by the setting"};
    }
    return std::nullopt;
}

std::optional<StatedUnit> unit_of_crs(GDALDataset& dataset) {
    const OGRSpatialReference* const srs = dataset.GetSpatialRef();
    if (srs == nullptr || srs->IsVertical() == 0) {
        return std::nullopt;
    }
    const char* name = nullptr;
    const double metres = srs->GetTargetLinearUnits("VERT_CS", &name);
    return StatedUnit{{metres, false}, fmt::format("{} by the vertical part of the CRS", name != nullptr ? name : "")};
}

// Of two that agree the stricter one; two that differ are an error.
StatedUnit reconciled(const StatedUnit& a, const StatedUnit& b, const std::string& where) {
    const auto is_foot = [](const LengthUnit& unit) {
        return agree(unit.metres, kMetresPerFoot) || agree(unit.metres, kMetresPerUsSurveyFoot);
    };
    const bool both_feet = is_foot(a.unit) && is_foot(b.unit);
    if (agree(a.unit.metres, b.unit.metres) || (both_feet && (a.unit.loose || b.unit.loose))) {
        return a.unit.loose ? b : a;
    }
    throw input_error(where, fmt::format("heights in {} and in {}", a.words, b.words), "one vertical unit",
                      "set terrain.vertical_unit as the file says, or correct the file: gdal_edit.py -unittype m FILE");
}

// The unit as stated, or none.
std::optional<StatedUnit> stated_unit(GDALDataset& dataset, VerticalUnit setting, const std::string& where) {
    std::optional<StatedUnit> stated = unit_of_setting(setting);
    const auto join = [&](const StatedUnit& other) { stated = stated ? reconciled(*stated, other, where) : other; };
    const std::string text = dataset.GetRasterBand(1)->GetUnitType();
    const auto known = length_unit_from_text(text);
    if (!text.empty() && !known && !stated) {
        throw input_error(where, fmt::format("the vertical unit \"{}\"", printable(text)), "m, ft or us-ft",
                          "set terrain.vertical_unit to what it means");
    }
    if (known) {
        join({*known, fmt::format("{} by the band", printable(text))});
    }
    if (const auto from_crs = unit_of_crs(dataset)) {
        join(*from_crs);
    }
    return stated;
}

void note_assumed_metres(const std::string& where, const Crs& crs, Findings& findings) {
    const Trouble trouble{where, "no vertical unit; metres are taken", "",
                          "set terrain.vertical_unit when that is wrong"};
    const bool metric = crs.is_geographic() || crs.metres_per_unit() == 1.0;
    metric ? findings.note(trouble) : findings.warn(trouble);
}

void require_one_band(GDALDataset& dataset, const std::string& where) {
    const int bands = dataset.GetRasterCount();
    const bool alpha = bands == 2 && dataset.GetRasterBand(2)->GetColorInterpretation() == GCI_AlphaBand;
    if (bands != 1 && !alpha) {
        throw input_error(where, fmt::format("{} bands", bands), "one band of heights",
                          "keep the band that holds them: gdal_translate -b 1 IN OUT.tif");
    }
}

// F11: a file of a few bytes can declare any size. Nothing is allocated from it, but the planner should know.
void warn_of_absurd_size(const std::string& where, const std::string& file, const Grid& grid, Findings& findings) {
    constexpr double kSuspicious = 10000.0;  // cells a byte; real elevations take a tenth of a byte or more each
    std::error_code fault;
    const auto bytes = static_cast<double>(std::filesystem::file_size(file, fault));
    const double cells = static_cast<double>(grid.rows) * static_cast<double>(grid.cols);
    if (!fault && bytes > 0.0 && cells / bytes > kSuspicious) {
        findings.warn({where, fmt::format("{} x {} cells in a file of {} bytes", grid.rows, grid.cols, bytes),
                       "a file with data", "look whether it is empty in most places"});
    }
}

MosaicMember looked_at(const std::string& setting, const std::string& file, VerticalUnit unit, bool& unit_stated,
                       Findings& findings) {
    const std::string where = setting_and_path(setting, file);
    DatasetHandle dataset = open_raster(setting, file, elevation_drivers());
    require_one_band(*dataset, where);
    MosaicMember member;
    member.file = file;
    member.layout = layout_of(*dataset, where);
    member.crs = crs_of(*dataset, where);
    // Longitudes counted from 0 to 360: elsewhere they run from -180 to 180.
    constexpr double kHalfTurn = 180.0;
    if (member.crs.is_geographic() && member.layout.grid.x_min >= kHalfTurn) {
        member.layout.grid.x_min -= 2.0 * kHalfTurn;
    }
    member.rule = BandRule::of(*dataset->GetRasterBand(1), where);
    member.blocks = blocks_of(*dataset, member.layout, member.rule);
    const auto stated = stated_unit(*dataset, unit, where);
    unit_stated = stated.has_value();
    member.metres_per_value = stated ? stated->unit.metres : 1.0;
    if (member.rule.storage == BandRule::Storage::integer) {
        member.value_step = std::abs(member.rule.scale) * member.metres_per_value;
    }
    if (dataset->GetDriverName() != std::string("VRT")) {
        warn_of_absurd_size(where, file, member.layout.grid, findings);
        report_cut_blocks(where, file, "places of tanks over them mean nothing (flag read_error)", findings);
    }
    const std::string said = close_dataset(dataset);
    if (!said.empty()) {
        throw input_error(where, "errors on closing: " + printable(said), "a file without faults", "get it again");
    }
    return member;
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
    if (!agree(other.metres_per_value, model.metres_per_value) || other.value_step != model.value_step) {
        return fmt::format("values of {} m in steps of {} m", other.metres_per_value, other.value_step);
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
        fmt::format("files like {}: {}, cells of {} x {}", model.file, model.crs.name(), model.layout.grid.cell_width,
                    model.layout.grid.cell_height),
        "leave them out or warp them to that grid: gdalwarp -tap");
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

// In columns and rows; ranges that only touch have boxes apart.
Box box_of(const CellRange& range) {
    const Box edges{static_cast<double>(range.col_begin), static_cast<double>(range.row_begin),
                    static_cast<double>(range.col_end), static_cast<double>(range.row_end)};
    return edges.grown(-0.25, -0.25);
}

BoxIndex index_of(const std::vector<MosaicMember>& members) {
    std::vector<Box> boxes;
    for (const MosaicMember& member : members) {
        boxes.push_back(box_of(member.range()));
    }
    return BoxIndex(boxes);
}

void note_overlaps(const Mosaic& mosaic, Findings& findings) {
    const auto overlapping =
        std::count_if(mosaic.members.begin(), mosaic.members.end(),
                      [&](const MosaicMember& member) { return mosaic.members_in(member.range()).size() > 1; });
    if (overlapping > 0) {
        findings.note({mosaic.info.where,
                       fmt::format("{} of {} files overlap others", overlapping, mosaic.members.size()), "",
                       "the last one in order that has a value counts"});
    }
}

}  // namespace

MemberBlocks blocks_of(GDALDataset& dataset, const RasterLayout& layout, const BandRule& rule) {
    GDALRasterBand& band = *dataset.GetRasterBand(1);
    int cols = 1;
    int rows = 1;
    band.GetBlockSize(&cols, &rows);
    MemberBlocks blocks;
    blocks.shape = {layout.grid.rows, layout.grid.cols, rows, cols};
    if (blocks.shape.cells() > MemberBlocks::kMostBlockCells) {
        constexpr std::int64_t kWindowSide = 256;
        blocks.shape.block_rows = kWindowSide;
        blocks.shape.block_cols = kWindowSide;
        blocks.windows = true;
    }
    const GDALDataType type = band.GetRasterDataType();
    blocks.windows = blocks.windows || rule.masked;
    blocks.single =
        !blocks.windows && (type == GDT_Float32 || type == GDT_Byte || type == GDT_Int16 || type == GDT_UInt16);
    blocks.maybe_direct = !blocks.windows && type == GDT_Float32 && dataset.GetRasterCount() == 1 &&
                          dataset.GetDriverName() == std::string("GTiff");
    return blocks;
}

std::vector<std::uint32_t> Mosaic::members_in(const CellRange& range) const {
    return index.query(box_of(range));
}

const std::vector<std::string>& elevation_drivers() {
    const auto& allowed = formats_of(InputKind::raster).drivers;
    static const std::vector<std::string> drivers(allowed.begin(), allowed.end());
    return drivers;
}

Mosaic look_at_mosaic(const std::string& setting, const std::vector<std::string>& paths, VerticalUnit unit,
                      Findings& findings) {
    Mosaic mosaic;
    mosaic.info.files = expand_paths(setting, paths);
    if (mosaic.info.files.empty()) {
        throw input_error(setting, "no file", "at least one raster file", "name it");
    }
    bool all_stated = true;
    bool turned = false;
    for (const std::string& file : mosaic.info.files) {
        bool stated = false;
        mosaic.members.push_back(looked_at(setting, file, unit, stated, findings));
        all_stated = all_stated && stated;
        turned = turned || mosaic.members.back().layout.south_up;
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
    if (!all_stated) {
        note_assumed_metres(info.where, info.crs, findings);
    }
    if (turned) {
        findings.note({info.where, "rows from south to north; they are turned", "", ""});
    }
    mosaic.index = index_of(mosaic.members);
    note_overlaps(mosaic, findings);
    return mosaic;
}

}  // namespace eaveshed
