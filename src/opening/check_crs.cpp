#include "check_crs.hpp"

#include <cmath>
#include <map>
#include <optional>
#include <string>

#include <fmt/format.h>

#include "attempt.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/outside/crs_operation.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/shape/ellipsoid.hpp"

namespace eaveshed {

namespace {

bool is_climate(InputKind kind) {
    return kind == InputKind::rain || kind == InputKind::et0 || kind == InputKind::temperature;
}

std::string accuracy_text(const std::optional<double>& accuracy_m) {
    return accuracy_m ? fmt::format("accuracy {:g} m", *accuracy_m) : "accuracy not known";
}

std::string grids_text(const OperationFacts& facts) {
    if (facts.missing_grids.empty()) {
        return "";
    }
    return fmt::format("; a better way ({}) needs {}, which is not installed", accuracy_text(facts.better_accuracy_m),
                       fmt::join(facts.missing_grids, ", "));
}

std::string grids_remedy(const OperationFacts& facts) {
    return facts.missing_grids.empty()
               ? "bring the file into the footprints' CRS with a tool that knows the shift between the datums"
               : fmt::format("install {} where PROJ looks for grids (package proj-data, or projsync --file)",
                             fmt::join(facts.missing_grids, ", "));
}

// How the input is brought to the footprints, told by how far it may be off.
void tell_operation(const VectorInfo& footprints, const InputPlace& place, bool coarse, const OperationFacts& facts,
                    Findings& findings) {
    constexpr double kWarnedM = 5.0;  // a roof is a few of these wide
    constexpr double kNotedM = 1.0;
    const bool same_figure =
        std::abs(footprints.crs.ellipsoid().semi_major_m - place.crs.ellipsoid().semi_major_m) < 1.0;
    const std::string ways = fmt::format("{} and {}", place.crs.name(), footprints.crs.name());
    if (facts.ballpark) {
        Trouble trouble{
            place.where,
            fmt::format("no known shift between the datums of {}: \"{}\" leaves it out{}{}", ways, facts.name,
                        same_figure ? "" : ", which may be off by hundreds of metres", grids_text(facts)),
            "datums between which PROJ knows the way", grids_remedy(facts)};
        same_figure || coarse ? findings.warn(std::move(trouble)) : findings.error(std::move(trouble));
        return;
    }
    const double accuracy = facts.accuracy_m.value_or(kNotedM);
    Trouble trouble{place.where,
                    fmt::format("{} brought together by \"{}\" ({}){}", ways, facts.name,
                                accuracy_text(facts.accuracy_m), grids_text(facts)),
                    accuracy > kWarnedM ? fmt::format("a way accurate to {:g} m", kWarnedM) : "",
                    accuracy > kWarnedM ? grids_remedy(facts) : ""};
    if (accuracy > kWarnedM && !coarse) {
        findings.warn(std::move(trouble));
    } else if (accuracy >= kNotedM) {
        findings.note(std::move(trouble));
    }
}

std::optional<Box> in_degrees(const VectorInfo& footprints) {
    if (footprints.extent.empty() || !footprints.crs.given() || footprints.crs.is_local()) {
        return std::nullopt;
    }
    return Transform(footprints.crs, wgs84(), footprints.where)(footprints.extent);
}

// How many times the lengths on the ground those of a projected CRS are, in the middle of the footprints; none in
// degrees.
std::optional<double> stretch_of(const Crs& crs, const VectorInfo& footprints, const std::string& where) {
    if (!crs.given() || crs.is_geographic() || crs.is_local()) {
        return std::nullopt;
    }
    const auto here = Transform(footprints.crs, crs, where)(footprints.extent.middle());
    const Transform back(crs, crs.geographic(), where);
    const double step = 100.0 / crs.metres_per_unit();
    const auto one = here ? back(*here) : std::nullopt;
    const auto other = here ? back(Point{here->x + step, here->y}) : std::nullopt;
    if (!one || !other) {
        return std::nullopt;
    }
    const double degrees = crs.degrees_per_unit();
    const MetresPerDegree lengths = metres_per_degree(one->y * degrees, crs.ellipsoid());
    const double metres =
        std::hypot((other->x - one->x) * degrees * lengths.east, (other->y - one->y) * degrees * lengths.north);
    return metres > 0.0 ? std::optional(100.0 / metres) : std::nullopt;
}

void check_stretch(const Inputs& inputs, const VectorInfo& footprints, Findings& findings) {
    constexpr double kToldStretch = 0.02;
    const auto told = [](const std::optional<double>& stretch) {
        return stretch && std::abs(*stretch - 1.0) > kToldStretch;
    };
    if (const auto stretch = stretch_of(footprints.crs, footprints, footprints.where); told(stretch)) {
        findings.warn({footprints.where,
                       fmt::format("{}, in which lengths are {:.3f} times those on the ground here",
                                   footprints.crs.name(), *stretch),
                       "a CRS made for the place",
                       "areas are computed on the ellipsoid and are right; the shares of overlaps and what the result "
                       "shows on a map are the file's: ogr2ogr -t_srs EPSG:..."});
    }
    const RasterInfo* const terrain = inputs.raster("terrain.elevation");
    const auto stretch = terrain == nullptr ? std::nullopt : stretch_of(terrain->crs, footprints, terrain->where);
    if (told(stretch)) {
        findings.warn({terrain->where,
                       fmt::format("{}, in which lengths are {:.3f} times those on the ground here",
                                   terrain->crs.name(), *stretch),
                       "a CRS made for the place: distances, slopes and gardens are measured in it",
                       "warp it to a UTM zone or a national grid: gdalwarp -r bilinear -t_srs EPSG:... IN OUT.tif"});
    }
}

bool is_surface_unsaid(const RasterInfo& silent, const RasterInfo& speaking) {
    return silent.unit_said.empty() && speaking.unit_in_file && speaking.metres_per_value != 1.0;
}

}  // namespace

void check_crs(const Inputs& inputs, Findings& findings) {
    const Layer* const footprints = inputs.layer("footprints.source");
    if (footprints == nullptr) {
        return;
    }
    const VectorInfo& info = footprints->info;
    attempt(findings, [&] {
        const auto area = in_degrees(info);
        std::map<std::string, std::optional<OperationFacts>> known;  // by the other CRS: PROJ takes its time
        for (const Setting* const input : input_settings()) {
            for (const InputPlace& place : places_of(*input, inputs)) {
                if (!area || !place.crs.given()) {
                    continue;
                }
                const auto [entry, fresh] = known.try_emplace(place.crs.wkt());
                if (fresh) {
                    entry->second = operation_between(place.crs, info.crs, *area);
                }
                if (const auto& facts = entry->second) {
                    tell_operation(info, place, is_climate(input->role->kind), *facts, findings);
                }
            }
        }
    });
    attempt(findings, [&] { check_stretch(inputs, info, findings); });
}

void check_vertical(const Inputs& inputs, bool surface_of_elevations, Findings& findings) {
    const RasterInfo* const terrain = inputs.raster("terrain.elevation");
    const RasterInfo* const surface = inputs.raster("terrain.surface");
    if (terrain == nullptr) {
        return;
    }
    const auto words = [](const VerticalReference& reference) {
        return reference.ellipsoidal ? "the ellipsoid"
                                     : (reference.name.empty() ? "an unstated datum" : reference.name);
    };
    if (terrain->vertical.ellipsoidal) {
        findings.note({terrain->where, "heights above the ellipsoid", "",
                       "differences of height are right; elevations in the result count from the ellipsoid too"});
    }
    if (surface == nullptr) {
        return;
    }
    if (is_surface_unsaid(*surface, *terrain) || is_surface_unsaid(*terrain, *surface)) {
        const bool here = is_surface_unsaid(*surface, *terrain);
        const RasterInfo& silent = here ? *surface : *terrain;
        const RasterInfo& speaking = here ? *terrain : *surface;
        findings.error({silent.where,
                        fmt::format("no vertical unit, beside heights in {} ({})", speaking.unit_said, speaking.where),
                        "a stated unit",
                        "set terrain.vertical_unit to the unit of the one that states none, or state it in the file: "
                        "gdal_edit.py -unittype ft FILE"});
    }
    if (!surface_of_elevations || surface->vertical == terrain->vertical) {
        return;
    }
    const bool both = surface->vertical.known() && terrain->vertical.known();
    const bool ellipsoid = surface->vertical.ellipsoidal || terrain->vertical.ellipsoidal;
    Trouble trouble{surface->where,
                    fmt::format("heights above {}, beside elevations above {} ({})", words(surface->vertical),
                                words(terrain->vertical), terrain->where),
                    "heights above one datum: roofs are the difference of the two",
                    both ? "bring one to the datum of the other: gdalwarp -s_srs EPSG:...+... -t_srs EPSG:...+... IN "
                           "OUT.tif, or correct what the file says"
                         : "make sure that both count from the same level"};
    if (both && ellipsoid) {
        findings.error(std::move(trouble));
    } else if (both || ellipsoid) {
        findings.warn(std::move(trouble));
    } else {
        findings.note(std::move(trouble));
    }
}

std::string reason_elsewhere(const VectorInfo& footprints, const InputPlace& place) {
    const auto exchanged = [](const Box& box) { return Box{box.y_min, box.x_min, box.y_max, box.x_max}; };
    const Transform to(footprints.crs, place.crs, place.where);
    const auto basin = to(footprints.extent);
    const std::string names = place.crs.is_geographic() ? "longitude and latitude" : "easting and northing";
    if (basin && exchanged(place.extent).intersects(*basin)) {
        return fmt::format("its {} look exchanged: with x and y the other way round it lies on the footprints", names);
    }
    const auto turned = to(exchanged(footprints.extent));
    if (turned && turned->intersects(place.extent)) {
        return "the footprints' x and y look exchanged: the other way round they lie on it";
    }
    return "";
}

}  // namespace eaveshed
