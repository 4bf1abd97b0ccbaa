// The water of a parcel: harvest of the connected roofs, take, storage, what it replaces, and the place it stands at.
#include <string>

#include "eaveshed/storage/recommend.hpp"
#include "explain_parcel_parts.hpp"

namespace eaveshed {

namespace {

Fact fact(char sign, std::string key, std::string label, Value value, std::string unit, int decimals,
          std::string from) {
    return {.sign = sign,
            .key = std::move(key),
            .label = std::move(label),
            .value = std::move(value),
            .unit = std::move(unit),
            .decimals = decimals,
            .from = std::move(from)};
}

Fact volume(std::string key, std::string label, const std::optional<double>& value, std::string from) {
    return fact(' ', std::move(key), std::move(label), value_of(value), "m3", 1, std::move(from));
}

std::string share_text(const Take& take, const ParcelFacts& facts, const Settings& settings,
                       const QuantityText& units) {
    switch (take.share_basis) {
        case ShareBasis::given: return from_data(settings, facts, &ParcelFacts::source_share);
        case ShareBasis::well:
            return fmt::format("a shallow well, by its distance to the stream ({}) and the aquifer; Jenkins 1968",
                               stream_distance_text(facts, settings, units));
        case ShareBasis::assumed_well:
            return "assumed of a shallow well: " + from_setting(settings, "demand", "shallow_well_share");
        case ShareBasis::source_class: break;
    }
    return "by the kind of source";
}

void add_water(const ExplainedParcel& parcel, Document& document) {
    const Settings& settings = parcel.run.project.settings;
    const ParcelRow& row = parcel.explanation.result.parcel;
    const Take& take = *parcel.explanation.take;
    const ParcelFacts& facts = parcel.explanation.facts;
    SectionWriter section(document, "water", "Water of the connected roofs, and the summer take");
    section.add(
        fact(' ', "plan_area_m2", "Plan area", value_of(row.plan_area_m2), "m2", 1, "the connected roofs together"));
    section.add(fact(' ', "years_counted", "Tank years counted",
                     static_cast<std::int64_t>(parcel.explanation.counted_years), "", 0,
                     "those that count for each of these roofs"));
    section.add(volume("harvest_mean_m3", "Harvest, mean winter", row.harvest_mean_m3,
                       "step by step the sum of the roofs' inflows"));
    section.add(volume("harvest_dependable_m3", "Harvest, dependable", row.harvest_dependable_m3,
                       row.harvest_dependable_m3 ? fmt::format("reached in {:.0f} % of winters (storage.reliability), "
                                                               "of the sums",
                                                               settings.storage.reliability * 100.0)
                                                 : "a mean year knows no dry winter"));
    section.add(volume("demand_m3", "Season demand, mean", row.demand_m3,
                       take.demand.season_use_m3 ? from_data(settings, facts, &ParcelFacts::season_use_m3)
                                                 : "home and garden; line by line in eaveshed explain --roof"));
    section.text("water_source", "Water source", std::string(to_text(take.source)),
                 take.source_given ? from_data(settings, facts, &ParcelFacts::water_source)
                                   : from_standard(settings, &ParcelFacts::water_source));
    section.add(fact(' ', "source_share", "Part that the creek feels", value_of(row.source_share), "", 2,
                     share_text(take, facts, settings, section.units())));
}

// Whether the option was recommended with more roofs than fill it: with those that do it would not be.
bool was_larger_system(const std::vector<OptionResult>& curve, std::size_t recommended,
                       const StorageSettings& settings) {
    return recommended_option(curve, {settings.storage_share, settings.marginal_yield}) != recommended;
}

void add_storage(const ExplainedParcel& parcel, Document& document) {
    const ParcelExplanation& explanation = parcel.explanation;
    const Settings& settings = parcel.run.project.settings;
    const ParcelRow& row = explanation.result.parcel;
    SectionWriter section(document, "storage", "Storage");
    section.say("Every option of the catalogue, run through the whole record with the water of the connected roofs.");
    section.add(curve_table(explanation.curve, {explanation.recommended, explanation.chosen}, settings.storage));
    section.say(recommendation_text(explanation.curve, settings.storage, section.units()));
    if (was_larger_system(explanation.curve, explanation.recommended, settings.storage)) {
        section.say(
            "The one that is marked was recommended for the water of one roof more, which its pad then turned out not "
            "to "
            "reach: the size stands all the same. With the roofs that are left a smaller one would do; the "
            "sizes at the pad, below, say what each gives.");
    }
    if (explanation.recommended != explanation.chosen) {
        section.say("The recommended one has no place here; the next smaller ones were tried in falling order.");
    }
    section.text("limited_by", "Limited by", named(row.limited_by.value()));
    section.add(volume("forbearance_m3", "Forbearance volume, a season", row.forbearance_m3,
                       row.replaced_dependable_m3 ? "the dependable volume replaced"
                                                  : "the mean volume replaced: no dependable one is known"));
    section.add(fact(' ', "forbearance_lps", "the same as a mean flow", value_of(row.forbearance_lps), "L/s", 4,
                     months_text(settings.season.forbear_months)));
    section.add(fact(' ', "instream_gain_lps", "Gain of the stream", value_of(row.instream_gain_lps), "L/s", 4,
                     "times the part that the creek feels"));
    section.add(volume(
        "forbearance_term_m3", "Over the agreement", row.forbearance_term_m3,
        fmt::format("{:g} years; {}", settings.season.term_years, from_setting(settings, "season", "term_years"))));
    if (row.pump_lps) {
        section.add(fact(' ', "pump_lps", "Pump that stays off", value_of(row.pump_lps), "L/s", 2,
                         from_data(settings, explanation.facts, &ParcelFacts::pump_lps) + "; a peak, never added up"));
    }
}

// What is told of existing storage, and where from.
std::string existing_text(const ExplainedParcel& parcel) {
    const Settings& settings = parcel.run.project.settings;
    const ParcelFacts& facts = parcel.explanation.facts;
    if (facts.existing_storage_m3) {
        const std::string from = from_data(settings, facts, &ParcelFacts::existing_storage_m3);
        return *facts.existing_storage_m3 < 0.0 ? from + ": below 0, so not known" : from;
    }
    return !settings.parcels.existing_storage_m3.given()
               ? "no field says: none"
               : from_field(settings, &ParcelFacts::existing_storage_m3) + " says nothing: none";
}

void add_existing(const ExplainedParcel& parcel, Document& document) {
    const ParcelRow& row = parcel.explanation.result.parcel;
    SectionWriter section(document, "existing", "What is there already, and what the storage adds");
    section.add(fact(' ', "storage_m3", "Storage, nominal", value_of(row.storage_m3), "m3", 1, "as chosen"));
    section.add(fact('-', "existing_storage_m3", "Storage already there", value_of(row.existing_storage_m3), "m3", 1,
                     existing_text(parcel)));
    section.add(
        fact('=', "new_storage_m3", "Storage to be bought", value_of(row.new_storage_m3), "m3", 1, "not below 0"));
    section.add(volume("forbearance_m3", "The storage replaces", row.forbearance_m3, "a season, as above"));
    section.add(fact('-', "existing_replaced_m3", "What is there replaces", parcel.explanation.existing_replaced_m3,
                     "m3", 1, "run by itself on the same inflow, demand and reserve, usable as it stands"));
    section.add(fact('=', "added_forbearance_m3", "Added forbearance", value_of(row.added_forbearance_m3), "m3", 1,
                     "not below 0: by this the parcel is ranked"));
    section.add(fact(' ', "added_gain_lps", "Added gain of the stream", value_of(row.added_gain_lps), "L/s", 4,
                     "as a mean flow over the season, times the part that the creek feels"));
    section.add(volume("usable_m3", "Usable storage", row.usable_m3, "above the outlets"));
    section.add(volume("top_up_m3", "Top-up", row.top_up_m3,
                       "usable less the dependable harvest, not below 0: only a winter diversion, a separate "
                       "permission, could fill it"));
}

void add_pad(const ExplainedParcel& parcel, Document& document) {
    const PadRow& pad = parcel.explanation.result.pad.value();
    const ParcelRow& row = parcel.explanation.result.parcel;
    const Settings& settings = parcel.run.project.settings;
    SectionWriter section(document, "pad", "The chosen place");
    section.text("pad_roof", "Beside the roof", pad.roof_id);
    section.text("delivery", "Delivery", named(pad.delivery.value()));
    section.text("gravity_check", "Gravity check", named(pad.gravity_check.value()));
    section.add(fact(' ', "pad_elev_m", "Pad", value_of(pad.pad_elev_m), "m", 2, "elevation above datum"));
    section.add(
        fact(' ', "fill_margin_m", "Fill margin", value_of(pad.fill_margin_m), "m", 2, "of the pad's own roof"));
    section.add(fact(' ', "pressure_kpa", "Pressure, store at its reserve", value_of(pad.pressure_kpa), "kPa", 1, ""));
    section.add(fact(' ', "gravity_probability", "Gravity probability", value_of(pad.gravity_probability), "", 3,
                     "fill + feed - 1, the least that both together can have"));
    section.add(
        fact(' ', "fill_lines_m", "Fill lines", value_of(row.fill_distance_m), "m", 1, "from all connected roofs"));
    section.add(fact(' ', "pipe_m", "Feed pipe", value_of(pad.pipe_m), "m", 1, ""));
    add_pad_notes(pad, settings, section);
    add_pad_duty(pad, settings, section);
}

}  // namespace

void add_parcel_water_sections(const ExplainedParcel& parcel, Document& document) {
    if (!parcel.explanation.result.parcel.storage_m3) {
        return;
    }
    add_water(parcel, document);
    add_storage(parcel, document);
    add_existing(parcel, document);
    if (parcel.explanation.result.pad) {
        add_pad(parcel, document);
    }
}

}  // namespace eaveshed
