#include "totals.hpp"

#include <algorithm>
#include <map>

#include "eaveshed/result/reaches_of_file.hpp"

namespace eaveshed {

namespace {

TotalSide side_of(const SummaryFacts& facts, std::string_view part) {
    // Without parcels a roof is in none of them, and the whole is of roofs.
    if (part == "roofs_in_no_parcel" && !facts.of_parcels()) {
        return {};
    }
    const HeadlineSum sum = facts.headline(part);
    TotalSide side{.number = sum.number, .forbearance_m3 = sum.forbearance_m3};
    if (facts.felt_is_known(part)) {
        side.felt_m3 = sum.felt_m3;
        side.felt_lps = sum.felt_lps;
    }
    return side;
}

template <HasTerms Enum>
CountGroup group_of(const Comparison& comparison, std::string_view key, std::string_view title,
                    const std::string& prefix) {
    const auto before = comparison.before.record.counts<Enum>(prefix);
    const auto after = comparison.after.record.counts<Enum>(prefix);
    CountGroup group{key, title, {}};
    for (std::size_t i = 0; i < before.size(); ++i) {
        group.counts.push_back({terms_of<Enum>()[i].name, before[i], after[i]});
    }
    return group;
}

}  // namespace

std::vector<HeadlineTotal> headline_totals(const Comparison& comparison) {
    std::vector<HeadlineTotal> totals;
    const auto add = [&](std::string_view part, std::string_view meaning) {
        totals.push_back({part, meaning, side_of(comparison.before, part), side_of(comparison.after, part)});
    };
    for (const Term& part : terms_of<HeadlinePart>()) {
        add(part.name, part.meaning);
    }
    add("all", "all");
    add("roofs_in_no_parcel", "beside them: roofs in no parcel");
    return totals;
}

std::vector<CreekTotal> creek_totals(const Comparison& comparison) {
    std::vector<CreekTotal> totals;
    std::map<std::pair<std::string, std::string>, std::size_t> place;
    const auto add = [&](const std::vector<PartSum>& creeks, const PartSum* CreekTotal::*side) {
        for (const PartSum& creek : creeks) {
            const std::string outlet = creek.name.empty() ? creek.outlet_reach_id : "";
            const auto found = place.try_emplace({creek_key(creek.name), outlet}, totals.size()).first;
            totals.resize(std::max(totals.size(), found->second + 1));
            totals[found->second].*side = &creek;
        }
    };
    add(comparison.after.streams.creeks, &CreekTotal::after);
    add(comparison.before.streams.creeks, &CreekTotal::before);
    return totals;
}

std::vector<CountGroup> count_groups(const Comparison& comparison) {
    return {
        group_of<Status>(comparison, "roof_status", "Roofs by status", "count.status."),
        group_of<ParcelStatus>(comparison, "parcel_status", "Parcels by status", "count.parcel_status."),
        group_of<ContactStatus>(comparison, "contact_status", "Parcels by how far talks are", "count.contact_status."),
        group_of<Delivery>(comparison, "candidates_delivery", "Those that can be asked, by delivery",
                           "count.candidates.delivery."),
        group_of<GravityCheck>(comparison, "candidates_gravity_check",
                               "Those that can be asked: whether gravity alone does it",
                               "count.candidates.gravity_check."),
    };
}

}  // namespace eaveshed
