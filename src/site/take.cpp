#include "eaveshed/site/take.hpp"

#include <algorithm>

namespace eaveshed {

namespace {

// Month by month, because a raster may lack some.
void set_et0(const TileRoof& roof, const RoofClimate& climate, double default_mm_day, Take& take) {
    const KnownMonths months = climate.et0_at(roof.climate_place, roof.latitude_deg);
    for (std::size_t i = 0; i < months.size(); ++i) {
        take.demand.et0_mm_day[i] = months[i].value_or(default_mm_day);
        if (!months[i]) {
            take.flags.add(Flag::default_et0);
        }
    }
}

std::optional<double> not_negative(const std::optional<double>& value) {
    return value && *value >= 0.0 ? value : std::nullopt;
}

void set_use(const TileParcel* parcel, const DemandSettings& settings, Take& take) {
    const auto people = parcel != nullptr ? not_negative(parcel->facts.people) : std::nullopt;
    const auto garden = parcel != nullptr ? not_negative(parcel->facts.irrigated_area_m2) : std::nullopt;
    take.people_given = people.has_value();
    take.garden_given = garden.has_value();
    take.demand.people = people.value_or(settings.people);
    take.demand.garden_m2 = garden.value_or(settings.garden_m2);
    if (!garden && parcel != nullptr && parcel->open_ground_m2 && *parcel->open_ground_m2 < take.demand.garden_m2) {
        take.demand.garden_m2 = *parcel->open_ground_m2;
        take.garden_capped = true;
    }
    take.demand.season_use_m3 = parcel != nullptr ? not_negative(parcel->facts.season_use_m3) : std::nullopt;
}

// None where nothing is said of the parcel, or there is none.
const ParcelFacts& facts_of(const ParcelFacts* facts) {
    static const ParcelFacts kNothing;
    return facts != nullptr ? *facts : kNothing;
}

// A roof without a parcel has no field to fall back from: its source is unknown whatever the default.
WaterSource source_of(const ParcelFacts* facts, const Settings& settings) {
    return facts != nullptr ? water_source(facts->water_source, settings.parcels.default_water_source)
                            : WaterSource::unknown;
}

SourceShare share_of(const ParcelFacts* facts, const Settings& settings, const Season& season) {
    return source_share(source_of(facts, settings), facts_of(facts).source_share,
                        {.distance_m = facts_of(facts).stream_distance_m,
                         .transmissivity_m2_day = settings.demand.transmissivity_m2_day,
                         .storage_coefficient = settings.demand.storage_coefficient},
                        settings.demand.shallow_well_share, season.forbear.mean_year_days());
}

void set_source(const ParcelFacts* facts, const Settings& settings, const Season& season, Take& take) {
    const SourceShare share = share_of(facts, settings, season);
    take.source_given = facts_of(facts).water_source && !facts_of(facts).water_source->empty();
    take.source = source_of(facts, settings);
    take.share_basis = share.basis;
    take.source_share = share.share;
}

// Whether a roof covers ground of its parcel that no other row counts.
bool covers_ground(Status status) {
    return status != Status::bad_geometry && status != Status::duplicate;
}

}  // namespace

std::optional<double> open_ground_m2(const std::optional<double>& parcel_area_m2, std::span<const TileRoof> roofs) {
    if (!parcel_area_m2 || !(*parcel_area_m2 > 0.0)) {
        return std::nullopt;
    }
    double covered_m2 = 0.0;
    for (const TileRoof& roof : roofs) {
        covered_m2 += covers_ground(roof.status) ? roof.plan_area_m2.value_or(0.0) : 0.0;
    }
    return std::max(0.0, *parcel_area_m2 - covered_m2);
}

WaterSource water_source(const std::optional<std::string>& field, WaterSource fallback) {
    return field && !field->empty() ? from_text<WaterSource>(*field).value_or(WaterSource::unknown) : fallback;
}

Flags take_flags(const ParcelFacts* facts, const Settings& settings, const Season& season) {
    const ParcelFacts& said = facts_of(facts);
    Flags flags;
    if (!not_negative(said.season_use_m3) && (!not_negative(said.people) || !not_negative(said.irrigated_area_m2))) {
        flags.add(Flag::default_demand);
    }
    const SourceShare share = share_of(facts, settings, season);
    if (share.unknown) {
        flags.add(Flag::unknown_source);
    }
    if (share.basis == ShareBasis::assumed_well) {
        flags.add(Flag::assumed_share);
    }
    return flags;
}

Take summer_take(const TileRoof& roof, const TileParcel* parcel, const RoofClimate& climate, const Settings& settings,
                 const Season& season) {
    const DemandSettings& demand = settings.demand;
    const ParcelFacts* const facts = parcel != nullptr ? &parcel->facts : nullptr;
    Take take;
    take.flags = take_flags(facts, settings, season);
    take.demand.litres_per_person_day = demand.litres_per_person_day;
    take.demand.home_share = demand.home_share;
    take.demand.crop_coefficient = demand.crop_coefficient;
    take.demand.irrigation_efficiency = demand.irrigation_efficiency;
    take.demand.rain_effectiveness = demand.rain_effectiveness;
    take.demand.soil_store_mm = demand.soil_store_mm;
    set_use(parcel, demand, take);
    set_et0(roof, climate, demand.et0_mm_day, take);
    set_source(facts, settings, season, take);
    return take;
}

}  // namespace eaveshed
