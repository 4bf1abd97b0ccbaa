#include "eaveshed/report/basin_shapes.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <unordered_map>

#include "eaveshed/core/error.hpp"
#include "eaveshed/geometry/wkb.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/raster/raster_dataset.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/reach_row.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/vector/vector_source.hpp"

namespace eaveshed {

namespace {

VectorSource open_layer(const std::string& as_input, const std::string& file, std::string_view layer,
                        const std::vector<std::string>& fields) {
    Findings told_when_screened;
    return VectorSource::open(as_input, {.source = file, .layer = std::string(layer)}, fields, "", told_when_screened);
}

bool is_finite(const MultiPolygon& outline) {
    const auto finite = [](const Point& point) { return std::isfinite(point.x) && std::isfinite(point.y); };
    return std::ranges::all_of(outline.parts, [&](const Polygon& part) {
        return std::ranges::all_of(part.outer, finite) &&
               std::ranges::all_of(part.holes, [&](const Ring& hole) { return std::ranges::all_of(hole, finite); });
    });
}

void read_outlines(const std::string& file, const BasinRows& rows, BasinShapes& shapes) {
    const bool parcels = rows.facts.of_parcels();
    VectorSource layer =
        open_layer(parcels ? "parcels" : "footprints", file, parcels ? ParcelRow::kTable.name : RoofRow::kTable.name,
                   {std::string(parcels ? column_name(&ParcelRow::parcel_id) : column_name(&RoofRow::roof_id))});
    shapes.crs = layer.info().crs;
    Feature feature;
    for (const PlaceRow& place : rows.places) {
        if (!layer.next(feature) || feature.values.front().value_or("") != place.id) {
            throw input_error(file, "a layer whose shapes are not those of its rows", "the output of a screening",
                              "screen the basin again");
        }
        auto outline = wkb_polygons(feature.wkb);
        shapes.outlines.push_back(outline && is_finite(outline->outline) ? std::move(outline->outline)
                                                                         : MultiPolygon{});
    }
}

void read_pads(const std::string& file, const BasinRows& rows, BasinShapes& shapes) {
    const bool parcels = rows.facts.of_parcels();
    std::unordered_map<std::string_view, std::size_t> wanted;
    for (std::size_t i = 0; i < rows.places.size(); ++i) {
        if (rows.places[i].can_be_asked) {
            wanted.emplace(rows.places[i].id, i);
        }
    }
    const std::vector<std::string> fields{
        std::string(parcels ? column_name(&PadRow::parcel_id) : column_name(&PadRow::roof_id)),
        std::string(column_name(&PadRow::level)), std::string(column_name(&PadRow::delivery))};
    VectorSource layer = open_layer("use_points", file, PadRow::kTable.name, fields);
    const std::string_view level = to_text(parcels ? PadLevel::parcel : PadLevel::roof);
    Feature feature;
    while (layer.next(feature)) {
        const auto place = wkb_point(feature.wkb);
        const auto delivery = from_text<Delivery>(feature.values[2].value_or(""));
        const std::string id = feature.values[0].value_or("");
        const auto row = wanted.find(id);
        if (place && delivery && feature.values[1].value_or("") == level && row != wanted.end()) {
            shapes.pads.push_back({*place, *delivery, row->second});
        }
    }
}

void read_reaches(const std::string& file, BasinShapes& shapes) {
    VectorSource layer = open_layer("streams", file, ReachRow::kTable.name, {});
    Feature feature;
    while (layer.next(feature)) {
        for (Line& line : wkb_lines(feature.wkb)) {
            shapes.streams.push_back(std::move(line));
        }
    }
}

// Where the elevations are that were screened; none where one is not there any more, which the page then says. What the
// inputs' own errors say stays out of it: it names folders of this machine.
std::optional<TerrainSettings> elevations_there(const BasinRows& rows, const std::string& project, BasinShapes& shapes,
                                                Findings& findings) {
    constexpr std::array<std::string_view, 1> kNeeded{"terrain.elevation"};
    try {
        const Project found = recorded_project(rows.facts.settings, rows.facts.file(), project, kNeeded);
        static_cast<void>(expand_paths(std::string(kNeeded.front()), found.resolved.terrain.elevation));
        return found.resolved.terrain;
    } catch (const Error& error) {
        if (error.fault() != Fault::input) {
            throw;
        }
        findings.warn(error.trouble());
        shapes.left_out.emplace_back(
            "The map is without the lie of the land: the input was not found when the page was made.");
        return std::nullopt;
    }
}

}  // namespace

Box extent_of(const BasinRows& rows, const BasinShapes& shapes) {
    Box asked;
    Box all;
    for (std::size_t i = 0; i < shapes.outlines.size(); ++i) {
        if (!shapes.outlines[i].empty()) {
            const Box box = bounds(shapes.outlines[i]);
            all.add(box);
            if (rows.places[i].can_be_asked) {
                asked.add(box);
            }
        }
    }
    return asked.empty() ? all : asked;
}

BasinShapes read_shapes(const std::string& file, const BasinRows& rows) {
    BasinShapes shapes;
    read_outlines(file, rows, shapes);
    read_pads(file, rows, shapes);
    if (rows.reaches.value_or(0) > 0) {
        read_reaches(file, shapes);
    } else if (!rows.reaches && rows.facts.settings.streams.given()) {
        shapes.left_out.emplace_back("The map is without streams: an earlier version made the file.");
    }
    return shapes;
}

void read_ground(BasinShapes& shapes, const BasinRows& rows, const std::string& project, const Box& shown,
                 double cell_m, Findings& findings) {
    const auto terrain = elevations_there(rows, project, shapes, findings);
    if (!terrain) {
        return;
    }
    // They were read when the basin was screened: what refuses them now, a disk or a machine without memory, may read
    // them tomorrow, and no page without them is handed out.
    Findings told_when_screened;
    shapes.relief = read_relief(*terrain, shapes.crs, shown, cell_m, told_when_screened);
    if (!shapes.relief) {
        shapes.left_out.emplace_back(
            "The map is without the lie of the land: the elevations are too many to draw, or lie elsewhere.");
    }
}

}  // namespace eaveshed
