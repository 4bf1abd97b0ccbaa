#include "vertical_unit.hpp"

#include <cmath>

#include <fmt/format.h>
#include <gdal_priv.h>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "eaveshed/words/unit_text.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

bool same_factor(double a, double b) {
    constexpr double kSameFactor = 1e-7;
    return std::abs(a - b) <= kSameFactor * std::abs(b);
}

namespace {

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

// Whether two statements can both be true: "ft" does not say which foot.
bool consistent(const StatedUnit& a, const StatedUnit& b) {
    const auto is_foot = [](const LengthUnit& unit) {
        return same_factor(unit.metres, kMetresPerFoot) || same_factor(unit.metres, kMetresPerUsSurveyFoot);
    };
    const bool both_feet = is_foot(a.unit) && is_foot(b.unit);
    return same_factor(a.unit.metres, b.unit.metres) || (both_feet && (a.unit.loose || b.unit.loose));
}

const StatedUnit& stricter(const StatedUnit& a, const StatedUnit& b) {
    return a.unit.loose ? b : a;
}

[[noreturn]] void refuse(const StatedUnit& a, const StatedUnit& b, const RasterRequest& request,
                         const std::string& where) {
    throw input_error(
        where, fmt::format("heights in {} and in {}", a.words, b.words), "one vertical unit",
        fmt::format(
            "{}correct the file: gdal_edit.py -unittype m FILE",
            request.unit_setting.empty() ? "" : fmt::format("set {} as the file says, or ", request.unit_setting)));
}

// What the file alone says.
std::optional<StatedUnit> unit_in_file(GDALDataset& dataset, int band, const RasterRequest& request,
                                       const std::string& where) {
    const std::string text = dataset.GetRasterBand(band)->GetUnitType();
    const auto known = length_unit_from_text(text);
    if (!text.empty() && !known && request.unit == VerticalUnit::from_file) {
        throw input_error(where, fmt::format("the vertical unit \"{}\"", printable(text)), "m, ft or us-ft",
                          request.unit_setting.empty() ? "correct it: gdal_edit.py -unittype m FILE"
                                                       : fmt::format("set {} to what it means", request.unit_setting));
    }
    std::optional<StatedUnit> stated;
    if (known) {
        stated = StatedUnit{*known, fmt::format("{} by the band", printable(text))};
    }
    const auto from_crs = unit_of_crs(dataset);
    if (stated && from_crs && !consistent(*stated, *from_crs)) {
        refuse(*stated, *from_crs, {.unit_setting = ""}, where);
    }
    return stated && from_crs ? stricter(*stated, *from_crs) : (stated ? stated : from_crs);
}

}  // namespace

HeightUnit height_unit(GDALDataset& dataset, int band, const RasterRequest& request, const std::string& where,
                       Findings& findings) {
    const std::optional<StatedUnit> set = unit_of_setting(request.unit);
    const std::optional<StatedUnit> own = unit_in_file(dataset, band, request, where);
    if (!own) {
        return set ? HeightUnit{set->unit.metres, set->words, false} : HeightUnit{};
    }
    if (!set || consistent(*set, *own)) {
        const StatedUnit& unit = set ? stricter(*set, *own) : *own;
        return {unit.unit.metres, unit.words, true};
    }
    if (!request.file_wins) {
        refuse(*set, *own, request, where);
    }
    findings.note(
        {where, fmt::format("heights in {}, not in {}", own->words, set->words), "", "the file is read as it says"});
    return {own->unit.metres, own->words, true};
}

VerticalReference vertical_reference(GDALDataset& dataset) {
    const OGRSpatialReference* const srs = dataset.GetSpatialRef();
    if (srs == nullptr) {
        return {};
    }
    const GdalErrors quiet;
    if (srs->IsVertical() == 0) {
        return {.name = "", .ellipsoidal = srs->GetAxesCount() == 3 && srs->IsLocal() == 0};
    }
    const char* const datum = srs->GetAttrValue("VERT_DATUM");
    const char* const type = srs->GetAttrValue("VERT_DATUM", 1);
    constexpr const char* kEllipsoidalType = "2002";  // of OGC 01-009, "VERT_DATUM"
    return {.name = datum != nullptr ? datum : "",
            .ellipsoidal = type != nullptr && std::string(type) == kEllipsoidalType};
}

std::string datum_words(const VerticalReference& reference) {
    if (reference.ellipsoidal) {
        return "the ellipsoid";
    }
    return reference.name.empty() ? "a datum that is not stated" : printable(reference.name);
}

}  // namespace eaveshed
