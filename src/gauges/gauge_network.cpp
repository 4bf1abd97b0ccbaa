#include "eaveshed/gauges/gauge_network.hpp"

#include <algorithm>
#include <limits>
#include <map>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/shape/ellipsoid.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

std::vector<std::string> those_without(const std::vector<std::string>& ids, const std::vector<std::string>& others) {
    std::vector<std::string> without;
    std::ranges::copy_if(ids, std::back_inserter(without),
                         [&](const std::string& id) { return std::ranges::find(others, id) == others.end(); });
    return without;
}

void tell_unmatched(const std::vector<std::string>& ids, const GaugePlaces& places, const std::string& where,
                    Findings& findings) {
    if (const auto placeless = those_without(ids, places.ids()); !placeless.empty()) {
        findings.warn({where,
                       fmt::format("{} without a place: {}", counted(placeless.size(), "gauge"), listed(placeless)),
                       fmt::format("a line for each in {}", places.where), "they are not used"});
    }
    if (const auto seriesless = those_without(places.ids(), ids); !seriesless.empty()) {
        findings.note({places.where,
                       fmt::format("{} without a series: {}", counted(seriesless.size(), "place"), listed(seriesless)),
                       "", "they are not used"});
    }
}

std::vector<UsedSeries> everywhere(const std::string& id, const std::string& where, const std::string& why,
                                   Findings& findings) {
    findings.note({where, fmt::format("one gauge, '{}', {}", printable(id), why), "", "it counts everywhere"});
    return {{}};
}

std::vector<UsedSeries> by_id(const std::vector<std::string>& ids, const GaugePlaces& places,
                              const std::optional<std::vector<Point>>& degrees, const std::string& where) {
    std::vector<UsedSeries> used;
    for (std::uint32_t series = 0; series < ids.size(); ++series) {
        const auto place = std::ranges::find(places.places, ids[series], &GaugePlace::id);
        if (place != places.places.end()) {
            const auto position = static_cast<std::size_t>(place - places.places.begin());
            used.push_back({series, degrees ? std::optional(degrees->at(position)) : std::nullopt});
        }
    }
    if (used.empty()) {
        throw input_error(where, "the gauges " + listed(ids) + ", none of which has a place",
                          "ids of " + places.where + ": " + listed(places.ids()), "write the same ids in both tables");
    }
    return used;
}

}  // namespace

std::optional<GaugePlaces> places_if_given(const std::string& setting, const std::string& path, Findings& findings) {
    return path.empty() ? std::nullopt : std::optional(read_gauge_places(setting, path, findings));
}

std::vector<UsedSeries> used_series(const std::vector<std::string>& ids, const std::optional<GaugePlaces>& places,
                                    const VectorInfo* footprints, const std::string& where, const std::string& setting,
                                    Findings& findings) {
    const bool single = ids.size() == 1;
    if (!places) {
        if (!single) {
            throw input_error(
                where, fmt::format("{} and no places: {}", counted(ids.size(), "gauge"), listed(ids)),
                "where each of them stands",
                fmt::format("give {}, a table with id, x and y or id, lon and lat; or keep one gauge", setting));
        }
        return everywhere(ids.front(), where, "without a place", findings);
    }
    const auto degrees = footprints != nullptr ? std::optional(degrees_of(*places, footprints->crs)) : std::nullopt;
    if (single && places->places.size() == 1) {
        return {{0, degrees ? std::optional(degrees->front()) : std::nullopt}};
    }
    if (single && those_without(ids, places->ids()).size() == 1) {
        return everywhere(ids.front(), where, "which " + places->where + " does not have", findings);
    }
    tell_unmatched(ids, *places, where, findings);
    return by_id(ids, *places, degrees, where);
}

void warn_of_far_gauges(const GaugeTableInfo& table, const VectorInfo& footprints, Findings& findings) {
    constexpr double kFarM = 100e3;
    if (footprints.extent.empty()) {
        return;
    }
    const Box& extent = footprints.extent;
    const Crs geographic = footprints.crs.geographic();
    const auto middle = Transform(footprints.crs, geographic, footprints.where)(extent.middle());
    double nearest_m = std::numeric_limits<double>::infinity();
    for (const GaugeStation& station : table.stations) {
        if (!middle || !station.degrees) {
            return;
        }
        const double unit = geographic.degrees_per_unit();
        nearest_m = std::min(nearest_m, geodesic_distance_m({middle->x * unit, middle->y * unit}, *station.degrees,
                                                            footprints.crs.ellipsoid()));
    }
    if (nearest_m > kFarM) {
        findings.warn({table.places_where,
                       fmt::format("the nearest gauge {:.0f} km from the middle of the footprints", nearest_m / 1000.0),
                       "gauges in the basin or beside it",
                       "look whether x and y, or lon and lat, are exchanged or in another reference system"});
    }
}

}  // namespace eaveshed
