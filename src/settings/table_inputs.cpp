// [basin], [footprints], [terrain], [canopy], [overrides]: the project and what stands on the ground.
#include "table_parts.hpp"

namespace eaveshed::table_parts {

namespace {

constexpr std::array kOutlines{
    Term{"roof", "the edges of roofs"},
    Term{"walls", "outer walls, which are grown by overhang_m"},
};
constexpr std::array kVerticalUnits{
    Term{"from the file", "as the file says, else metres"},
    Term{"m", "metres"},
    Term{"ft", "international feet"},
    Term{"us-ft", "US survey feet"},
};
constexpr std::array kSurfaceKinds{
    Term{"elevation", "elevations, above the same datum as terrain.elevation"},
    Term{"height", "heights above the ground"},
};

constexpr auto kBasin = &Settings::basin;
constexpr auto kFootprints = &Settings::footprints;
constexpr auto kTerrain = &Settings::terrain;
constexpr auto kOverrides = &Settings::overrides;
constexpr auto kContacts = &Settings::contacts;

void append_basin(std::vector<Setting>& table) {
    table.insert(table.end(), {
                                  {.section = "basin",
                                   .key = "name",
                                   .kind = Kind::text,
                                   .access = at<kBasin, &BasinSettings::name>(),
                                   .meaning = "What the basin is called in the output."},
                                  {.section = "basin",
                                   .key = "output",
                                   .kind = Kind::path,
                                   .access = at<kBasin, &BasinSettings::output>(),
                                   .meaning = "The GeoPackage to write; the option -o overrides it."},
                              });
}

void append_footprints(std::vector<Setting>& table) {
    table.insert(
        table.end(),
        {
            {.section = "footprints",
             .key = "source",
             .kind = Kind::path,
             .access = at<kFootprints, &FootprintSettings::from, &LayerSource::source>(),
             .required = true,
             .meaning = "Vector file with one polygon for each roof.",
             .role = InputRole{.label = "footprints", .geometry = GeometryNeed::polygon, .overlap = Overlap::measure}},
            {.section = "footprints",
             .key = "layer",
             .kind = Kind::text,
             .access = at<kFootprints, &FootprintSettings::from, &LayerSource::layer>(),
             .absent = "the only layer",
             .meaning = "Layer of the file, where it has several."},
            {.section = "footprints",
             .key = "id",
             .kind = Kind::field,
             .access = at<kFootprints, &FootprintSettings::id>(),
             .absent = "the feature id",
             .meaning = "Field that names each roof in the output and in explain."},
            {.section = "footprints",
             .key = "where",
             .kind = Kind::text,
             .access = at<kFootprints, &FootprintSettings::where>(),
             .absent = "every feature",
             .meaning =
                 "Attribute filter in SQL: only features that pass are read. Buildings that it leaves out keep no tank "
                 "away: name them under [[exclusions]] too."},
            {.section = "footprints",
             .key = "outline",
             .kind = Kind::choice,
             .access = choice_at<kFootprints, &FootprintSettings::outline>(kOutlines),
             .meaning = "What the polygons show.",
             .source = "outlines drawn from aerial images are mostly roof edges"},
            {.section = "footprints",
             .key = "overhang_m",
             .unit = "m",
             .range = between(0.0, 10.0),
             .access = at<kFootprints, &FootprintSettings::overhang_m>(),
             .meaning = "How far the roof reaches beyond the walls, all round; only for outline = \"walls\".",
             .source = kPractice},
        });
}

// What the data say of each roof, and which of them are computed.
void append_footprint_fields(std::vector<Setting>& table) {
    table.insert(
        table.end(),
        {
            {.section = "footprints",
             .key = "material",
             .kind = Kind::field,
             .access = at<kFootprints, &FootprintSettings::material>(),
             .meaning = "Field with the roof's material, looked up in [harvest.runoff_coefficient]."},
            {.section = "footprints",
             .key = "storeys",
             .kind = Kind::field,
             .access = at<kFootprints, &FootprintSettings::storeys>(),
             .meaning = "Field with the number of storeys, for the eave's height.",
             .values = value_ranges::kStoreys},
            {.section = "footprints",
             .key = "eave_height",
             .kind = Kind::quantity,
             .unit = "m",
             .access = at<kFootprints, &FootprintSettings::eave_height>(),
             .meaning = "Field with the gutter's height above the ground.",
             .values = value_ranges::kEaveHeightM},
            {.section = "footprints",
             .key = "connected_share",
             .kind = Kind::field,
             .access = at<kFootprints, &FootprintSettings::connected_share>(),
             .meaning = "Field with the share (0 to 1) of the roof that drains to collected downspouts.",
             .values = value_ranges::kShare},
            {.section = "footprints",
             .key = "parcel",
             .kind = Kind::field,
             .access = at<kFootprints, &FootprintSettings::parcel>(),
             .absent = "by place",
             .meaning = "Field with the id of the roof's parcel; otherwise the parcel around it is taken."},
            {.section = "footprints",
             .key = "min_area_m2",
             .unit = "m2",
             .range = between(0.0, 10000.0),
             .access = at<kFootprints, &FootprintSettings::min_area_m2>(),
             .meaning = "Roofs of a smaller plan area are listed as too_small and not computed.",
             .source = kOwn},
            {.section = "footprints",
             .key = "overlap_share",
             .range = between(0.0, 1.0),
             .access = at<kFootprints, &FootprintSettings::overlap_share>(),
             .meaning = "Two footprints that share more than this part of the smaller one's area are flagged overlaps.",
             .source = kOwn},
        });
}

void append_terrain(std::vector<Setting>& table) {
    table.insert(
        table.end(),
        {
            {.section = "terrain",
             .key = "elevation",
             .kind = Kind::paths,
             .access = at<kTerrain, &TerrainSettings::elevation>(),
             .required = true,
             .meaning = "Elevation of the bare ground: one raster, a list of tiles, a glob, or a VRT.",
             .role = InputRole{.kind = InputKind::raster, .label = "elevation", .overlap = Overlap::all}},
            {.section = "terrain",
             .key = "vertical_unit",
             .kind = Kind::choice,
             .access = choice_at<kTerrain, &TerrainSettings::vertical_unit>(kVerticalUnits, 1),
             .meaning = "Unit of the elevation and surface values. A surface that states another unit is read as it "
                        "states."},
            {.section = "terrain",
             .key = "nodata",
             .access = at<kTerrain, &TerrainSettings::nodata>(),
             .absent = "as the file says",
             .meaning =
                 "Number that marks cells without an elevation, in the numbers of the file, beside what the file "
                 "itself declares."},
            {.section = "terrain",
             .key = "band",
             .kind = Kind::whole_number,
             .range = between(0.0, 65535.0),
             .access = at<kTerrain, &TerrainSettings::band>(),
             .meaning = "Band of the elevation raster that holds the heights, from 1; 0: the only one."},
            {.section = "terrain",
             .key = "surface",
             .kind = Kind::paths,
             .access = at<kTerrain, &TerrainSettings::surface>(),
             .meaning = "Raster with the tops of roofs and trees, from which the eave's elevation is read.",
             .role = InputRole{.kind = InputKind::raster,
                               .label = "surface",
                               .overlap = Overlap::all,
                               .without = "the eave's height is that of the footprints' field, or follows from the "
                                          "storeys"}},
            {.section = "terrain",
             .key = "surface_kind",
             .kind = Kind::choice,
             .access = choice_at<kTerrain, &TerrainSettings::surface_kind>(kSurfaceKinds),
             .meaning = "What the surface raster holds."},
            {.section = "terrain",
             .key = "surface_nodata",
             .access = at<kTerrain, &TerrainSettings::surface_nodata>(),
             .absent = "as the file says",
             .meaning = "Number that marks cells without a value in the surface raster, beside what the file itself "
                        "declares."},
            {.section = "terrain",
             .key = "surface_band",
             .kind = Kind::whole_number,
             .range = between(0.0, 65535.0),
             .access = at<kTerrain, &TerrainSettings::surface_band>(),
             .meaning = "Band of the surface raster that holds the heights, from 1; 0: the only one."},
            {.section = "terrain",
             .key = "rmse_m",
             .unit = "m",
             .range = between(0.0, 100.0),
             .access = at<kTerrain, &TerrainSettings::rmse_m>(),
             .absent = "a tenth of the larger cell side, at least 0.15 m",
             .meaning = "Vertical error (root mean square) of the elevations; it decides how certain gravity flow is.",
             .source = "without it: between the errors published of sets with cells of 1, 10 and 30 m"},
            {.section = "terrain",
             .key = "coarse_cell_m",
             .unit = "m",
             .range = above(0.0, 10000.0),
             .access = at<kTerrain, &TerrainSettings::coarse_cell_m>(),
             .meaning = "Elevations whose cells are wider give a first guess of heights: flag coarse_elevation.",
             .source = kOwn},
        });
}

void append_extras(std::vector<Setting>& table) {
    table.insert(
        table.end(),
        {
            {.section = "canopy",
             .key = "source",
             .kind = Kind::paths,
             .access = at<&Settings::canopy>(),
             .meaning = "Raster of canopy heights above the ground: how much of each pad lies under trees. "
                        "Metres, unless the file says feet.",
             .role = InputRole{.kind = InputKind::raster,
                               .label = "canopy",
                               .overlap = Overlap::effect,
                               .elsewhere = "no pad's canopy is known",
                               .without = "how much of a pad lies under trees is not known"}},
            {.section = "overrides",
             .key = "source",
             .kind = Kind::path,
             .access = at<kOverrides, &OverrideSettings::from, &LayerSource::source>(),
             .meaning =
                 "Table (CSV, XLSX) or layer of measured values by roof_id or parcel_id; they win over any input "
                 "(`eaveshed help overrides`).",
             .role = InputRole{.kind = InputKind::measured_values,
                               .label = "overrides",
                               .crs = CrsDuty::as_footprints,
                               .without = "the other inputs and the assumed values stand as they are"}},
            {.section = "overrides",
             .key = "layer",
             .kind = Kind::text,
             .access = at<kOverrides, &OverrideSettings::from, &LayerSource::layer>(),
             .absent = "the only layer",
             .meaning = "Layer of that file, where it has several."},
            {.section = "overrides",
             .key = "former",
             .kind = Kind::path,
             .access = at<kOverrides, &OverrideSettings::former>(),
             .meaning = "GeoPackage of an earlier screening, made with the ids that the table names: its "
                        "outlines carry the values over to re-issued footprints and parcels.",
             .role =
                 InputRole{.kind = InputKind::earlier_result,
                           .only_with = {"overrides.source", "an earlier screening without a table of measured values",
                                         "give overrides.source too, or leave this out: it is not used"},
                           .without = "a measured value finds its roof or parcel by id, or by the "
                                      "outline that the table itself has"}},
            {.section = "contacts",
             .key = "source",
             .kind = Kind::path,
             .access = at<kContacts, &ContactSettings::from, &LayerSource::source>(),
             .meaning = "A call list that people have filled in (XLSX or CSV): columns `Parcel id` and `Status`, as "
                        "`eaveshed rank` writes them; it wins over parcels.status.",
             .role = InputRole{.kind = InputKind::call_list,
                               .label = "contacts",
                               .crs = CrsDuty::as_footprints,
                               .only_with = {"parcels.source", "a call list without parcels",
                                             "give parcels.source too, or leave this out: it is not used"},
                               .without = "how far talks are is what the parcels and measured values say"}},
            {.section = "contacts",
             .key = "layer",
             .kind = Kind::text,
             .access = at<kContacts, &ContactSettings::from, &LayerSource::layer>(),
             .absent = "the only sheet",
             .meaning = "Sheet of that file, where it has several."},
        });
}

}  // namespace

void append_input_settings(std::vector<Setting>& table) {
    append_basin(table);
    append_footprints(table);
    append_footprint_fields(table);
    append_terrain(table);
    append_extras(table);
}

}  // namespace eaveshed::table_parts
