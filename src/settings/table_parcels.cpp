// [parcels], [streams], [subbasins], [diversions], [use_points], [[exclusions]], [roads]: who uses water, where it
// counts, and what keeps tanks away.
#include <algorithm>
#include <iterator>

#include "table_parts.hpp"

namespace eaveshed::table_parts {

namespace {

constexpr std::array kEntries{
    Term{"flow", "down the slopes of the ground to the first reach, else the nearest reach"},
    Term{"nearest", "the nearest reach"},
};

constexpr std::string_view kNoSetback = "no tank is kept away from it";

constexpr auto kParcels = &Settings::parcels;
constexpr auto kStreams = &Settings::streams;
constexpr auto kSubbasins = &Settings::subbasins;
constexpr auto kDiversions = &Settings::diversions;
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

std::vector<Setting> stream_layer_settings() {
    using S = StreamSettings;
    constexpr std::string_view kName = "streams";
    return {
        source_of(kName, at<kStreams, &S::from, &LayerSource::source>(),
                  "Vector file with stream lines drawn in the direction of flow; no tank stands within "
                  "stream_setback_m of them, and gains are added up along them.",
                  {.label = "streams",
                   .geometry = GeometryNeed::line,
                   .overlap = Overlap::effect,
                   .elsewhere = kNoSetback,
                   .without =
                       "no tank is kept away from a stream, and gains are not added up by reach, unless streams.derive "
                       "lets the elevations draw the streams"}),
        layer_of(kName, at<kStreams, &S::from, &LayerSource::layer>()),
        {.section = kName,
         .key = "id",
         .kind = Kind::field,
         .access = at<kStreams, &S::id>(),
         .absent = "the feature id",
         .meaning = "Field that names each reach."},
        field_of(kName, "name", at<kStreams, &S::name>(),
                 "Field with the name of the creek, which its reaches share: `rank --creek` asks for it."),
        quantity_of(kName, "low_flow_lps", "L/s", at<kStreams, &S::low_flow_lps>(),
                    "Field with the low flow of each reach, for the share of it that a gain is.",
                    value_ranges::kLowFlowLps),
    };
}

std::vector<Setting> stream_network_settings() {
    using S = StreamSettings;
    constexpr std::string_view kName = "streams";
    return {
        {.section = kName,
         .key = "derive",
         .kind = Kind::flag,
         .access = at<kStreams, &S::derive>(),
         .meaning = "Let the elevations draw the streams, where no lines are given."},
        {.section = kName,
         .key = "stream_area_km2",
         .unit = "km2",
         .range = above(0.0, 1.0e6),
         .access = at<kStreams, &S::stream_area_km2>(),
         .meaning = "Ground that drains through a place where a derived stream begins.",
         .source = kPractice},
        {.section = kName,
         .key = "entry",
         .kind = Kind::choice,
         .access = choice_at<kStreams, &S::entry>(kEntries),
         .meaning = "How an offer without a diversion point finds its reach.",
         .source = kOwn},
        {.section = kName,
         .key = "routing_cell_m",
         .unit = "m",
         .range = above(0.0, 1000.0),
         .access = at<kStreams, &S::routing_cell_m>(),
         .absent = "the elevations' own cells for derived streams; 10 m for the ways to given lines",
         .meaning = "Side of the cells that water is led over: whole cells of the elevations are averaged to at most "
                    "this."},
        {.section = kName,
         .key = "join_m",
         .unit = "m",
         .range = between(0.0, 1000.0),
         .access = at<kStreams, &S::join_m>(),
         .meaning = "Ends of given lines at most this far apart are one place.",
         .source = kOwn},
        {.section = kName,
         .key = "gap_m",
         .unit = "m",
         .range = between(0.0, 10000.0),
         .access = at<kStreams, &S::gap_m>(),
         .meaning = "A line that ends nowhere, with another at most this far away, is told as a gap.",
         .source = kOwn},
        {.section = kName,
         .key = "elevation_slack_m",
         .unit = "m",
         .range = between(0.0, 1000.0),
         .access = at<kStreams, &S::elevation_slack_m>(),
         .meaning = "A given line that ends higher than it begins by more than this runs uphill.",
         .source = kOwn},
        {.section = kName,
         .key = "turn",
         .kind = Kind::flag,
         .access = at<kStreams, &S::turn>(),
         .meaning = "Turn given lines that run uphill."},
    };
}

void append_streams(std::vector<Setting>& table) {
    std::ranges::move(stream_layer_settings(), std::back_inserter(table));
    std::ranges::move(stream_network_settings(), std::back_inserter(table));
}

void append_subbasins(std::vector<Setting>& table) {
    table.insert(
        table.end(),
        {
            source_of(
                "subbasins", at<kSubbasins, &SubbasinSettings::from, &LayerSource::source>(),
                "Vector file with the sub-basins by which roofs and offers are summed.",
                {.label = "sub-basins",
                 .geometry = GeometryNeed::polygon,
                 .overlap = Overlap::effect,
                 .elsewhere = "no roof is in any of them",
                 .without = "the catchments of the streams' reaches are the sub-basins; none where streams.entry is "
                            "nearest"}),
            layer_of("subbasins", at<kSubbasins, &SubbasinSettings::from, &LayerSource::layer>()),
            {.section = "subbasins",
             .key = "id",
             .kind = Kind::field,
             .access = at<kSubbasins, &SubbasinSettings::id>(),
             .absent = "the feature id",
             .meaning = "Field that names each sub-basin."},
        });
}

// Points that belong to parcels, such as use points.
void append_parcel_points(std::string_view section, std::string_view meaning, Access source, Access layer,
                          Access parcel, const InputRole& role, std::vector<Setting>& table) {
    table.insert(table.end(), {
                                  source_of(section, source, meaning, role),
                                  layer_of(section, layer),
                                  {.section = section,
                                   .key = "parcel",
                                   .kind = Kind::field,
                                   .access = parcel,
                                   .absent = "by place",
                                   .meaning = "Field with the id of the parcel that the point belongs to."},
                              });
}

void append_diversions(std::vector<Setting>& table) {
    using D = DiversionSettings;
    append_parcel_points(
        "diversions",
        "Vector file with the points where parcels take their water: there an offer enters its stream, and from there "
        "a "
        "well's distance to it is measured.",
        at<kDiversions, &D::from, &LayerSource::source>(), at<kDiversions, &D::from, &LayerSource::layer>(),
        at<kDiversions, &D::parcel>(),
        {.label = "diversions",
         .geometry = GeometryNeed::point,
         .overlap = Overlap::parts,
         .only_with = {"parcels.source", "diversions without parcels",
                       "give [parcels]: a diversion belongs to a parcel, so these are not used"},
         .without = "an offer enters where the water of its pad or roof runs to, else at the nearest reach"},
        table);
}

void append_use_points(std::vector<Setting>& table) {
    using U = UsePointSettings;
    append_parcel_points("use_points",
                         "Vector file with the points where the water is wanted; else a garden cell stands in.",
                         at<kUsePoints, &U::from, &LayerSource::source>(),
                         at<kUsePoints, &U::from, &LayerSource::layer>(), at<kUsePoints, &U::parcel>(),
                         {.label = "use points",
                          .geometry = GeometryNeed::point,
                          .overlap = Overlap::parts,
                          .only_with = {"parcels.source", "use points without parcels",
                                        "give [parcels]: a use point belongs to a parcel, so these are not used"},
                          .without = "the water is wanted at a cell of the garden"},
                         table);
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
    append_subbasins(table);
    append_diversions(table);
    append_use_points(table);
    append_exclusions(table);
    append_roads(table);
}

}  // namespace eaveshed::table_parts
