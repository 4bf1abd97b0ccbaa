// The whole explanation: what it comes to, the pages in the order of the work, and the comparison.
#include <string>

#include "eaveshed/words/version.hpp"
#include "eaveshed/words/wording.hpp"
#include "explain_parts.hpp"

namespace eaveshed {

namespace {

std::string title_of(const ExplainedRoof& roof) {
    const std::string& basin = roof.run.project.settings.basin.name;
    return fmt::format("Roof {}, {}{}", printable(roof.roof_id),
                       roof.parcel_id ? "parcel " + printable(*roof.parcel_id) : std::string("on no parcel"),
                       basin.empty() ? "" : ", " + printable(basin));
}

}  // namespace

std::string capitalised(std::string text) {
    if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') {
        text.front() = static_cast<char>(text.front() - 'a' + 'A');
    }
    return text;
}

namespace {

void say_water(const ExplainedRoof& roof, SectionWriter& section) {
    const QuantityText& units = section.units();
    const Settings& settings = roof.run.project.settings;
    const RoofRow& row = roof.explanation.result.roof;
    if (row.harvest_dependable_m3) {
        section.say(fmt::format("The roof gives {} or more in {:.0f} % of winters.",
                                units.fixed("m3", *row.harvest_dependable_m3, 1),
                                settings.storage.reliability * 100.0));
    } else {
        section.say(fmt::format("The roof gives {} in a mean winter.",
                                units.fixed("m3", row.harvest_mean_m3.value_or(0.0), 1)));
    }
    if (!row.storage_m3) {
        section.say("No storage replaces any summer take, so none is recommended (delivery no_use).");
        return;
    }
    section.say(fmt::format(
        "Stored in {}, that replaces {} of summer take a season{}: a mean flow of {} over {}.",
        storage_text(roof.explanation.options.at(roof.explanation.chosen), units),
        units.fixed("m3", row.forbearance_m3.value_or(0.0), 1),
        row.replaced_dependable_m3 ? fmt::format(" in {:.0f} % of seasons", settings.storage.reliability * 100.0) : "",
        units.fixed("L/s", row.forbearance_lps.value_or(0.0), 4), months_text(settings.season.forbear_months)));
}

void say_place(const ExplainedRoof& roof, SectionWriter& section) {
    const RoofRows& result = roof.explanation.result;
    if (result.pad) {
        section.say(fmt::format("A place {} from the roof ({}): {}. Does it work without a pump ({})? {}.",
                                section.units().fixed("m", *result.pad->fill_distance_m, 1),
                                to_text(*result.roof.delivery), meaning_of(*result.roof.delivery),
                                to_text(*result.roof.gravity_check),
                                capitalised(meaning_of(*result.roof.gravity_check))));
    } else if (result.roof.no_pad_reason) {
        section.say(fmt::format("But no place for it is found (no_pad_reason {}): {}.",
                                to_text(*result.roof.no_pad_reason), meaning_of(*result.roof.no_pad_reason)));
    }
}

void add_summary(const ExplainedRoof& roof, Document& document) {
    const RoofRow& row = roof.explanation.result.roof;
    SectionWriter section(document, "summary", "In short");
    if (row.status != Status::ok) {
        section.text("status", "Status", named(row.status));
        section.say("So this roof was not computed.");
        if (row.status == Status::too_small) {
            section.add(Fact{.key = "min_area_m2",
                             .label = "Smallest roof that is computed",
                             .value = roof.run.project.settings.footprints.min_area_m2,
                             .unit = "m2",
                             .decimals = 1,
                             .from = from_setting(roof.run.project.settings, "footprints", "min_area_m2")});
        }
        if (row.plan_area_m2) {
            section.add(Fact{.key = "plan_area_m2",
                             .label = "Plan area",
                             .value = *row.plan_area_m2,
                             .unit = "m2",
                             .decimals = 1,
                             .from = "the footprint, on the ellipsoid"});
        }
    } else {
        say_water(roof, section);
        say_place(roof, section);
    }
    add_flags(row.flags, section);
}

}  // namespace

void add_flags(Flags flags, SectionWriter& section) {
    for (std::size_t i = 0; i < kFlagCount; ++i) {
        if (flags.has(static_cast<Flag>(i))) {
            const Term& term = term_of(static_cast<Flag>(i));
            section.text("flag_" + std::string(term.name), "Flag " + std::string(term.name), std::string(term.meaning));
        }
    }
}

void add_inputs(const Explained& explained, Document& document) {
    SectionWriter section(document, "inputs", "The inputs");
    FactTable table{.key = "files",
                    .columns = {{.key = "setting", .label = "setting"},
                                {.key = "path", .label = "file"},
                                {.key = "state", .label = "since the screening"}},
                    .rows = {}};
    for (const RecordedInput& input : explained.run.inputs) {
        table.rows.push_back({input.setting, input.path, std::string(input.changed ? "CHANGED" : "unchanged")});
    }
    section.add(std::move(table));
}

void add_comparison(const Explained& explained, const std::string& rows, Document& document) {
    SectionWriter section(document, "comparison", "Stored and recomputed");
    section.add(Fact{.key = "values_compared",
                     .label = "Values compared",
                     .value = static_cast<std::int64_t>(explained.values_compared),
                     .unit = "",
                     .from = rows});
    if (explained.differences.empty()) {
        section.say("Every stored value agrees with the recomputation (numbers to nine digits).");
        return;
    }
    section.say("These do not agree:");
    constexpr int kManyDigits = 6;
    FactTable table{.key = "differences",
                    .columns = {{.key = "table", .label = "table"},
                                {.key = "column", .label = "column"},
                                {.key = "stored", .label = "stored", .decimals = kManyDigits},
                                {.key = "recomputed", .label = "recomputed", .decimals = kManyDigits},
                                {.key = "unit", .label = "unit"}},
                    .rows = {}};
    for (const Difference& difference : explained.differences) {
        table.rows.push_back(
            {difference.table, difference.column, difference.stored, difference.recomputed, difference.unit});
    }
    section.add(std::move(table));
}

std::string explanation_note(const Explained& explained, const QuantityText& units) {
    return fmt::format(
        "Computed again by eaveshed {} from the inputs and settings that {} names (its run record, version {}). "
        "Elevations are {} above the elevation raster's datum. Numbers are rounded for show only: in a sum of "
        "lines "
        "the last digit may seem off by one.",
        program_version(), printable(explained.run.file), printable(explained.run.program_version),
        units.unit("m") == "m" ? "metres" : "feet");
}

Document explanation_document(const ExplainedRoof& roof, OutputUnits units) {
    Document document;
    document.units = QuantityText(units);
    document.title = title_of(roof);
    document.head = {{"file", roof.run.file},
                     {"roof_id", roof.roof_id},
                     {"parcel_id", value_of(roof.parcel_id)},
                     {"made_by_version", roof.run.program_version},
                     {"explained_by_version", program_version()},
                     {"differing_values", static_cast<std::int64_t>(roof.differences.size())}};
    document.note = explanation_note(roof, document.units);
    add_summary(roof, document);
    add_water_sections(roof, document);
    add_storage_section(roof, document);
    add_siting_sections(roof, document);
    add_pad_sections(roof, document);
    add_stream_section(roof.explanation.result.roof, roof.run.project.settings, document);
    add_coordinates(
        {{"roof", "Roof", roof.roof_place}, {"pad", "Pad", roof.pad_place}, {"use_point", "Use point", roof.use_place}},
        roof, std::nullopt, document);
    add_inputs(roof, document);
    add_comparison(roof, "the roof's rows in roofs, pads, use_points and storage_curve", document);
    return document;
}

}  // namespace eaveshed
