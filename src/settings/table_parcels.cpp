// [parcels], [streams], [use_points], [[exclusions]], [roads]: who uses water, where it counts, and what
// keeps tanks away.
#include "table_parts.hpp"

namespace eaveshed::table_parts {

namespace {

constexpr std::string_view kNoSetback = "no tank is kept away from it";

constexpr auto kParcels = &Settings::parcels;
constexpr auto kStreams = &Settings::streams;
constexpr auto kUsePoints = &Settings::use_points;
constexpr auto kExclusions = &Settings::exclusions;
constexpr auto kRoads = &Settings::roads;

Setting source_of(std::string_view section, Access access, std::string_view meaning, const InputRole& role) {
    return {
        .section = section, .key = "source", .kind = Kind::path, .access = access, .meaning = meaning, .role = role};
}

Setting layer_of(std::string_view section, Access access) {
    return {.section = section,
            .key = "layer",
            .kind = Kind::text,
            .access = access,
            .absent = "the only layer",
            .meaning = "Layer of the file, where it has several."};
}

Setting field_of(std::string_view section, std::string_view key, Access access, std::string_view meaning,
                 const Range& values = {}) {
    return {
        .section = section, .key = key, .kind = Kind::field, .access = access, .meaning = meaning, .values = values};
}

// Of numbers that have the unit, unless it is stated with the field or with the number.
Setting quantity_of(std::string_view section, std::string_view key, std::string_view unit, Access access,
                    std::string_view meaning, const Range& values) {
    return {.section = section,
            .key = key,
            .kind = Kind::quantity,
            .unit = unit,
            .access = access,
            .meaning = meaning,
            .values = values};
}

void append_parcels(std::vector<Setting>& table) {
    using P = ParcelSettings;
    constexpr std::string_view kName = "parcels";
    table.insert(
        table.end(),
        {
            source_of(kName, at<kParcels, &P::from, &LayerSource::source>(), "Vector file with the parcels.",
                      {.label = "parcels",
                       .geometry = GeometryNeed::polygon,
                       .overlap = Overlap::parts,
                       .without = "each roof is taken as a household of its own, and where its water comes from is "
                                  "not known"}),
            layer_of(kName, at<kParcels, &P::from, &LayerSource::layer>()),
            {.section = kName,
             .key = "id",
             .kind = Kind::field,
             .access = at<kParcels, &P::id>(),
             .absent = "the feature id",
             .meaning = "Field that names each parcel."},
            field_of(kName, "people", at<kParcels, &P::people>(), "Field with the number of people who live there.",
                     value_ranges::kPeople),
            quantity_of(kName, "irrigated_area_m2", "m2", at<kParcels, &P::irrigated_area_m2>(),
                        "Field with the watered area.", value_ranges::kIrrigatedAreaM2),
            quantity_of(kName, "season_use_m3", "m3", at<kParcels, &P::season_use_m3>(),
                        "Field with the measured use over the forbearance months; it replaces the computed demand.",
                        value_ranges::kSeasonUseM3),
            field_of(kName, "water_source", at<kParcels, &P::water_source>(),
                     "Field with the source of the summer water: creek, spring, shallow_well, deep_well, mains or "
                     "unknown."),
            {.section = kName,
             .key = "default_water_source",
             .kind = Kind::choice,
             .access = choice_at<kParcels, &P::default_water_source>(terms_of<WaterSource>()),
             .meaning = "The source assumed where that field says nothing.",
             .source = "choice of this program: a gain is counted only where the source is known"},
            field_of(kName, "source_share", at<kParcels, &P::source_share>(),
                     "Field with the share (0 to 1) of the take that the creek feels within the season; it overrides "
                     "the water source.",
                     value_ranges::kShare),
            quantity_of(kName, "stream_distance_m", "m", at<kParcels, &P::stream_distance_m>(),
                        "Field with a shallow well's distance to the nearest stream.", value_ranges::kStreamDistanceM),
            quantity_of(kName, "pump_lps", "L/s", at<kParcels, &P::pump_lps>(),
                        "Field with the flow of the pump that could stay off: a peak, never added up.",
                        value_ranges::kPumpLps),
            quantity_of(kName, "existing_storage_m3", "m3", at<kParcels, &P::existing_storage_m3>(),
                        "Field with the storage already there.", value_ranges::kStorageM3),
            field_of(kName, "owner_key", at<kParcels, &P::owner_key>(),
                     "Field that is equal for parcels of one owner."),
            field_of(kName, "status", at<kParcels, &P::status>(),
                     "Field with the state of talks: enrolled, declined or do-not-contact leave a parcel out of "
                     "the ranking, and so does a word that is not known."),
            {.section = kName,
             .key = "carry",
             .kind = Kind::fields,
             .access = at<kParcels, &P::carry>(),
             .meaning = "Fields for call lists, such as names and telephones; they never enter the GeoPackage."},
        });
}

void append_streams(std::vector<Setting>& table) {
    using S = StreamSettings;
    constexpr std::string_view kName = "streams";
    table.insert(table.end(), {
                                  source_of(kName, at<kStreams, &S::from, &LayerSource::source>(),
                                            "Vector file with stream lines drawn in the direction of flow; no tank "
                                            "stands within stream_setback_m of them.",
                                            {.label = "streams",
                                             .geometry = GeometryNeed::line,
                                             .overlap = Overlap::effect,
                                             .elsewhere = kNoSetback,
                                             .without = "no tank is kept away from a stream"}),
                                  layer_of(kName, at<kStreams, &S::from, &LayerSource::layer>()),
                              });
}

void append_use_points(std::vector<Setting>& table) {
    table.insert(table.end(),
                 {
                     source_of("use_points", at<kUsePoints, &UsePointSettings::from, &LayerSource::source>(),
                               "Vector file with the points where the water is wanted; else a garden cell stands in.",
                               {.label = "use points",
                                .geometry = GeometryNeed::point,
                                .overlap = Overlap::parts,
                                .only_with = {"parcels.source", "use points without parcels",
                                              "give [parcels]: a use point belongs to a parcel, so these are not "
                                              "used"},
                                .without = "the water is wanted at a cell of the garden"}),
                     layer_of("use_points", at<kUsePoints, &UsePointSettings::from, &LayerSource::layer>()),
                     {.section = "use_points",
                      .key = "parcel",
                      .kind = Kind::field,
                      .access = at<kUsePoints, &UsePointSettings::parcel>(),
                      .absent = "by place",
                      .meaning = "Field with the id of the parcel that the point belongs to."},
                 });
}

void append_exclusions(std::vector<Setting>& table) {
    using E = ExclusionSettings;
    table.insert(
        table.end(),
        {
            {.section = "exclusions",
             .key = "source",
             .kind = Kind::path,
             .access = at<kExclusions, &E::from, &LayerSource::source>(),
             .required = true,
             .meaning = "Vector file of areas where no tank may stand, such as septic fields or floodplains, or "
                        "of lines and points that tanks keep away from, such as roads, mains or wells.",
             .role = InputRole{.label = "exclusion",
                               .geometry = GeometryNeed::shape,
                               .overlap = Overlap::effect,
                               .elsewhere = kNoSetback,
                               .without = "tanks may stand wherever the other rules let them",
                               .late = 2}},
            layer_of("exclusions", at<kExclusions, &E::from, &LayerSource::layer>()),
            {.section = "exclusions",
             .key = "setback_m",
             .unit = "m",
             .range = between(0.0, 1000.0),
             .access = at<kExclusions, &E::setback_m>(),
             .meaning = "Distance that a pad keeps from these areas, lines or points; a road drawn as a line needs "
                        "half its width in it."},
            {.section = "exclusions",
             .key = "name",
             .kind = Kind::text,
             .access = at<kExclusions, &E::name>(),
             .meaning = "What they are called in explanations."},
        });
}

void append_roads(std::vector<Setting>& table) {
    table.insert(table.end(),
                 {
                     source_of("roads", at<kRoads, &RoadSettings::from, &LayerSource::source>(),
                               "Vector file with road lines, or with road areas, of which the edges count: for the "
                               "distance from a pad to fire access.",
                               {.label = "roads",
                                .geometry = GeometryNeed::line_or_polygon,
                                .overlap = Overlap::effect,
                                .elsewhere = "no pad has a road near it",
                                .without = "the distance from a pad to a road is not known",
                                .late = 1}),
                     layer_of("roads", at<kRoads, &RoadSettings::from, &LayerSource::layer>()),
                     {.section = "roads",
                      .key = "max_distance_m",
                      .unit = "m",
                      .range = between(0.0, 5000.0),
                      .access = at<kRoads, &RoadSettings::max_distance_m>(),
                      .meaning = "Roads farther from a pad than this are not looked for: its road columns are null.",
                      .source = kOwn},
                 });
}

}  // namespace

void append_parcel_settings(std::vector<Setting>& table) {
    append_parcels(table);
    append_streams(table);
    append_use_points(table);
    append_exclusions(table);
    append_roads(table);
}

}  // namespace eaveshed::table_parts
