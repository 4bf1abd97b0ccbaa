// The explanation of a parcel: what it comes to, its roofs, the places for its storage, and what that replaces.
#include <algorithm>
#include <string>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/words/version.hpp"
#include "eaveshed/words/wording.hpp"
#include "explain_parcel_parts.hpp"

namespace eaveshed {

namespace {

std::string names_of(const ExplainedParcel& parcel, const std::vector<std::size_t>& roofs) {
    std::string text;
    for (const std::size_t roof : roofs) {
        text += (text.empty() ? "" : ", ") + printable(parcel.roof_ids.at(roof));
    }
    return text;
}

void say_storage(const ExplainedParcel& parcel, SectionWriter& section) {
    const QuantityText& units = section.units();
    const Settings& settings = parcel.run.project.settings;
    const ParcelRow& row = parcel.explanation.result.parcel;
    const auto connected = std::ranges::count_if(parcel.explanation.roofs, &RoofRows::connected);
    section.say(fmt::format(
        "Roofs computed: {} of the {} in the input; together they give {} in a mean winter. Roofs that fill the "
        "parcel's storage: {}.",
        row.ok_roof_count.value_or(0), row.roof_count.value_or(0),
        units.fixed("m3", row.roofs_harvest_mean_m3.value_or(0.0), 1), connected));
    if (!row.storage_m3) {
        section.say("No storage replaces any summer take, so none is recommended (delivery no_use).");
        return;
    }
    section.say(fmt::format(
        "Stored in {}, that replaces {} of summer take a season{}: a mean flow of {} over {}, of which "
        "the stream gains {}.",
        storage_text(parcel.explanation.options.at(parcel.explanation.chosen), units),
        units.fixed("m3", row.forbearance_m3.value_or(0.0), 1),
        row.replaced_dependable_m3 ? fmt::format(" in {:.0f} % of seasons", settings.storage.reliability * kPercent)
                                   : "",
        units.fixed("L/s", row.forbearance_lps.value_or(0.0), 4), months_text(settings.season.forbear_months),
        units.fixed("L/s", row.instream_gain_lps.value_or(0.0), 4)));
    if (row.added_forbearance_m3 != row.forbearance_m3) {
        section.say(
            fmt::format("Beside the {} of storage that are there already it adds {} a season, and {} to the stream.",
                        units.fixed("m3", row.existing_storage_m3.value_or(0.0), 1),
                        units.fixed("m3", row.added_forbearance_m3.value_or(0.0), 1),
                        units.fixed("L/s", row.added_gain_lps.value_or(0.0), 4)));
    }
    if (row.gravity_check) {
        section.say(fmt::format("It stands beside the roof {} ({}): {}. Does it work without a pump ({})? {}.",
                                printable(parcel.explanation.result.pad->roof_id), to_text(*row.delivery),
                                meaning_of(*row.delivery), to_text(*row.gravity_check),
                                capitalised(meaning_of(*row.gravity_check))));
    } else if (row.no_pad_reason) {
        section.say(fmt::format("But none of its roofs has a place for it (no_pad_reason {}, of the first one): {}.",
                                to_text(*row.no_pad_reason), meaning_of(*row.no_pad_reason)));
    }
}

void add_summary(const ExplainedParcel& parcel, Document& document) {
    const ParcelRow& row = parcel.explanation.result.parcel;
    SectionWriter section(document, "summary", "In short");
    if (row.parcel_status == ParcelStatus::ok) {
        say_storage(parcel, section);
        if (row.rank) {
            section.say(fmt::format("It ranks {} with a score of {:.3f}, in Pareto tier {}.", *row.rank,
                                    row.score.value_or(0.0), row.pareto_tier.value_or(0)));
        }
    } else {
        section.text("parcel_status", "Status", named(row.parcel_status));
        section.say("So nothing was computed for it.");
    }
    if (row.inside_share && *row.inside_share < 1.0) {
        section.add(Fact{.key = "inside_share",
                         .label = "Share within the elevations",
                         .value = *row.inside_share,
                         .unit = "",
                         .decimals = 3,
                         .from = "the basin's edge cuts the parcel: roofs and places beyond it were not seen"});
    }
    add_flags(row.flags, section);
}

// Why a computed roof fills the parcel's storage, or does not.
std::string connection_text(const ExplainedParcel& parcel, std::size_t roof, const QuantityText& units) {
    const ParcelExplanation& explanation = parcel.explanation;
    const RoofRows& result = explanation.roofs[roof];
    if (result.roof.status != Status::ok) {
        return fmt::format("{}: not computed", to_text(result.roof.status));
    }
    if (explanation.at_pad.empty()) {
        return result.connected ? "all computed roofs together: there is no pad" : "";
    }
    if (explanation.result.pad_roof == result.ordinal) {
        return "the pad's own roof";
    }
    const RoofAtPad& seen = explanation.at_pad[roof];
    if (result.connected) {
        return "its gutter is high enough and near enough";
    }
    if (!seen.fill_distance_m) {
        return result.roof.eave_elev_m ? fmt::format("farther than {} (siting.max_fill_m)",
                                                     units.plain("m", parcel.run.project.settings.siting.max_fill_m))
                                       : "no elevation at the roof";
    }
    return *seen.fill_margin_m < 0.0
               ? fmt::format("its gutter is {} too low", units.fixed("m", -*seen.fill_margin_m, 2))
               : "its gutter was too low or too far at the place first tried";
}

void add_roofs(const ExplainedParcel& parcel, Document& document) {
    const ParcelExplanation& explanation = parcel.explanation;
    SectionWriter section(document, "roofs", "The roofs");
    FactTable table{
        .key = "roofs",
        .columns = {{.key = "roof_id", .label = "\nroof"},
                    {.key = "plan_area_m2", .label = "area\n{}", .unit = "m2", .decimals = 1},
                    {.key = "harvest_mean_m3", .label = "harvest\nmean {}", .unit = "m3", .decimals = 1},
                    {.key = "harvest_dependable_m3", .label = "dependable\n{}", .unit = "m3", .decimals = 1},
                    {.key = "fill_distance_m", .label = "to the pad\n{}", .unit = "m", .decimals = 1},
                    {.key = "fill_margin_m", .label = "margin\n{}", .unit = "m", .decimals = 2},
                    {.key = "connected", .label = "\nfills it"},
                    {.key = "why", .label = "\nbecause"}},
        .rows = {}};
    for (std::size_t i = 0; i < explanation.roofs.size(); ++i) {
        const RoofRows& result = explanation.roofs[i];
        const RoofAtPad seen = explanation.at_pad.empty() ? RoofAtPad{} : explanation.at_pad[i];
        table.rows.push_back(
            {parcel.roof_ids[i], value_of(result.roof.plan_area_m2), value_of(result.roof.harvest_mean_m3),
             value_of(result.roof.harvest_dependable_m3), value_of(seen.fill_distance_m), value_of(seen.fill_margin_m),
             std::string(result.connected ? "yes" : "no"), connection_text(parcel, i, section.units())});
    }
    section.add(std::move(table));
}

std::string outcome_text(CandidateOutcome outcome) {
    switch (outcome) {
        case CandidateOutcome::chosen: return "chosen";
        case CandidateOutcome::stage: return "a worse stage";
        case CandidateOutcome::lift: return "a higher lift";
        case CandidateOutcome::feed: return "a worse feed";
        case CandidateOutcome::volume: return "replaces less";
        case CandidateOutcome::pressure: return "less pressure";
        case CandidateOutcome::order: return "as good, but a later roof";
        case CandidateOutcome::impossible: break;
    }
    return "no storage for these roofs there";
}

void add_candidates(const ExplainedParcel& parcel, Document& document) {
    const ParcelExplanation& explanation = parcel.explanation;
    SectionWriter section(document, "candidates", "Where the storage can stand");
    if (explanation.candidates.empty()) {
        section.say("None of its roofs has a pad. All computed roofs together give the storage below, and no place.");
        return;
    }
    section.say(
        "The pad of each roof was tried in turn, with all roofs whose gutters reach it and the storage that suits them "
        "together. The best stage wins (1 to 5: sure fill, likely fill, the same with a pumped feed, lifted by a "
        "pump), then the better feed, the greater forbearance volume, the higher pressure, the first roof.");
    FactTable table{.key = "candidates",
                    .columns = {{.key = "roof_id", .label = "\nat roof"},
                                {.key = "stage", .label = "\nstage"},
                                {.key = "feed", .label = "\nfeed"},
                                {.key = "forbearance_m3", .label = "replaces\n{}", .unit = "m3", .decimals = 2},
                                {.key = "pressure_kpa", .label = "pressure\n{}", .unit = "kPa", .decimals = 2},
                                {.key = "storage_m3", .label = "storage\n{}", .unit = "m3", .decimals = 1},
                                {.key = "recommended_m3", .label = "by water\n{}", .unit = "m3", .decimals = 1},
                                {.key = "roofs", .label = "\nfilled by"},
                                {.key = "outcome", .label = ""}},
                    .rows = {}};
    for (const ParcelCandidate& candidate : explanation.candidates) {
        if (candidate.outcome == CandidateOutcome::impossible) {
            table.rows.push_back(
                {parcel.roof_ids.at(candidate.roof), {}, {}, {}, {}, {}, {}, {}, outcome_text(candidate.outcome)});
            continue;
        }
        table.rows.push_back({parcel.roof_ids.at(candidate.roof), std::int64_t{candidate.stage},
                              std::string(to_text(candidate.feed)), candidate.forbearance_m3, candidate.pressure_kpa,
                              explanation.options.at(candidate.option).nominal_m3,
                              explanation.options.at(candidate.recommended).nominal_m3,
                              names_of(parcel, candidate.members), outcome_text(candidate.outcome)});
    }
    section.add(std::move(table));
    section.say("How a pad was found beside its roof, line by line: eaveshed explain --roof.");
}

}  // namespace

namespace {

void add_places(const ExplainedParcel& parcel, Document& document) {
    const int decimals = coordinate_decimals(parcel);
    FactTable roofs{.key = "roofs",
                    .columns = {{.key = "roof_id", .label = "roof"},
                                {.key = "x", .label = "x", .decimals = decimals},
                                {.key = "y", .label = "y", .decimals = decimals},
                                {.key = "longitude_deg", .label = "longitude", .decimals = kDegreeDecimals},
                                {.key = "latitude_deg", .label = "latitude", .decimals = kDegreeDecimals}},
                    .rows = {}};
    for (std::size_t i = 0; i < parcel.roof_places.size(); ++i) {
        const auto& place = parcel.roof_places[i];
        const auto degrees = place ? place->degrees : std::nullopt;
        roofs.rows.push_back(
            {parcel.roof_ids[i], place ? Value(place->output.x) : Value(), place ? Value(place->output.y) : Value(),
             degrees ? Value(degrees->longitude_deg) : Value(), degrees ? Value(degrees->latitude_deg) : Value()});
    }
    add_coordinates({{"pad", "Pad", parcel.pad_place}, {"use_point", "Use point", parcel.use_place}}, parcel,
                    std::move(roofs), document);
}

}  // namespace

Document explanation_document(const ExplainedParcel& parcel, OutputUnits units) {
    const std::string& basin = parcel.run.project.settings.basin.name;
    Document document;
    document.units = QuantityText(units);
    document.title =
        fmt::format("Parcel {}{}", printable(parcel.parcel_id), basin.empty() ? "" : ", " + printable(basin));
    document.head = {{"file", parcel.run.file},
                     {"parcel_id", parcel.parcel_id},
                     {"made_by_version", parcel.run.program_version},
                     {"explained_by_version", program_version()},
                     {"differing_values", static_cast<std::int64_t>(parcel.differences.size())}};
    document.note = explanation_note(parcel, document.units);
    add_summary(parcel, document);
    if (!parcel.explanation.roofs.empty()) {
        add_roofs(parcel, document);
    }
    if (parcel.explanation.result.parcel.storage_m3) {
        add_candidates(parcel, document);
    }
    add_parcel_water_sections(parcel, document);
    add_stream_section(parcel.explanation.result.parcel, parcel.run.project.settings, document);
    add_parcel_sizes_section(parcel, document);
    add_parcel_plan_sections(parcel, document);
    add_places(parcel, document);
    add_inputs(parcel, document);
    add_comparison(parcel, "the parcel's rows in parcels, pads, parcel_options and scenarios", document);
    return document;
}

}  // namespace eaveshed
