#include "eaveshed/run/summary.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/core/outcomes.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kRoofLine = "  {:<14}{:>10}{:>16}{:>19}\n";

std::string status_table(const RunCounts& counts) {
    std::string text = "Roofs by status\n";
    const auto& statuses = terms_of<Status>();
    for (std::size_t i = statuses.size(); i-- > 0;) {
        if (const auto n = counts.by_status()[i]; n > 0) {
            text += fmt::format("  {:<14}{:>10}  {}\n", statuses[i].name, n, statuses[i].meaning);
        }
    }
    return text + fmt::format("  {:<14}{:>10}\n", "all rows", counts.rows());
}

std::string group_line(std::string_view name, const GroupSum& group) {
    return group.roofs == 0 ? ""
                            : fmt::format(kRoofLine, name, group.roofs, fmt::format("{:.0f}", group.harvest_mean_m3),
                                          fmt::format("{:.0f}", group.harvest_dependable_m3));
}

template <std::size_t N>
std::string group_table(const std::string& title, const std::array<Term, N>& terms,
                        const std::array<GroupSum, N>& groups) {
    std::string text = fmt::format(kRoofLine, title, "roofs", "harvest, m3", "dependable, m3");
    text.erase(0, 2);
    for (std::size_t i = 0; i < N; ++i) {
        text += group_line(terms[i].name, groups[i]);
    }
    return text;
}

// "habitat, septic": what the exclusion layers are called.
std::string exclusion_names(const Settings& settings) {
    std::string names;
    for (const ExclusionSettings& exclusion : settings.exclusions) {
        names += names.empty() ? "" : ", ";
        names += exclusion.name.empty() ? exclusion.from.source : exclusion.name;
    }
    return names;
}

std::string reason_table(const RunCounts& counts, const Settings& settings) {
    std::string text;
    const auto& reasons = terms_of<PadReason>();
    for (std::size_t i = 0; i < reasons.size(); ++i) {
        const auto n = counts.by_reason()[i];
        if (n == 0) {
            continue;
        }
        const bool exclusion = static_cast<PadReason>(i) == PadReason::exclusion;
        text += fmt::format("  {:<18}{:>6}  {}{}\n", reasons[i].name, n, reasons[i].meaning,
                            exclusion ? " (" + exclusion_names(settings) + ")" : "");
    }
    return text.empty() ? text : "No pad, mostly because\n" + text + "\n";
}

constexpr std::string_view kPropertyLine = "  {:<14}{:>10}{:>16}{:>14}{:>19}\n";

std::string property_line(std::string_view name, const PropertySum& sum) {
    return fmt::format(kPropertyLine, name, sum.properties, fmt::format("{:.0f}", sum.forbearance_m3),
                       fmt::format("{:.3f}", sum.forbearance_lps), fmt::format("{:.3f}", sum.stream_gain_lps));
}

// What the basin gains if every property took part: only volumes of whole parcels add up.
std::string property_table(const RunCounts& counts, bool has_parcels, double term_years) {
    std::string text = fmt::format(kPropertyLine, has_parcels ? "Properties" : "Single roofs", "number", "m3 a season",
                                   "mean L/s", "felt by creek L/s");
    text.erase(0, 2);
    const auto& deliveries = terms_of<Delivery>();
    for (std::size_t i = 0; i < deliveries.size(); ++i) {
        if (const PropertySum& sum = counts.properties()[i]; sum.properties > 0) {
            text += property_line(deliveries[i].name, sum);
        }
    }
    const PropertySum all = counts.all_properties();
    text += property_line("all", all);
    text += has_parcels ? "  (a parcel with the storage that its roofs fill together, or a roof in no parcel)\n"
                        : "  (without parcels each roof is taken as a household of its own)\n";
    const auto& by_delivery = counts.properties();
    const auto volume = [&](Delivery delivery) {
        return by_delivery[static_cast<std::size_t>(delivery)].forbearance_m3;
    };
    const double by_gravity = volume(Delivery::gravity) + volume(Delivery::low_pressure);
    const double placed = by_gravity + volume(Delivery::pumped_feed) + volume(Delivery::pumped_fill);
    text += fmt::format(
        "Forbearance where a tank has a place: {:.0f} m3 a season, {:.0f} of them without a pump; over "
        "{:.0f} years {:.0f} m3\n",
        placed, by_gravity, term_years, placed * term_years);
    return text;
}

std::string best_table(const RunCounts& counts) {
    if (counts.best().empty()) {
        return "No roof with a place for a tank replaces any summer diversion.\n";
    }
    constexpr std::string_view kLine = "  {:>2}  {:<14} {:<14} {:>8} {:>11} {:>6} {:>10} {:>8}  {:<7} {}\n";
    std::string text = "The best roofs\n" + fmt::format(kLine, "", "roof", "parcel", "area m2", "storage m3", "tanks",
                                                        "m3/season", "L/s", "limit", "delivery");
    std::size_t rank = 0;
    for (const BestRoof& roof : counts.best()) {
        text += fmt::format(kLine, ++rank, roof.roof_id, roof.parcel_id, fmt::format("{:.0f}", roof.plan_area_m2),
                            fmt::format("{:.1f}", roof.storage_m3), roof.tank_count,
                            fmt::format("{:.1f}", roof.forbearance_m3), fmt::format("{:.4f}", roof.forbearance_lps),
                            roof.limited_by, roof.delivery);
    }
    return text;
}

}  // namespace

std::string summary_text(const Project& project, const ScreenResult& result) {
    const RunCounts& counts = result.counts;
    const auto& basin = project.settings.basin.name;
    std::string text = (basin.empty() ? std::string("The basin") : basin) + "\n\n";
    text += status_table(counts) + "\n";
    text += group_table("Delivery", terms_of<Delivery>(), counts.by_delivery());
    text += "\n" + reason_table(counts, project.settings);
    text += group_table("Limited by", terms_of<LimitedBy>(), counts.by_limit()) + "\n";
    text += fmt::format("Winter harvest of all {} computed roofs: {:.0f} m3 in a mean winter\n\n",
                        counts.computed().roofs, counts.computed().harvest_mean_m3);
    text += property_table(counts, result.has_parcels, result.forbearance_term_years) + "\n";
    text += best_table(counts);
    text +=
        "\nScreening results are no design: tanks are heavy, roof water is not drinking water, and permits,\n"
        "setbacks and water rights are local. Defer to local codes and licensed practice.\n\n";
    return text + "Open this file: " + result.output + "\n";
}

}  // namespace eaveshed
