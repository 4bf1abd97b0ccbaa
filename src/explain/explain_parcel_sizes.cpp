// The sizes that could stand at the parcel's pad, and why the others cannot.
#include <string>

#include "eaveshed/words/wording.hpp"

#include "explain_parcel_parts.hpp"

namespace eaveshed {

namespace {

std::string verdict(const ExplainedParcel& parcel, const SizeAtPad& size) {
    const ParcelExplanation& explanation = parcel.explanation;
    switch (size.outcome) {
        case SizeOutcome::stands: return size.option == explanation.chosen ? "chosen" : "could stand";
        case SizeOutcome::no_place:
            return size.reason ? fmt::format("no: {}", term_of(*size.reason).name) : "no: out of reach";
        case SizeOutcome::stage: return fmt::format("no: stage {}, a worse one", size.pad.value().rank.stage);
        case SizeOutcome::roof: break;
    }
    return fmt::format("no: too high for the roof {}", printable(parcel.roof_ids.at(size.roof.value())));
}

FactTable sizes_table(const ExplainedParcel& parcel) {
    FactTable table{.key = "sizes",
                    .columns = {{.key = "storage_m3", .label = "storage\n{}", .unit = "m3", .decimals = 1},
                                {.key = "tank_count", .label = "\ntanks"},
                                {.key = "arrangement", .label = "\nstanding"},
                                {.key = "forbearance_m3", .label = "replaces\n{}", .unit = "m3", .decimals = 1},
                                {.key = "added_forbearance_m3", .label = "added\n{}", .unit = "m3", .decimals = 1},
                                {.key = "added_gain_lps", .label = "added gain\n{}", .unit = "L/s", .decimals = 4},
                                {.key = "pressure_kpa", .label = "pressure\n{}", .unit = "kPa", .decimals = 1},
                                {.key = "delivery", .label = "\ndelivery"},
                                {.key = "cost", .label = "\ncost", .decimals = 0},
                                {.key = "verdict", .label = ""}},
                    .rows = {}};
    const ParcelExplanation& explanation = parcel.explanation;
    auto row = explanation.result.options.begin();
    for (const SizeAtPad& size : explanation.sizes) {
        const StorageOption& option = explanation.options.at(size.option);
        if (size.outcome != SizeOutcome::stands) {
            table.rows.push_back({option.nominal_m3,
                                  std::int64_t{option.tank.count},
                                  {},
                                  {},
                                  {},
                                  {},
                                  {},
                                  {},
                                  {},
                                  verdict(parcel, size)});
            continue;
        }
        table.rows.push_back({value_of(row->storage_m3), value_of(row->tank_count),
                              std::string(to_text(row->arrangement.value())), value_of(row->forbearance_m3),
                              value_of(row->added_forbearance_m3), value_of(row->added_gain_lps),
                              value_of(row->pressure_kpa), std::string(to_text(row->delivery.value())),
                              value_of(row->cost), verdict(parcel, size)});
        ++row;
    }
    return table;
}

}  // namespace

void add_parcel_sizes_section(const ExplainedParcel& parcel, Document& document) {
    const ParcelExplanation& explanation = parcel.explanation;
    if (explanation.sizes.empty()) {
        return;
    }
    SectionWriter section(document, "sizes", "Sizes at the pad");
    section.say(
        "Every option of the catalogue on the very cell of the pad, with the same roofs: it could stand there where "
        "the "
        "siting rules leave room for its own ground, its stage is not worse, and every connected roof still fills it. "
        "An enrolment plan chooses among those that could stand.");
    section.add(sizes_table(parcel));
    for (const SizeAtPad& size : explanation.sizes) {
        if (size.reason) {
            section.say("What each rule asks: eaveshed rules.");
            return;
        }
    }
}

}  // namespace eaveshed
