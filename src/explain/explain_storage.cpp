// What each storage option would replace, which one is recommended, and what that gives the stream.
#include <algorithm>
#include <string>

#include "explain_parts.hpp"

namespace eaveshed {

namespace {

std::string note_of(bool recommended, bool chosen, bool worth) {
    std::string note;
    const auto add = [&note](const char* word) { note += fmt::format("{}{}", note.empty() ? "" : ", ", word); };
    if (recommended) {
        add("recommended");
    }
    if (chosen) {
        add("chosen");
    }
    if (!worth) {
        add("not worth its size");
    }
    return note;
}

}  // namespace

FactTable curve_table(const std::vector<OptionResult>& options, const CurveMarks& marks,
                      const StorageSettings& settings) {
    FactTable table{
        .key = "storage_curve",
        .columns = {{.key = "storage_m3", .label = "storage\n{}", .unit = "m3", .decimals = 1},
                    {.key = "tank_count", .label = "\ntanks"},
                    {.key = "usable_m3", .label = "usable\n{}", .unit = "m3", .decimals = 1},
                    {.key = "replaced_mean_m3", .label = "replaced\nmean {}", .unit = "m3", .decimals = 1},
                    {.key = "replaced_dependable_m3", .label = "dependable\n{}", .unit = "m3", .decimals = 1},
                    {.key = "replaced_worst_m3", .label = "worst\n{}", .unit = "m3", .decimals = 1},
                    {.key = "seasons_met", .label = "seasons\nmet"},
                    {.key = "seasons", .label = "\nof"},
                    {.key = "overflow_mean_m3", .label = "overflow\n{}/year", .unit = "m3", .decimals = 1},
                    {.key = "note", .label = ""}},
        .rows = {}};
    const std::vector<std::size_t> worth = worth_their_size(options, settings.marginal_yield).options;
    for (std::size_t i = 0; i < options.size(); ++i) {
        const OptionResult& option = options[i];
        const Behaviour& does = option.behaviour;
        const bool is_worth = std::ranges::find(worth, i) != worth.end();
        table.rows.push_back({option.nominal_m3, std::int64_t{option.count}, option.usable_m3, does.replaced_mean_m3,
                              value_of(does.replaced_dependable_m3), value_of(does.replaced_worst_m3),
                              std::int64_t{does.seasons_met}, std::int64_t{does.seasons}, does.overflow_mean_m3,
                              note_of(marks.recommended == i, marks.chosen == i, is_worth)});
    }
    return table;
}

std::string recommendation_text(const std::vector<OptionResult>& options, const StorageSettings& settings,
                                const QuantityText& units) {
    const WorthTheirSize worth = worth_their_size(options, settings.marginal_yield);
    return fmt::format(
        "A larger option is worth its size where it {} replaces more than the last one before it that is, by at least "
        "{:g} % (storage.marginal_yield) of the volume that it holds more. Recommended is the smallest of these that "
        "replaces at least {:g} % (storage.storage_share) of what the best of them does, {}.",
        worth.dependable ? "dependably" : "in the mean", settings.marginal_yield * 100.0,
        settings.storage_share * 100.0, units.fixed("m3", worth.best_m3, 1));
}

namespace {

void add_limit(const ExplainedRoof& roof, SectionWriter& section) {
    const QuantityText& units = section.units();
    const Settings& settings = roof.run.project.settings;
    const RoofRow& row = roof.explanation.result.roof;
    const OptionResult& chosen = roof.explanation.water->options.at(roof.explanation.chosen);
    section.text("limited_by", "Limited by", named(*row.limited_by));
    switch (*row.limited_by) {
        case LimitedBy::demand:
            section.say(fmt::format(
                "{} of {} seasons and {:.1f} % of the volume wanted are met; {:.0f} % of the seasons "
                "(storage.reliability) or {:.0f} % of the volume (storage.storage_share) is enough.",
                chosen.behaviour.seasons_met, chosen.behaviour.seasons, chosen.behaviour.volume_reliability * 100.0,
                settings.storage.reliability * 100.0, settings.storage.storage_share * 100.0));
            break;
        case LimitedBy::tank:
        case LimitedBy::roof:
            section.say(fmt::format(
                "Only {} of {} seasons and {:.1f} % of the volume wanted are met. The smaller of the "
                "usable storage, {}, and the {} harvest, {}, limits.",
                chosen.behaviour.seasons_met, chosen.behaviour.seasons, chosen.behaviour.volume_reliability * 100.0,
                units.fixed("m3", chosen.usable_m3, 1), row.harvest_dependable_m3 ? "dependable" : "mean",
                units.fixed("m3", row.harvest_dependable_m3.value_or(row.harvest_mean_m3.value_or(0.0)), 1)));
            break;
    }
}

void add_fullness(const ExplainedRoof& roof, SectionWriter& section) {
    const StorageSettings& settings = roof.run.project.settings.storage;
    const RoofRow& row = roof.explanation.result.roof;
    section.add(Fact{.key = "full_winters_share",
                     .label = "Winters that fill the storage",
                     .value = value_of(row.full_winters_share),
                     .unit = "",
                     .decimals = 2,
                     .from = row.flags.has(Flag::seldom_full)
                                 ? fmt::format("below {:g} (storage.seldom_full_share): flag seldom_full",
                                               settings.seldom_full_share)
                                 : "share of the counted years"});
}

void add_gain(const ExplainedRoof& roof, SectionWriter& section) {
    const Settings& settings = roof.run.project.settings;
    const RoofRow& row = roof.explanation.result.roof;
    const std::string months = months_text(settings.season.forbear_months);
    section.add(Fact{.key = "forbearance_m3",
                     .label = "Forbearance volume, a season",
                     .value = value_of(row.forbearance_m3),
                     .unit = "m3",
                     .decimals = 1,
                     .from = row.replaced_dependable_m3 ? "the dependable volume replaced"
                                                        : "the mean volume replaced: no dependable one is known"});
    section.add(Fact{.key = "forbearance_lps",
                     .label = "the same as a mean flow",
                     .value = value_of(row.forbearance_lps),
                     .unit = "L/s",
                     .decimals = 4,
                     .from = months});
    section.add(Fact{.key = "instream_gain_lps",
                     .label = "Gain of the stream",
                     .value = value_of(row.instream_gain_lps),
                     .unit = "L/s",
                     .decimals = 4,
                     .from = "times the part that the creek feels"});
    if (row.harvest_dependable_m3 && *row.forbearance_m3 > *row.harvest_dependable_m3) {
        section.say(
            fmt::format("That is more than the dependable winter harvest: rain outside {} reaches the tank too, "
                        "and what is left in autumn is there the next year.",
                        months_text(settings.season.fill_months)));
    }
    if (row.flags.has(Flag::check_permit)) {
        section.say(
            fmt::format("One tank is over {} (storage.permit_volume_m3) or more slender than {} to 1 "
                        "(storage.permit_ratio): ask the local authority about a permit.",
                        section.units().plain("m3", settings.storage.permit_volume_m3), settings.storage.permit_ratio));
    }
}

}  // namespace

void add_storage_section(const ExplainedRoof& roof, Document& document) {
    const RoofExplanation& explanation = roof.explanation;
    if (!explanation.water) {
        return;
    }
    const Settings& settings = roof.run.project.settings;
    SectionWriter section(document, "storage", "Storage");
    section.say(
        "Every option of the catalogue, run through the whole record; replaced: drawn from the tank in place of "
        "the stream in " +
        months_text(settings.season.forbear_months) + " of a year.");
    const auto& recommended = explanation.water->recommended;
    section.add(curve_table(explanation.water->options,
                            {recommended, recommended ? std::optional(explanation.chosen) : std::nullopt},
                            settings.storage));
    if (!explanation.water->recommended) {
        section.say("No option that is worth its size replaces anything, so none is recommended.");
        return;
    }
    section.say(recommendation_text(explanation.water->options, settings.storage, section.units()));
    add_fullness(roof, section);
    if (settings.storage.reserve_m3 > 0.0) {
        section.add(Fact{.key = "reserve_m3",
                         .label = "Reserve, never drawn",
                         .value = settings.storage.reserve_m3,
                         .unit = "m3",
                         .decimals = 1,
                         .from = from_setting(settings, "storage", "reserve_m3")});
    }
    add_limit(roof, section);
    add_gain(roof, section);
}

}  // namespace eaveshed
