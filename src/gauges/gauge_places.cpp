#include "eaveshed/gauges/gauge_places.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <span>
#include <string_view>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/gauges/column_names.hpp"
#include "eaveshed/gauges/delimited_text.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/words/wording.hpp"
#include "gauge_columns.hpp"

namespace eaveshed {

namespace {

constexpr const char* kPlacesWanted = "columns id, x and y (in the footprints' CRS), or id, lon and lat";

using Names = std::span<const std::string_view>;

std::optional<std::size_t> find_named(const std::vector<std::string>& header, Names names) {
    for (const std::string_view name : names) {
        for (std::size_t i = 0; i < header.size(); ++i) {
            if (plain_name(header[i]) == name) {
                return i;
            }
        }
    }
    return std::nullopt;
}

PlaceColumns place_columns(const DelimitedText& table) {
    const auto& header = table.rows.front().cells;
    const auto found = find_place_columns(header);
    if (!found || !found->id) {
        throw input_error(table.at(table.rows.front().line), "the columns " + listed(header), kPlacesWanted,
                          "name them so in the first line");
    }
    return *found;
}

double coordinate(const DelimitedText& table, const TextRow& row, std::size_t column) {
    const std::string text = column < row.cells.size() ? row.cells[column] : "";
    auto number = cell_number(text, false);
    if (!number && table.delimiter != ',') {
        number = cell_number(text, true);
    }
    if (!number) {
        throw input_error(table.at(row.line),
                          fmt::format("\"{}\" for {}", printable(text), printable(table.rows.front().cells[column])),
                          "a coordinate as a number with a decimal point", "correct it, or take the station out");
    }
    return *number;
}

void require_degrees(const DelimitedText& table, const TextRow& row, Point place) {
    constexpr double kPole = 90.0;
    constexpr double kTurn = 360.0;
    if (std::fabs(place.y) > kPole || std::fabs(place.x) > kTurn) {
        throw input_error(table.at(row.line), fmt::format("longitude {} and latitude {}", place.x, place.y),
                          "degrees: longitudes to 180, latitudes to 90",
                          std::fabs(place.x) <= kPole && std::fabs(place.y) <= kTurn
                              ? "look whether the two are exchanged"
                              : "name the columns x and y if these are coordinates in the footprints' CRS");
    }
}

}  // namespace

std::optional<PlaceColumns> find_place_columns(const std::vector<std::string>& header) {
    constexpr std::array<std::string_view, 20> kId{
        "id",        "stationid", "station", "stnid",       "stn",  "staid",      "stationnumber",
        "stationno", "stnno",     "siteid",  "sitenumber",  "site", "gaugeid",    "gauge",
        "gageid",    "gage",      "code",    "stationcode", "name", "stationname"};
    constexpr std::array<std::string_view, 6> kX{"x", "easting", "east", "xcoord", "coordx", "e"};
    constexpr std::array<std::string_view, 6> kY{"y", "northing", "north", "ycoord", "coordy", "n"};
    constexpr std::array<std::string_view, 6> kLon{"lon", "longitude", "long", "lng", "londeg", "longitudedeg"};
    constexpr std::array<std::string_view, 4> kLat{"lat", "latitude", "latdeg", "latitudedeg"};
    const auto id = find_named(header, kId);
    const auto x = find_named(header, kX);
    const auto y = find_named(header, kY);
    if (x && y) {
        return PlaceColumns{id, *x, *y, false};
    }
    const auto lon = find_named(header, kLon);
    const auto lat = find_named(header, kLat);
    return lon && lat ? std::optional(PlaceColumns{id, *lon, *lat, true}) : std::nullopt;
}

std::vector<std::string> GaugePlaces::ids() const {
    std::vector<std::string> ids;
    for (const GaugePlace& place : places) {
        ids.push_back(place.id);
    }
    return ids;
}

GaugePlaces read_gauge_places(const std::string& setting, const std::string& path, Findings& findings) {
    const DelimitedText table = read_delimited(setting, path);
    const PlaceColumns columns = place_columns(table);
    GaugePlaces places{.where = table.where, .file = table.file, .lon_lat = columns.lon_lat, .places = {}};
    std::map<std::string, std::size_t> lines;
    for (std::size_t i = 1; i < table.rows.size(); ++i) {
        const TextRow& row = table.rows[i];
        const std::string id = *columns.id < row.cells.size() ? row.cells[*columns.id] : "";
        if (id.empty()) {
            throw input_error(table.at(row.line), "a station without an id", kPlacesWanted, "give it one");
        }
        if (const auto [found, is_new] = lines.emplace(id, row.line); !is_new) {
            throw input_error(
                table.at(row.line),
                fmt::format("station '{}' a second time; it stands in line {}", printable(id), found->second),
                "each station once", "take one of them out");
        }
        const Point place{coordinate(table, row, columns.x), coordinate(table, row, columns.y)};
        if (columns.lon_lat) {
            require_degrees(table, row, place);
        }
        places.places.push_back({id, place});
    }
    if (places.places.empty()) {
        findings.warn({table.where, "no station", "a line for each station", "add them, or leave the setting out"});
    }
    return places;
}

std::vector<Point> degrees_of(const GaugePlaces& places, const Crs& footprints) {
    const Crs geographic = footprints.geographic();
    const Transform to_degrees(places.lon_lat ? wgs84() : footprints, geographic, places.where);
    std::vector<Point> degrees;
    for (const GaugePlace& place : places.places) {
        const auto there = to_degrees(place.place);
        if (!there) {
            throw input_error(places.where,
                              fmt::format("station '{}' at {}, {}", printable(place.id), place.place.x, place.place.y),
                              "a place in " + footprints.name(), "correct its coordinates");
        }
        const double unit = geographic.degrees_per_unit();
        degrees.push_back({there->x * unit, there->y * unit});
    }
    return degrees;
}

}  // namespace eaveshed
