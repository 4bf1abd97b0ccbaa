#include "eaveshed/revisit/properties.hpp"

#include <cmath>
#include <numbers>

namespace eaveshed {

namespace {

// Of a row of tanks: the bearing that the file has, from the elevation grid's north, and that of a compass without its
// declination.
std::optional<double> true_bearing_of_row(const Property& property, const RunPlaces& places) {
    const PadRow& row = property.pad->row;
    if (!row.row_bearing_deg || !property.map) {
        return std::nullopt;
    }
    constexpr double kHalfTurn = 180.0;
    constexpr double kHalfM = 50.0;
    const double angle = *row.row_bearing_deg * std::numbers::pi / kHalfTurn;
    const LocalFrame& frame = property.map->frame;
    const Point pad = frame.to_metres(row.place);
    const auto end = [&](double along_m) {
        return frame.from_metres({pad.x + along_m * std::sin(angle), pad.y + along_m * std::cos(angle)});
    };
    const auto bearing = places.true_bearing_deg(end(-kHalfM), end(kHalfM));
    return bearing ? std::optional(std::fmod(*bearing, kHalfTurn)) : std::nullopt;
}

void locate(const Revisit& run, const ParcelExplanation& explanation, Property& property) {
    const RunPlaces& places = run.places();
    for (std::size_t i = 0; i < property.roofs.size(); ++i) {
        property.roofs[i].place = roof_place(run, static_cast<std::uint32_t>(explanation.roofs[i].ordinal));
    }
    if (!property.pad) {
        return;
    }
    PropertyPad& pad = *property.pad;
    pad.place = places.from_terrain(pad.row.place);
    pad.use_place = places.from_terrain(property.section.value().use_place);
    for (PropertyTank& tank : pad.tanks) {
        tank.place = places.from_terrain(tank.middle);
    }
    pad.row_true_bearing_deg = true_bearing_of_row(property, places);
}

}  // namespace

Property property(Revisit& run, const ResultReader& result, const std::string& parcel_id) {
    RevisitedParcel parcel = revisit_parcel(run, result, parcel_id);
    static const std::vector<TileRoof> kNoRoofs;
    TileInput* const tile = parcel.tile ? &*parcel.tile : nullptr;
    const PropertyTask task{.parcel_id = parcel.parcel_id,
                            .roof_ids = parcel.roof_ids,
                            .explanation = parcel.explanation,
                            .ranked = parcel.ranked,
                            .parcel = tile != nullptr ? &*tile->sites.front().parcel : nullptr,
                            .roofs = tile != nullptr ? tile->sites.front().roofs : kNoRoofs,
                            .tile = tile,
                            .settings = run.settings()};
    if (tile != nullptr) {
        run.load_ground(property_ground_needed(task), *tile);
    }
    Property found = property_of(task);
    locate(run, parcel.explanation, found);
    return found;
}

std::vector<Property> properties(Revisit& run, const ResultReader& result, const std::vector<std::string>& parcel_ids) {
    std::vector<Property> found;
    found.reserve(parcel_ids.size());
    for (const std::string& id : parcel_ids) {
        found.push_back(property(run, result, id));
    }
    return found;
}

}  // namespace eaveshed
