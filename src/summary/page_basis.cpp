#include <fmt/format.h>

#include "eaveshed/record/assumptions.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/words/wording.hpp"
#include "page_parts.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kBasisLine = "  {:<44}{:>7}{:>9}  {}\n";

// Little is not nothing.
std::string share_text(const std::optional<double>& share) {
    constexpr double kWhole = 100.0;
    constexpr double kHalfPercent = 0.005;
    if (!share) {
        return std::string(kNotKnown);
    }
    return *share > 0.0 && *share < kHalfPercent ? "<1 %" : fmt::format("{:.0f} %", kWhole * *share);
}

// "low flow share, cost": of a list of column words.
std::string listed_words(const std::string& words) {
    std::string text;
    for (const char letter : spaced(words)) {
        text += letter;
        text += letter == ',' ? " " : "";
    }
    return text;
}

std::string rain_line(const SummaryFacts& facts) {
    const RecordFacts& record = facts.record;
    const QuantityText units(facts.settings.output.units);
    std::string text = "Rain: twelve months of a mean year, without dates";
    if (facts.settings.rain.kind != RainKind::monthly_normals) {
        text =
            fmt::format("Rain: {} from {} to {}, {} tank years ({} to {})",
                        facts.settings.rain.kind == RainKind::daily ? "days" : "months", record.text("rain.first_step"),
                        record.text("rain.last_day"), record.text("rain.complete_tank_years"),
                        record.text("rain.first_tank_year"), record.text("rain.last_tank_year"));
    }
    const auto year_mm = record.number("rain.mean_year_mm");
    const auto share = record.number("rain.forbearance_share");
    if (!year_mm || !share) {
        return text + fmt::format("; what of it falls in {} is not known (no rain in the middle of the basin).",
                                  month_words(facts));
    }
    return text + fmt::format("; in the middle of the basin {} in a mean year, {} of it in {}.",
                              units.text("mm", year_mm), share_text(share), month_words(facts));
}

std::string elevation_line(const SummaryFacts& facts) {
    const QuantityText units(facts.settings.output.units);
    const std::string rmse = units.text("m", facts.record.number("terrain.rmse_m"));
    const std::string error = facts.settings.terrain.rmse_m
                                  ? fmt::format("their error is given as {}", rmse)
                                  : fmt::format(
                                        "their error is not given (terrain.rmse_m): {} is taken, from the size "
                                        "of the cells",
                                        rmse);
    return fmt::format("Elevations: cells of {}; {}.", units.text("m", facts.record.number("terrain.cell_m")), error);
}

}  // namespace

std::string basis_part(const SummaryFacts& facts) {
    std::string text = fmt::format("{:<46}{:>7}{:>9}  {}\n", "What the answers rest on, beside the data", "roofs",
                                   "volume", "data that would replace it");
    std::string known;
    for (const Assumption& assumption : kAssumptions) {
        const auto roofs = facts.share_of_roofs(assumption.flag);
        const auto volume = facts.share_of_volume(assumption.flag);
        if (roofs.value_or(1.0) > 0.0 || volume.value_or(0.0) > 0.0) {
            text += fmt::format(kBasisLine, assumption.what, share_text(roofs), share_text(volume), assumption.instead);
        } else if (assumption.flag != Flag::assumed_dry_winter && assumption.flag != Flag::coarse_elevation) {
            known += (known.empty() ? "" : ", ") + spaced(assumption.key);
        }
    }
    text += known.empty() ? "" : wrapped("  Nowhere assumed: " + known + ".", 4);
    text += wrapped(
        "  roofs: share of the computed roofs; volume: share of all that is replaced, at what is left out and at "
        "roofs in no parcel too, resting on it at least in part.",
        4);
    text += wrapped(rain_line(facts), 2) + wrapped(elevation_line(facts), 2);
    if (const std::string without = facts.record.text("ranking.components_without_data"); !without.empty()) {
        text += wrapped(fmt::format("The score leaves out what no parcel has data for: {}.", listed_words(without)), 2);
    }
    if (const std::size_t warnings = facts.record.count_of_keys("warning."); warnings > 0) {
        text +=
            fmt::format("The run gave {}: table run_record, keys warning.001 and on.\n", counted(warnings, "warning"));
    }
    return text;
}

}  // namespace eaveshed
