#include "headlines.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/core/quantile.hpp"
#include "eaveshed/hydraulics/certainty.hpp"
#include "eaveshed/rank/stability.hpp"

namespace eaveshed {

namespace {

constexpr double kLowShare = 0.1;
constexpr double kHighShare = 0.9;
constexpr int kDraws = 1000;  // where the ranking makes none

// Of the volume that the parcel's storage replaces, as a part of what it replaces without any doubt: the quick stand-in
// of the draws over itself. None where that is 0.
std::optional<ValueRange> drawn_parts(const Property& property, const Settings& settings) {
    const ParcelRow& row = property.row;
    StabilityCandidate candidate;
    candidate.parcel_id = property.parcel_id;
    candidate.store_m3 = *row.usable_m3 - settings.storage.reserve_m3;
    candidate.harvest_m3 = row.harvest_dependable_m3.value_or(*row.harvest_mean_m3);
    candidate.demand_m3 = *row.demand_m3;
    candidate.source_share = 1.0;
    const double as_it_is = std::min({candidate.store_m3, candidate.harvest_m3, candidate.demand_m3});
    if (!(as_it_is > 0.0)) {
        return std::nullopt;
    }
    StabilityRule rule;
    rule.season_days = settings.season_months().forbear.mean_year_days();
    rule.seed = static_cast<std::uint64_t>(settings.rank.seed);
    std::vector<double> volumes;
    const int draws = settings.rank.draws > 0 ? static_cast<int>(settings.rank.draws) : kDraws;
    for (int draw = 0; draw < draws; ++draw) {
        const double lps = drawn_components(candidate, rule, static_cast<std::uint32_t>(draw)).stream_gain_lps;
        volumes.push_back(lps / kLitresPerM3 * kSecondsPerDay * rule.season_days);
    }
    std::ranges::sort(volumes);
    return ValueRange{weibull_quantile(volumes, kLowShare) / as_it_is,
                      weibull_quantile(volumes, kHighShare) / as_it_is};
}

ValueRange scaled(const ValueRange& parts, double value) {
    return {parts.low * value, parts.high * value};
}

// A value known to within a standard deviation.
ValueRange around(double value, double sd) {
    return {value - kSureSds * sd, value + kSureSds * sd};
}

template <typename Outcome>
std::optional<ValueRange> by_answer(const Property& property, double value, Outcome ParcelOutcome::*of) {
    if (property.questions.empty()) {
        return std::nullopt;
    }
    ValueRange range{value, value};
    for (const QuestionToAsk& question : property.questions) {
        range.low = std::min({range.low, question.low.*of, question.high.*of});
        range.high = std::max({range.high, question.low.*of, question.high.*of});
    }
    return range;
}

}  // namespace

PropertyHeadlines headlines_of(const Property& property, const ParcelPad* pad, const Settings& settings) {
    const ParcelRow& row = property.row;
    PropertyHeadlines headlines;
    if (row.forbearance_m3 && row.usable_m3) {
        const auto parts = drawn_parts(property, settings);
        const auto drawn = [&](double value) { return parts ? std::optional(scaled(*parts, value)) : std::nullopt; };
        const double volume = *row.forbearance_m3;
        const double gain = *row.instream_gain_lps;
        headlines.forbearance_m3 =
            RangedValue{volume, drawn(volume), by_answer(property, volume, &ParcelOutcome::forbearance_m3)};
        headlines.stream_gain_lps =
            RangedValue{gain, drawn(gain), by_answer(property, gain, &ParcelOutcome::stream_gain_lps)};
        const double harvest = row.harvest_dependable_m3.value_or(*row.harvest_mean_m3);
        const double spread = std::exp(kSureSds * kHarvestLogSd);
        headlines.harvest_m3 = RangedValue{harvest, ValueRange{harvest / spread, harvest * spread}, std::nullopt};
    }
    if (pad != nullptr) {
        const double kpa = *property.pad->row.pressure_kpa;
        const double margin = *property.pad->row.fill_margin_m;
        headlines.pressure_kpa = RangedValue{kpa, around(kpa, pad->pad.feed_sd_kpa), std::nullopt};
        headlines.fill_margin_m = RangedValue{margin, around(margin, pad->pad.fill_sd_m), std::nullopt};
    }
    return headlines;
}

namespace {

struct FlagCheck {
    Flag flag;
    std::optional<Question> question;
    std::string_view text;
};

constexpr auto kFlagChecks = std::to_array<FlagCheck>({
    {Flag::unknown_source, Question::water_source,
     "Ask where the summer water comes from: creek, spring, well or mains."},
    {Flag::assumed_share, {}, "Ask how deep the well is and how far from the creek: its share is assumed."},
    {Flag::default_demand, Question::people_and_garden,
     "Ask how many people live here and measure the watered garden, or read the meter."},
    {Flag::assumed_use_point, Question::use_point,
     "Ask where the water is wanted, and mark the place: a garden cell stands in."},
    {Flag::default_eave, Question::eave_height,
     "Measure the height of the lowest gutter above the ground: it is assumed."},
    {Flag::default_connected, Question::connected_share,
     "See how much of the roof drains to downspouts that can be collected."},
    {Flag::default_material, Question::material,
     "See what the roof is covered with, and whether it is fit to collect from."},
    {Flag::coarse_elevation, {}, "Take levels of gutter, pad and tap: the elevations' cells are wide."},
    {Flag::dem_gap, {}, "Take levels beside the roof: part of its edge has no elevation."},
    {Flag::read_error, {}, "Trust no height before levels are taken: part of an input could not be read."},
    {Flag::overlaps, {}, "See whether two buildings stand where two footprints overlap."},
    {Flag::repaired, {}, "Compare the roof with its outline on the map: the footprint was repaired."},
    {Flag::check_permit, {}, "Ask the local office: a tank of this size or shape may need a permit."},
    {Flag::smaller_storage, {}, "Look for room for a larger storage: the map shows none."},
});

}  // namespace

std::vector<SiteCheck> checks_of(const Property& property) {
    std::vector<SiteCheck> checks;
    for (const FlagCheck& check : kFlagChecks) {
        if (property.row.flags.has(check.flag)) {
            checks.push_back({check.question, std::string(check.text)});
        }
    }
    if (!property.pad) {
        return checks;
    }
    const auto add = [&](const char* text) { checks.push_back({std::nullopt, text}); };
    const PadRow& pad = property.pad->row;
    add("See where fill line, feed pipe and overflow can run, and what lies buried.");
    if (pad.waived_rule) {
        add("The measured pad fails a siting rule: see that the reason to build there still stands.");
    }
    if (pad.feed_pump_head_m || pad.fill_pump_head_m) {
        add("See where power for the pump comes from.");
    }
    if (pad.canopy_share.value_or(0.0) > 0.0) {
        add("Trees stand over the pad: look at roots, limbs and leaves.");
    }
    if (property.notes.leaves) {
        add("Trees stand over a roof: look at gutters and screens.");
    }
    return checks;
}

}  // namespace eaveshed
