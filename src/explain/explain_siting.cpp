// Gutter, use point, the window between them, and which cells are left for a pad.
#include <numeric>
#include <string>

#include "eaveshed/explain/siting_rules.hpp"
#include "eaveshed/settings/table.hpp"
#include "explain_parts.hpp"

namespace eaveshed {

namespace {

std::string ground_text(const Settings& settings, EaveBasis basis) {
    if (basis == EaveBasis::elevation) {
        return "median of the ground along the roof's edge";
    }
    switch (settings.siting.eave_from) {
        case EaveFrom::low: return "lowest ground along the roof's edge (siting.eave_from)";
        case EaveFrom::high: return "highest ground along the roof's edge (siting.eave_from)";
        case EaveFrom::mid: break;
    }
    return "median of the ground along the roof's edge (siting.eave_from)";
}

struct EaveWords {
    std::string height;
    const char* sd_key;
};

EaveWords eave_words(const ExplainedRoof& roof, const QuantityText& units) {
    const Settings& settings = roof.run.project.settings;
    switch (roof.explanation.eave->basis) {
        case EaveBasis::elevation:
            return {"the measured elevation (overrides, eave_elev_m) less that ground", "eave_sd_field_m"};
        case EaveBasis::field:
            return {from_data(settings, roof.roof.facts, &RoofFacts::eave_height_m), "eave_sd_field_m"};
        case EaveBasis::surface:
            return {"terrain.surface: a tenth of its cells inside the roof lie lower", "eave_sd_surface_m"};
        case EaveBasis::storeys:
            return {fmt::format("{:g} x {}: storeys, {}; {}", roof.roof.facts.storeys.value_or(0.0),
                                units.plain("m", settings.siting.storey_height_m),
                                from_field(settings, &RoofFacts::storeys),
                                from_setting(settings, "siting", "storey_height_m")),
                    "eave_sd_storeys_m"};
        case EaveBasis::standard_height: break;
    }
    return {"assumed, nothing is known: " + from_standard(settings, &RoofFacts::eave_height_m), "eave_sd_default_m"};
}

void add_eave(const ExplainedRoof& roof, Document& document) {
    const RoofExplanation& explanation = roof.explanation;
    SectionWriter section(document, "eave", "The gutter");
    if (!explanation.eave) {
        section.say("There is no elevation along the roof's edge, so nothing can be said of heights.");
        return;
    }
    const Settings& settings = roof.run.project.settings;
    const EaveWords words = eave_words(roof, section.units());
    section.add(metres(' ', "ground_elev_m", "Ground", explanation.eave->ground_elev_m,
                       ground_text(settings, explanation.eave->basis)));
    section.add(metres('+', "eave_height_m", "Gutter above the ground", explanation.eave->height_m, words.height));
    section.add(metres('=', "eave_elev_m", "Gutter", explanation.eave->elev_m, "elevation above datum"));
    section.add(metres(' ', "eave_sd_m", "Uncertainty (standard deviation)", explanation.eave->sd_m,
                       from_setting(settings, "siting", words.sd_key)));
    const RoofRow& row = roof.explanation.result.roof;
    if (row.leaves_share) {
        section.add(
            amount(' ', "leaves_share", "Ring around the roof under canopy", *row.leaves_share, "", 2,
                   fmt::format("canopy.source, within {} (notes.canopy_ring_m); over {:g} gutters and screens "
                               "are cleaned more than once a year (notes.canopy_share)",
                               section.units().plain("m", settings.notes.canopy_ring_m), settings.notes.canopy_share)));
    }
    if (row.freeze_months_count) {
        section.add(amount(' ', "freeze_months_count", "Months that freeze", *row.freeze_months_count, "", 0,
                           "temperature.minimum, mean daily minimum below 0 C"));
    }
}

void add_use_point(const ExplainedRoof& roof, Document& document) {
    const Settings& settings = roof.run.project.settings;
    const SitingExplanation& siting = *roof.explanation.siting;
    const auto& point = roof.explanation.result.use_point;
    SectionWriter section(document, "use_point", "Where the water is wanted");
    section.add(Fact{.key = "garden_cells",
                     .label = "Garden cells",
                     .value = static_cast<std::int64_t>(siting.garden_cells),
                     .unit = "",
                     .from = fmt::format("{}, within {} of the roof (siting.max_feed_m), at most {:g} % steep "
                                         "(siting.garden_max_slope_pct), not built on",
                                         roof.parcel ? "inside the parcel" : "nearer to this roof than to another",
                                         section.units().plain("m", settings.siting.max_feed_m),
                                         settings.siting.garden_max_slope_pct)});
    section.add(Fact{.key = "garden_m2",
                     .label = "Garden that they stand for",
                     .value = siting.garden_m2,
                     .unit = "m2",
                     .decimals = 0,
                     .from = from_setting(settings, "siting", "garden_step_m")});
    if (!point) {
        section.say("No use point is given and no garden cell is found, so no place can be judged.");
        return;
    }
    section.add(metres(
        ' ', "use_elev_m", "Ground at the use point", value_of(point->use_elev_m),
        point->assumed ? fmt::format("assumed: the garden cell with {:g} % of the cells no higher; {}",
                                     settings.siting.garden_percentile, from_standard(settings, &ParcelFacts::use_x))
        : is_measured(facts_of_parcel(roof), &ParcelFacts::use_x)
            ? "given: " + std::string(kMeasured)
            : std::string("given: a point of use_points.source for this parcel")));
}

void add_window(const ExplainedRoof& roof, Document& document) {
    const Settings& settings = roof.run.project.settings;
    const RoofExplanation& explanation = roof.explanation;
    const SitingExplanation& siting = *explanation.siting;
    const StorageOption& chosen = explanation.options.at(explanation.chosen);
    const auto setting = [&](const char* key) { return from_setting(settings, "siting", key); };
    const double reserve_m = tanks_of(chosen, settings).reserve_depth_m;
    SectionWriter section(document, "elevation_window", "Between which elevations a pad needs no pump");
    const QuantityText& units = section.units();
    section.say(fmt::format("For {}, friction and the fall of the line left out. Low enough for the gutter to fill:",
                            storage_text(chosen, units)));
    section.add(metres(' ', "eave_elev_m", "Gutter", explanation.eave->elev_m, ""));
    section.add(metres('-', "tank_height_m", "Tank height", chosen.tank.height_m, "the option of the catalogue"));
    section.add(
        metres('-', "fill_loss_m", "Loss on the way in", siting.window_rules.fill_loss_m, setting("fill_loss_m")));
    section.add(metres('=', "window_high_elev_m", "Highest pad", siting.window->high_elev_m, ""));
    section.say("High enough to press the water out:");
    section.add(
        metres(' ', "use_elev_m", "Ground at the use point", value_of(explanation.result.use_point->use_elev_m), ""));
    section.add(metres('+', "tap_height_m", "Tap above it", siting.window_rules.tap_height_m, setting("tap_height_m")));
    section.add(metres('+', "minimum_head_m", "Water for the least pressure", siting.minimum_head_m,
                       fmt::format("({}, siting.minimum_kpa, + {}, siting.filter_loss_kpa) / {}",
                                   units.plain("kPa", settings.siting.minimum_kpa),
                                   units.plain("kPa", settings.siting.filter_loss_kpa), pressure_of_water(units))));
    section.add(metres('-', "outlet_height_m", "Outlet above the pad", siting.window_rules.outlet_height_m,
                       setting("outlet_height_m")));
    section.add(metres('-', "reserve_depth_m", "Reserve above the outlet", reserve_m,
                       from_setting(settings, "storage", "reserve_m3")));
    section.add(metres('=', "window_low_elev_m", "Lowest pad", siting.window->low_elev_m, ""));
    const double room = siting.window->high_elev_m - siting.window->low_elev_m;
    section.say(room >= 0.0 ? fmt::format("The window is {} high.", units.fixed("m", room, 2))
                            : fmt::format("The lowest lies {} above the highest: wherever the tanks stand, a pump "
                                          "has to help.",
                                          units.fixed("m", -room, 2)));
}

FactTable cells_by_rule(const ExplainedRoof& roof, const std::vector<const ExplainedOption*>& shown_options,
                        const std::string& key, bool with_meaning, const QuantityText& units) {
    const Settings& settings = roof.run.project.settings;
    FactTable table{.key = key, .columns = {{.key = "rule", .label = "rule"}}, .rows = {}};
    if (with_meaning) {
        table.columns.push_back({.key = "meaning", .label = "what it removes"});
        table.columns.push_back({.key = "limit", .label = "limit"});
    }
    for (const ExplainedOption* const tried : shown_options) {
        const StorageOption& option = roof.explanation.options.at(tried->option);
        table.columns.push_back(
            {.key = fmt::format("cells_{:g}_m3_in_{}", option.nominal_m3, option.tank.count),
             .label = fmt::format("{}\nin {}", units.fixed("m3", option.nominal_m3, 1), option.tank.count)});
    }
    const auto add = [&](std::string rule, std::string meaning, std::string limit, auto&& count) {
        std::vector<Value>& row = table.rows.emplace_back();
        row.emplace_back(std::move(rule));
        if (with_meaning) {
            row.emplace_back(std::move(meaning));
            row.emplace_back(std::move(limit));
        }
        for (const ExplainedOption* const tried : shown_options) {
            row.emplace_back(static_cast<std::int64_t>(count(*tried)));
        }
    };
    for (std::size_t i = 0; i < kPadRules; ++i) {
        const auto rule = static_cast<PadReason>(i);
        add(std::string(to_text(rule)), meaning_of(rule), limit_text(rule, settings, units),
            [i](const ExplainedOption& tried) { return tried.removed.at(i); });
    }
    add("left", "passes every rule", "", [](const ExplainedOption& tried) { return tried.eligible; });
    return table;
}

void add_candidates(const ExplainedRoof& roof, Document& document) {
    const Settings& settings = roof.run.project.settings;
    const RoofExplanation& explanation = roof.explanation;
    const SitingExplanation& siting = *explanation.siting;
    SectionWriter section(document, "candidates", "Where tanks may stand");
    section.add(Fact{.key = "cells_within_reach",
                     .label = "Cells near enough to the roof",
                     .value = static_cast<std::int64_t>(siting.cells_within_reach),
                     .unit = "",
                     .from = fmt::format("within {}: {}", section.units().plain("m", settings.siting.max_fill_m),
                                         from_setting(settings, "siting", "max_fill_m"))});
    section.add(Fact{.key = "cell_side_m",
                     .label = "Side of a cell",
                     .value = siting.cells.sides.smaller_m(),
                     .unit = "m",
                     .decimals = 2,
                     .from = "terrain.elevation"});
    if (is_measured(roof.roof.facts, &RoofFacts::pad_x)) {
        section.say(fmt::format(
            "The place of the tank was {}: only the cell that holds it is asked. What a visit settles ({}) does not "
            "remove it{}.",
            kMeasured, settled_by_visit_text(),
            siting.places.empty() || !siting.places.front().row.waived_rule
                ? std::string()
                : fmt::format("; of these it fails {} first: look again before anything is built",
                              to_text(*siting.places.front().row.waived_rule))));
    }
    section.say(
        "Each cell counts at the first rule that removes it, in this order; of several tanks, which may stand side by "
        "side or in a row, at the later of the two rules. Setbacks count from the rim of the tanks' ground. Cells, by "
        "the storage that was tried:");
    std::vector<const ExplainedOption*> ends{&siting.tried.front()};
    if (siting.tried.size() > 1) {
        ends.push_back(&siting.tried.back());
    }
    section.add(cells_by_rule(roof, ends, "cells_by_rule", true, section.units()));
    const bool found = !siting.places.empty();
    if (siting.tried.size() > ends.size()) {
        std::vector<const ExplainedOption*> all;
        for (const ExplainedOption& tried : siting.tried) {
            all.push_back(&tried);
        }
        section.say("The options between were tried too:");
        section.add(cells_by_rule(roof, all, "cells_by_rule_of_every_option", false, section.units()));
    }
    const std::string recommended = storage_text(explanation.options.at(siting.tried.front().option), section.units());
    if (siting.tried.size() == 1 && found) {
        section.say(fmt::format("The recommended storage, {}, has a place.", recommended));
    } else if (found) {
        section.say(
            fmt::format("The recommended storage, {}, has no place. The next smaller ones were tried in falling "
                        "order; {} is the first that has one and stands for the roof.",
                        recommended, storage_text(explanation.options.at(explanation.chosen), section.units())));
    } else {
        const PadReason reason = *explanation.result.roof.no_pad_reason;
        section.say(
            fmt::format("Neither the recommended storage, {}, nor any smaller one has a place. Most cells of "
                        "the recommended one were removed by {}: {}.",
                        recommended, to_text(reason), meaning_of(reason)));
    }
}

}  // namespace

void add_siting_sections(const ExplainedRoof& roof, Document& document) {
    if (!roof.explanation.water) {
        return;
    }
    add_eave(roof, document);
    if (!roof.explanation.siting) {
        return;
    }
    add_use_point(roof, document);
    if (!roof.explanation.siting->window) {
        return;
    }
    add_window(roof, document);
    add_candidates(roof, document);
}

}  // namespace eaveshed
