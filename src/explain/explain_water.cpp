// From the rain to the winter harvest, and the summer use that storage could replace.
#include <string>

#include "explain_parts.hpp"

namespace eaveshed {

namespace {

// How the rain of the steps comes about.
std::string rain_from(const ExplainedRoof& roof) {
    if (roof.rain_gauges.empty()) {
        return "rain.source, sampled at the roof between the four nearest cells";
    }
    if (roof.rain_gauges.size() == 1) {
        return "rain.source, the gauge below";
    }
    return roof.timeline.kind == RainKind::daily
               ? "rain.source: of each day the first gauge below that has a value"
               : "rain.source: the mean of the gauges below, weighted by 1 / distance squared";
}

// Nearest first, with what their values are taken times.
void add_gauges(const std::string& key, const std::vector<GaugeOfRoof>& gauges, bool factors, SectionWriter& section) {
    if (gauges.empty()) {
        return;
    }
    FactTable table{.key = key,
                    .columns = {{.key = "gauge", .label = "gauge, nearest first"},
                                {.key = "distance_m", .label = "distance, {}", .unit = "m", .decimals = 0}},
                    .rows = {}};
    constexpr int kFactorDecimals = 4;
    if (factors) {
        table.columns.push_back(
            {.key = "factor", .label = "normal at the roof / at the gauge", .decimals = kFactorDecimals});
    }
    for (const GaugeOfRoof& gauge : gauges) {
        std::vector<Value> row{gauge.id, value_of(gauge.use.distance_m)};
        if (factors) {
            row.emplace_back(gauge.use.factor);
        }
        table.rows.push_back(std::move(row));
    }
    section.add(std::move(table));
}

void add_years(const ExplainedRoof& roof, SectionWriter& section) {
    const WaterOutcome& water = *roof.explanation.water;
    if (!roof.timeline.is_series()) {
        section.text("rain_record", "Rain record", "twelve monthly normals: one mean year",
                     from_setting(roof.run.project.settings, "rain", "kind"));
        add_gauges("rain_gauges", roof.rain_gauges, true, section);
        return;
    }
    section.text("rain_record", "Rain record",
                 fmt::format("{} steps from {:04}-{:02}-{:02}", roof.timeline.steps.size(), roof.timeline.first.year,
                             roof.timeline.first.month, roof.timeline.first.day),
                 rain_from(roof));
    add_gauges("rain_gauges", roof.rain_gauges, true, section);
    section.add(Fact{.key = "years_counted",
                     .label = "Tank years counted",
                     .value = static_cast<std::int64_t>(water.record.counted.size()),
                     .unit = "",
                     .from = fmt::format("{} to {}, of {} complete ones; a year with over 5 % of its days missing does "
                                         "not count",
                                         water.record.counted.front().name, water.record.counted.back().name,
                                         roof.timeline.years.size())});
}

void add_roof(const ExplainedRoof& roof, SectionWriter& section) {
    const Settings& settings = roof.run.project.settings;
    const RoofRow& row = roof.explanation.result.roof;
    section.add(Fact{.key = "plan_area_m2",
                     .label = "Plan area",
                     .value = value_of(row.plan_area_m2),
                     .unit = "m2",
                     .decimals = 1,
                     .from = "the footprint, on the ellipsoid"});
    const bool assumed_material = row.flags.has(Flag::default_material);
    const std::string material = roof.roof.facts.material.value_or("");
    const RoofFacts& facts = roof.roof.facts;
    section.text("material", "Material", material.empty() ? "not known" : material,
                 settings.footprints.material.empty() && !is_measured(facts, &RoofFacts::material)
                     ? "no field of materials is given"
                     : from_data(settings, facts, &RoofFacts::material));
    section.add(Fact{.key = "runoff_coefficient",
                     .label = "Runoff coefficient",
                     .value = value_of(row.runoff_coefficient),
                     .unit = "",
                     .decimals = 2,
                     .from = is_measured(facts, &RoofFacts::runoff_coefficient) ? std::string(kMeasured)
                             : assumed_material ? "assumed: " + from_standard(settings, &RoofFacts::material)
                                                : "harvest.runoff_coefficient." + material});
    section.add(Fact{.key = "connected_share",
                     .label = "Share that drains to the tank",
                     .value = value_of(row.connected_share),
                     .unit = "",
                     .decimals = 2,
                     .from = row.flags.has(Flag::default_connected)
                                 ? "assumed: " + from_standard(settings, &RoofFacts::connected_share)
                                 : from_data(settings, facts, &RoofFacts::connected_share)});
}

void add_harvest(const ExplainedRoof& roof, SectionWriter& section) {
    const Settings& settings = roof.run.project.settings;
    const RoofRow& row = roof.explanation.result.roof;
    const auto add = [&](const char* key, const char* label, const Value& value, const char* unit, int decimals,
                         std::string from) {
        section.add(Fact{
            .key = key, .label = label, .value = value, .unit = unit, .decimals = decimals, .from = std::move(from)});
    };
    const std::string fill = months_text(settings.season.fill_months);
    add("fill_rain_mm", "Rain, mean winter", value_of(row.fill_rain_mm), "mm", 0,
        fmt::format("{} (season.fill_months)", fill));
    add("first_flush_mm", "First flush, each event", settings.harvest.first_flush_mm, "mm", 2,
        from_setting(settings, "harvest", "first_flush_mm"));
    add("first_flush_m3", "First flush, mean winter", value_of(row.first_flush_m3), "m3", 1, "led past the tank");
    add("collection_efficiency", "Collection efficiency", settings.harvest.collection_efficiency, "", 2,
        from_setting(settings, "harvest", "collection_efficiency"));
    add("harvest_mean_m3", "Harvest, mean winter", value_of(row.harvest_mean_m3), "m3", 1,
        "area x share x (rain x runoff coefficient - first flush) x efficiency, step by step, summed over " + fill);
    add("harvest_median_m3", "Harvest, every second winter", value_of(row.harvest_median_m3), "m3", 1, "");
    add("harvest_dependable_m3", "Harvest, dependable", value_of(row.harvest_dependable_m3), "m3", 1,
        row.harvest_dependable_m3
            ? fmt::format("reached in {:.0f} % of winters (storage.reliability)", settings.storage.reliability * 100.0)
            : "a mean year knows no dry winter: rain.dry_winter_factor would assume one");
    if (!roof.timeline.is_series() && settings.rain.dry_winter_factor) {
        add("dry_winter_factor", "Assumed dry winter", *settings.rain.dry_winter_factor, "", 2,
            from_setting(settings, "rain", "dry_winter_factor") + "; times the mean year's rain");
    }
}

std::string garden_text(const Take& take, const Settings& settings, const ParcelFacts& facts,
                        const QuantityText& units) {
    if (take.garden_given) {
        return from_data(settings, facts, &ParcelFacts::irrigated_area_m2);
    }
    const std::string assumed = "assumed: " + from_standard(settings, &ParcelFacts::irrigated_area_m2);
    return take.garden_capped ? fmt::format("{}; cut from {} to the ground of the parcel that no roof covers", assumed,
                                            units.plain("m2", settings.demand.garden_m2))
                              : assumed;
}

void add_assumed_use(const ExplainedRoof& roof, SectionWriter& section) {
    const Settings& settings = roof.run.project.settings;
    const Take& take = roof.explanation.water->take;
    const auto add = [&](const char* key, const char* label, double value, const char* unit, int decimals,
                         std::string from) {
        section.add(Fact{
            .key = key, .label = label, .value = value, .unit = unit, .decimals = decimals, .from = std::move(from)});
    };
    const auto setting = [&](const char* key) { return from_setting(settings, "demand", key); };
    const ParcelFacts& facts = facts_of_parcel(roof);
    add("people", "People", take.demand.people, "", 1,
        take.people_given ? from_data(settings, facts, &ParcelFacts::people)
                          : "assumed: " + from_standard(settings, &ParcelFacts::people));
    add("litres_per_person_day", "Use of a person and day", take.demand.litres_per_person_day, "L", 0,
        setting("litres_per_person_day"));
    add("home_share", "Part that roof water may serve", take.demand.home_share, "", 2, setting("home_share"));
    add("garden_m2", "Irrigated garden", take.demand.garden_m2, "m2", 0,
        garden_text(take, settings, facts, section.units()));
    add("crop_coefficient", "Crop coefficient", take.demand.crop_coefficient, "", 2, setting("crop_coefficient"));
    add("rain_effectiveness", "Rain that the soil takes up", take.demand.rain_effectiveness, "", 2,
        setting("rain_effectiveness"));
    if (roof.timeline.kind == RainKind::daily) {
        add("soil_store_mm", "Water that the soil holds", take.demand.soil_store_mm, "mm", 0, setting("soil_store_mm"));
    }
    add("irrigation_efficiency", "Irrigation efficiency", take.demand.irrigation_efficiency, "", 2,
        setting("irrigation_efficiency"));
    FactTable et0{.key = "evapotranspiration",
                  .columns = {{.key = "month", .label = "month"},
                              {.key = "et0_mm_day",
                               .label = "reference evapotranspiration, {}/day",
                               .unit = "mm",
                               .decimals = 2}},
                  .rows = {}};
    for (const int month : settings.season.forbear_months) {
        et0.rows.push_back(
            {std::string(month_name(month)), take.demand.et0_mm_day.at(static_cast<std::size_t>(month - 1))});
    }
    section.add(std::move(et0));
    if (settings.evapotranspiration.source.empty()) {
        add_gauges("temperature_gauges", roof.temperature_gauges, false, section);
    }
}

std::string source_text(const Take& take, const ExplainedRoof& roof, const QuantityText& units) {
    const Settings& settings = roof.run.project.settings;
    switch (take.share_basis) {
        case ShareBasis::given: return from_data(settings, facts_of_parcel(roof), &ParcelFacts::source_share);
        case ShareBasis::well:
            return fmt::format(
                "a shallow well: distance to the stream ({}), demand.transmissivity_m2_day, "
                "demand.storage_coefficient; Jenkins 1968",
                stream_distance_text(facts_of_parcel(roof), settings, units));
        case ShareBasis::assumed_well:
            return fmt::format(
                "assumed of a shallow well: {}; its distance to the stream, demand.transmissivity_m2_day and "
                "demand.storage_coefficient would tell",
                from_setting(settings, "demand", "shallow_well_share"));
        case ShareBasis::source_class: break;
    }
    return "by the kind of source: 1 for creek and spring, 0 for the others";
}

void add_use(const ExplainedRoof& roof, Document& document) {
    const Settings& settings = roof.run.project.settings;
    const Take& take = roof.explanation.water->take;
    SectionWriter section(document, "summer_use", "Summer use that storage could replace");
    if (take.demand.season_use_m3) {
        section.add(Fact{.key = "season_use_m3",
                         .label = "Measured use of the season",
                         .value = *take.demand.season_use_m3,
                         .unit = "m3",
                         .decimals = 1,
                         .from = from_data(settings, facts_of_parcel(roof), &ParcelFacts::season_use_m3) +
                                 "; it stands for home and garden"});
    } else {
        add_assumed_use(roof, section);
    }
    section.add(Fact{.sign = '=',
                     .key = "demand_m3",
                     .label = "Season demand, mean",
                     .value = value_of(roof.explanation.result.roof.demand_m3),
                     .unit = "m3",
                     .decimals = 1,
                     .from = months_text(settings.season.forbear_months) +
                             (roof.parcel ? "; of the whole parcel: not to be summed over its roofs" : "")});
    section.text("water_source", "Water source", std::string(to_text(take.source)),
                 take.source_given ? from_data(settings, facts_of_parcel(roof), &ParcelFacts::water_source)
                 : roof.parcel     ? from_standard(settings, &ParcelFacts::water_source)
                                   : "no parcel, so nothing says where the water comes from");
    section.add(Fact{.key = "source_share",
                     .label = "Part that the creek feels",
                     .value = take.source_share,
                     .unit = "",
                     .decimals = 2,
                     .from = source_text(take, roof, section.units())});
}

}  // namespace

void add_water_sections(const ExplainedRoof& roof, Document& document) {
    if (!roof.explanation.water) {
        return;
    }
    {
        SectionWriter section(document, "water", "Water from the roof");
        add_roof(roof, section);
        add_years(roof, section);
        add_harvest(roof, section);
    }
    add_use(roof, document);
}

}  // namespace eaveshed
