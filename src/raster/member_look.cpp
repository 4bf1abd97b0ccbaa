#include "member_look.hpp"

#include <cmath>
#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <utility>

#include <fmt/format.h>
#include <gdal_priv.h>

#include "eaveshed/blocks/tiff_blocks.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/crs/turned_crs.hpp"
#include "eaveshed/words/wording.hpp"
#include "overlap_look.hpp"
#include "vertical_unit.hpp"

namespace eaveshed {

namespace {

bool is_vrt(GDALDataset& dataset) {
    return dataset.GetDriverName() == std::string("VRT");
}

GDALColorInterp meaning_of(GDALDataset& dataset, int band) {
    return dataset.GetRasterBand(band)->GetColorInterpretation();
}

// "1 (dtm), 2 (intensity)".
std::string band_list(GDALDataset& dataset) {
    std::vector<std::string> names;
    for (int band = 1; band <= dataset.GetRasterCount(); ++band) {
        std::string name = dataset.GetRasterBand(band)->GetDescription();
        const GDALColorInterp meaning = meaning_of(dataset, band);
        if (name.empty() && meaning != GCI_Undefined && meaning != GCI_GrayIndex) {
            name = lower_case(GDALGetColorInterpretationName(meaning));
        }
        names.push_back(fmt::format("{}{}", band, name.empty() ? "" : " (" + printable(name) + ")"));
    }
    return listed(names);
}

// The band that hides cells of the others; 0 for none.
int alpha_band_of(GDALDataset& dataset) {
    for (int band = 1; band <= dataset.GetRasterCount(); ++band) {
        if (meaning_of(dataset, band) == GCI_AlphaBand) {
            return band;
        }
    }
    return 0;
}

int band_to_read(GDALDataset& dataset, int alpha, const RasterRequest& request, const std::string& where) {
    const int bands = dataset.GetRasterCount();
    if (request.band > 0) {
        if (request.band > bands || request.band == alpha) {
            throw input_error(where,
                              fmt::format("band {} asked for, of the bands {}", request.band, band_list(dataset)),
                              "a band that holds heights", "correct " + request.band_setting);
        }
        return request.band;
    }
    if (bands - (alpha > 0 ? 1 : 0) != 1) {
        throw input_error(
            where, fmt::format("{} bands: {}", bands, band_list(dataset)), "one band of heights",
            (request.band_setting.empty()
                 ? "keep the one that holds them: "
                 : fmt::format("say which holds them ({} = 1), or keep that one: ", request.band_setting)) +
                "gdal_translate -b 1 IN OUT.tif");
    }
    return alpha == 1 ? 2 : 1;
}

// A nodata value that the band's type cannot hold marks nothing.
void tell_impossible_nodata(GDALRasterBand& band, const BandRule& rule, const RasterRequest& request,
                            const std::string& where, Findings& findings) {
    int cut = FALSE;
    int rounded = FALSE;
    if (!rule.nodata || rule.storage != BandRule::Storage::integer || request.nodata) {
        return;
    }
    GDALAdjustValueToDataType(band.GetRasterDataType(), *rule.nodata, &cut, &rounded);
    if (cut != FALSE || rounded != FALSE) {
        findings.warn({where,
                       fmt::format("the nodata value {:g}, which the type {} of its cells cannot hold", *rule.nodata,
                                   GDALGetDataTypeName(band.GetRasterDataType())),
                       "a value that cells can have",
                       "no cell is taken as missing: look how the file marks its holes and " +
                           (request.nodata_setting.empty() ? "correct it: gdal_edit.py -a_nodata VALUE FILE"
                                                           : "set " + request.nodata_setting)});
    }
}

BandRule rule_of(GDALDataset& dataset, const MosaicMember& member, int alpha, const RasterRequest& request,
                 const std::string& where, Findings& findings) {
    GDALRasterBand& band = *dataset.GetRasterBand(member.band);
    BandRule rule = BandRule::of(band, where);
    tell_impossible_nodata(band, rule, request, where, findings);
    if (request.nodata) {
        (rule.nodata ? rule.nodata_too : rule.nodata) = request.nodata;
    }
    // GDAL takes an alpha band for a mask only beside bytes and 16-bit numbers.
    if (alpha > 0) {
        rule.masked = true;
        rule.alpha_band = alpha;
    }
    return rule;
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

// A member without what a VRT's files lend it.
MosaicMember opened_look(GDALDataset& dataset, const std::string& where, const std::string& file,
                         const RasterRequest& request, Findings& findings) {
    MosaicMember member;
    member.file = file;
    const int alpha = alpha_band_of(dataset);
    member.band = band_to_read(dataset, alpha, request, where);
    member.layout = layout_of(dataset, where, GridTurns::any);
    member.crs = crs_of(dataset, where, request.neighbour);
    if (member.layout.turn_deg != 0.0) {
        if (member.crs.is_geographic()) {
            throw input_error(where, "a turned grid in degrees", "rows along parallels",
                              "warp it first: gdalwarp -r bilinear IN OUT.tif");
        }
        member.crs = turned_crs(member.crs, member.layout.turn_origin, member.layout.turn_deg);
    }
    // Longitudes counted from 0 to 360: elsewhere they run from -180 to 180.
    constexpr double kHalfTurn = 180.0;
    if (member.crs.is_geographic() && member.layout.grid.x_min >= kHalfTurn) {
        member.layout.grid.x_min -= 2.0 * kHalfTurn;
    }
    member.rule = rule_of(dataset, member, alpha, request, where, findings);
    HeightUnit unit = height_unit(dataset, member.band, request, where, findings);
    member.metres_per_value = unit.metres;
    member.unit_said = std::move(unit.said);
    member.unit_in_file = unit.in_file;
    member.vertical = vertical_reference(dataset);
    return member;
}

// The files of a VRT, each looked at once.
class VrtLook {
public:
    VrtLook(std::string where, MosaicMember& vrt, const RasterRequest& request, Findings& findings)
        : m_where(std::move(where)), m_vrt(vrt), m_request(request), m_findings(findings) {}

    void look() {
        const std::vector<VrtPart> parts = parts_of_vrt(m_vrt.file, m_vrt.band);
        for (const VrtPart& part : parts) {
            if (m_files.insert({part.file, part.band}).second) {
                look_at(part);
            }
        }
        if (!m_odd.empty()) {
            throw input_error(
                m_where,
                fmt::format("{} of {} files that do not fit the VRT: {}", m_odd.size(), m_files.size(), listed(m_odd)),
                fmt::format("files like the VRT: {}, {}, {}", m_vrt.crs.name(),
                            m_vrt.unit_said.empty() ? "no vertical unit" : m_vrt.unit_said,
                            m_vrt.rule.holds_missing() ? "a nodata value" : "no nodata value"),
                "name the files themselves in place of the VRT, or make them alike and the VRT again");
        }
        auto cover = std::make_shared<const VrtCover>(parts, m_vrt.layout.file_rows(), m_vrt.layout.file_cols());
        if (!parts.empty() && !m_vrt.rule.holds_missing() && !cover->everywhere()) {
            m_vrt.cover = std::move(cover);
            m_findings.note({m_where, "cells that none of its files covers, and no nodata value", "",
                             "they are taken as missing, not as 0"});
        }
        tell_disagreement(m_where, laid(parts), m_findings);
    }

private:
    void look_at(const VrtPart& part) {
        const std::string where = fmt::format("{}, {}", m_where, part.file);
        const GdalErrors errors;
        const DatasetHandle dataset(GDALDataset::Open(part.file.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY));
        if (dataset == nullptr || part.band > dataset->GetRasterCount()) {
            m_odd.push_back(
                fmt::format("{} ({})", part.file,
                            dataset == nullptr ? printable(errors.text(), 200) : fmt::format("no band {}", part.band)));
            return;
        }
        require_blocks_that_fit(where, *dataset);
        RasterRequest request = m_request;
        request.band = part.band;
        MosaicMember file = opened_look(*dataset, where, part.file, request, m_findings);
        borrow_unit(file);
        const std::string why = difference(part, file);
        if (!why.empty()) {
            m_odd.push_back(fmt::format("{} ({})", part.file, why));
        }
        if (is_vrt(*dataset)) {
            require_filled(where, part, file);
        }
        m_looked.emplace(std::pair(part.file, part.band), std::move(file));
    }

    // A VRT is often written without what its files say of unit and datum.
    void borrow_unit(const MosaicMember& file) {
        if (m_looked.empty() && !m_vrt.unit_in_file && file.unit_in_file) {
            m_vrt.metres_per_value = file.metres_per_value;
            m_vrt.unit_said = file.unit_said + " of the VRT's files";
            m_vrt.unit_in_file = true;
            m_borrowed = true;
        }
        if (m_looked.empty() && !m_vrt.vertical.known()) {
            m_vrt.vertical = file.vertical;
        }
    }

    [[nodiscard]] std::string difference(const VrtPart& part, const MosaicMember& file) const {
        if (!m_vrt.crs.same_as(file.crs)) {
            return "CRS " + file.crs.name();
        }
        const bool silent = file.unit_said.empty() && m_vrt.unit_in_file && !m_borrowed;
        if (!silent && !same_factor(m_vrt.metres_per_value, file.metres_per_value)) {
            return file.unit_said.empty() ? "no vertical unit" : file.unit_said;
        }
        if (!part.scaled && (m_vrt.rule.scale != file.rule.scale || m_vrt.rule.offset != file.rule.offset)) {
            return fmt::format("scale {} and offset {}", file.rule.scale, file.rule.offset);
        }
        if (file.rule.holds_missing() && !m_vrt.rule.holds_missing()) {
            return "a nodata value or mask";
        }
        return file.vertical.known() && !(file.vertical == m_vrt.vertical)
                   ? "heights above " + datum_words(file.vertical)
                   : "";
    }

    void require_filled(const std::string& where, const VrtPart& part, const MosaicMember& file) const {
        const VrtCover cover(parts_of_vrt(part.file, part.band), file.layout.file_rows(), file.layout.file_cols());
        if (!file.rule.holds_missing() && !cover.everywhere()) {
            throw input_error(where, "a VRT inside a VRT with cells that none of its files covers, and no nodata value",
                              "cells with a value or a mark that they have none",
                              "make it again with a nodata value: gdalbuildvrt -vrtnodata -9999");
        }
    }

    [[nodiscard]] std::vector<LaidPiece> laid(const std::vector<VrtPart>& parts) const {
        std::vector<LaidPiece> pieces;
        for (const VrtPart& part : parts) {
            const auto found = m_looked.find({part.file, part.band});
            const bool whole = part.plain && part.first == Cell{} && found != m_looked.end() &&
                               found->second.layout.file_rows() == part.cells.rows() &&
                               found->second.layout.file_cols() == part.cells.cols();
            const bool upright = whole && !found->second.layout.south_up && !found->second.layout.mirrored &&
                                 !found->second.layout.transposed && found->second.layout.turn_deg == 0.0;
            if (upright) {
                pieces.push_back({&found->second, part.cells});
            }
        }
        return pieces;
    }

    std::string m_where;
    MosaicMember& m_vrt;
    const RasterRequest& m_request;
    Findings& m_findings;
    std::set<std::pair<std::string, int>> m_files;
    std::map<std::pair<std::string, int>, MosaicMember> m_looked;
    std::vector<std::string> m_odd;
    bool m_borrowed = false;  // the unit of its first file is taken for the VRT's
};

}  // namespace

MosaicMember looked_at(const std::string& setting, const std::string& file, const RasterRequest& request,
                       Findings& findings) {
    const std::string where = setting_and_path(setting, file);
    DatasetHandle dataset = open_raster(setting, file, elevation_drivers());
    MosaicMember member = opened_look(*dataset, where, file, request, findings);
    if (is_vrt(*dataset)) {
        VrtLook(where, member, request, findings).look();
    } else {
        warn_of_absurd_size(where, file, member.layout.grid, findings);
        report_cut_blocks(where, file, "places of tanks over them mean nothing (flag read_error)", findings);
    }
    if (member.rule.storage == BandRule::Storage::integer) {
        member.value_step = std::abs(member.rule.scale) * member.metres_per_value;
    }
    member.blocks = blocks_of(*dataset, member);
    const std::string said = close_dataset(dataset);
    if (!said.empty()) {
        throw input_error(where, "errors on closing: " + printable(said), "a file without faults", "get it again");
    }
    return member;
}

}  // namespace eaveshed
