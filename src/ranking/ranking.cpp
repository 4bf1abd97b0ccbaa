#include "eaveshed/ranking/ranking.hpp"

#include <fmt/format.h>
#include <tbb/global_control.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <mutex>
#include <numeric>
#include <type_traits>
#include <utility>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/rank/pareto.hpp"
#include "eaveshed/stop/stop.hpp"
#include "eaveshed/stream/reach_tree.hpp"

namespace eaveshed {

namespace {

constexpr std::uint32_t kDrawsAtATime = 16;

StabilityCandidate stability_of(const ParcelRow& row, const Settings& settings) {
    StabilityCandidate candidate;
    candidate.store_m3 = row.usable_m3.value_or(0.0) - settings.storage.reserve_m3;
    candidate.existing_store_m3 = std::max(0.0, row.existing_storage_m3.value_or(0.0) - settings.storage.reserve_m3);
    candidate.harvest_m3 = row.harvest_dependable_m3.value_or(row.harvest_mean_m3.value_or(0.0));
    candidate.demand_m3 = row.demand_m3.value_or(0.0);
    candidate.source_share = row.source_share.value_or(0.0);
    if (row.low_flow_lps.value_or(0.0) > 0.0) {
        candidate.low_flow_lps = row.low_flow_lps;
    }
    candidate.cost = row.cost;
    candidate.season_reliability = row.season_reliability;
    if (row.fill_margin_m && row.pressure_kpa) {
        candidate.gravity = {.fill_margin_m = *row.fill_margin_m,
                             .feed_margin_kpa = *row.pressure_kpa - settings.siting.minimum_kpa,
                             .eave_sd_m = row.eave_sd_m.value_or(0.0),
                             .pad_sd_m = row.pad_sd_m.value_or(0.0)};
    }
    return candidate;
}

}  // namespace

ScoreComponents score_components(const ParcelRow& row) {
    return {.stream_gain_lps = row.added_gain_lps.value_or(0.0),
            .low_flow_share = share_of_low_flow(row.added_gain_lps.value_or(0.0), row.low_flow_lps),
            .gravity_probability = row.gravity_probability,
            .cost_per_m3 = row.cost_per_m3,
            .season_reliability = row.season_reliability};
}

bool may_be_asked(ContactStatus status) {
    switch (status) {
        case ContactStatus::candidate:
        case ContactStatus::contacted:
        case ContactStatus::interested:
        case ContactStatus::visit_booked:
        case ContactStatus::visited: return true;
        case ContactStatus::enrolled:
        case ContactStatus::declined:
        case ContactStatus::do_not_contact: break;
    }
    return false;
}

std::optional<NotRanked> why_not_ranked(const ParcelRow& row) {
    if (!may_be_asked(row.contact_status)) {
        return NotRanked::contact;
    }
    if (row.delivery == Delivery::no_pad) {
        return NotRanked::no_pad;
    }
    if (!row.delivery || !(row.added_forbearance_m3.value_or(0.0) > 0.0)) {
        return NotRanked::adds_nothing;
    }
    return std::nullopt;
}

bool is_candidate(const ParcelRow& row) {
    return !why_not_ranked(row);
}

ScoreRule score_rule(const RankSettings& settings) {
    return {.weights = {.stream_gain = settings.weight_stream_gain,
                        .low_flow_share = settings.weight_low_flow_share,
                        .gravity = settings.weight_gravity,
                        .cost = settings.weight_cost,
                        .reliability = settings.weight_reliability},
            .ranges = {.stream_gain_lps = settings.range_stream_gain_lps,
                       .low_flow_share = settings.range_low_flow_share,
                       .cost_per_m3 = settings.range_cost_per_m3}};
}

ParcelRow in_scenario(ParcelRow row, const ScenarioRow& scenario) {
    row.rank_scenario = scenario.scenario;
    row.harvest_mean_m3 = scenario.harvest_mean_m3;
    row.harvest_dependable_m3 = scenario.harvest_dependable_m3;
    row.demand_m3 = scenario.demand_m3;
    row.replaced_mean_m3 = scenario.replaced_mean_m3;
    row.replaced_dependable_m3 = scenario.replaced_dependable_m3;
    row.replaced_worst_m3 = scenario.replaced_worst_m3;
    row.forbearance_m3 = scenario.forbearance_m3;
    row.added_forbearance_m3 = scenario.added_forbearance_m3;
    row.instream_gain_lps = scenario.instream_gain_lps;
    row.added_gain_lps = scenario.added_gain_lps;
    row.season_reliability = scenario.season_reliability;
    row.low_flow_share = score_components(row).low_flow_share;
    row.cost_per_m3.reset();
    if (row.cost && row.added_forbearance_m3.value_or(0.0) > 0.0) {
        row.cost_per_m3 = *row.cost / *row.added_forbearance_m3;
    }
    return row;
}

ParcelRow ranked_row(ParcelRow row, std::span<const ScenarioRow> scenarios, const std::string& by) {
    row.rank_scenario = std::string(kScenarioNow);
    if (by == kScenarioNow) {
        return row;
    }
    if (by == kScenarioWorst) {
        const auto volume_m3 = [](const auto& of) { return of.added_forbearance_m3.value_or(0.0); };
        const auto least = std::ranges::min_element(scenarios, {}, volume_m3);
        const bool worse = least != scenarios.end() && volume_m3(*least) < volume_m3(row);
        return worse ? in_scenario(std::move(row), *least) : row;
    }
    const auto named = std::ranges::find(scenarios, by, &ScenarioRow::scenario);
    if (named != scenarios.end()) {
        return in_scenario(std::move(row), *named);
    }
    row.forbearance_m3.reset();
    row.added_forbearance_m3.reset();
    return row;
}

Ranking::Ranking(const Settings& settings, const std::filesystem::path& scratch)
    : m_settings(settings),
      m_letters(scratch),
      m_id_of(scratch),
      m_entries(scratch),
      m_components(scratch),
      m_candidates(scratch) {}

void Ranking::rest() const {
    m_letters.rest();
    m_id_of.rest();
    m_entries.rest();
    m_components.rest();
    m_candidates.rest();
}

void Ranking::add(std::uint32_t position, const ParcelRow& row, std::span<const ScenarioRow> scenarios) {
    add_ranked(position, ranked_row(row, scenarios, m_settings.rank.scenario));
}

void Ranking::add_ranked(std::uint32_t position, const ParcelRow& row) {
    if (!is_candidate(row)) {
        return;
    }
    const std::string scenario = row.rank_scenario.value_or("");
    auto found = std::ranges::find(m_scenarios, scenario);
    if (found == m_scenarios.end()) {
        found = m_scenarios.insert(found, scenario);
    }
    Entry entry;
    entry.position = position;
    entry.scenario = static_cast<std::uint32_t>(found - m_scenarios.begin());
    m_entries.push_back(entry);
    m_components.push_back(score_components(row));
    m_id_of.push_back({m_letters.size(), row.parcel_id.size()});
    m_letters.append(row.parcel_id.begin(), row.parcel_id.end());
    m_candidates.push_back(stability_of(row, m_settings));
}

// When no other id comes and moves those that are there.
void Ranking::name_candidates() {
    for (std::size_t i = 0; i < m_candidates.size(); ++i) {
        m_candidates[i].parcel_id = {m_letters.data() + m_id_of[i].first, m_id_of[i].length};
    }
}

void Ranking::sort_by_position() {
    if (std::ranges::is_sorted(m_entries, {}, &Entry::position)) {
        return;
    }
    std::vector<std::size_t> order(m_entries.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::sort(order, {}, [&](std::size_t i) { return m_entries[i].position; });
    const auto reorder = [&order](auto& items) {
        std::remove_reference_t<decltype(items)> sorted;
        sorted.reserve(items.size());
        for (const std::size_t i : order) {
            sorted.push_back(items[i]);
        }
        items = std::move(sorted);
    };
    reorder(m_entries);
    reorder(m_components);
    reorder(m_candidates);
}

void Ranking::compute_order() {
    const ScoreRule rule = score_rule(m_settings.rank);
    std::vector<double> scores;
    std::vector<std::string_view> ids;
    scores.reserve(m_entries.size());
    ids.reserve(m_entries.size());
    for (std::size_t i = 0; i < m_entries.size(); ++i) {
        scores.push_back(score(m_components[i], rule).value);
        ids.push_back(m_candidates[i].parcel_id);
    }
    m_order = ranking(scores, ids);
    for (std::size_t i = 0; i < m_order.size(); ++i) {
        m_entries[m_order[i]].rank = static_cast<std::uint32_t>(i) + 1;
    }
}

void Ranking::compute(unsigned threads) {
    name_candidates();
    sort_by_position();
    m_known = known_to_some(m_components);
    compute_order();
    const auto tiers = pareto_tiers(m_components);
    for (std::size_t i = 0; i < tiers.size(); ++i) {
        m_entries[i].tier = tiers[i];
    }
    compute_stability(threads);
}

void Ranking::compute_stability(unsigned threads) {
    const auto draws = static_cast<std::uint32_t>(m_settings.rank.draws);
    if (draws == 0 || m_entries.empty()) {
        return;
    }
    const StabilityDraws work(m_candidates,
                              {.score = score_rule(m_settings.rank),
                               .season_days = static_cast<double>(m_settings.season_months().forbear.mean_year_days()),
                               .top = static_cast<std::size_t>(m_settings.rank.top),
                               .seed = static_cast<std::uint64_t>(m_settings.rank.seed)});
    std::vector<std::uint32_t> counts(m_candidates.size(), 0);
    std::mutex adding;
    const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
    tbb::parallel_for(tbb::blocked_range<std::uint32_t>(0, draws, kDrawsAtATime),
                      [&](const tbb::blocked_range<std::uint32_t>& range) {
                          stop_if_requested();
                          std::vector<std::uint32_t> part(counts.size(), 0);
                          work.add_top_counts(range.begin(), range.end(), part);
                          const std::scoped_lock lock(adding);
                          for (std::size_t i = 0; i < counts.size(); ++i) {
                              counts[i] += part[i];
                          }
                      });
    for (std::size_t i = 0; i < counts.size(); ++i) {
        m_entries[i].stability = static_cast<double>(counts[i]) / static_cast<double>(draws);
    }
}

std::vector<std::uint32_t> Ranking::order() const {
    std::vector<std::uint32_t> positions;
    positions.reserve(m_order.size());
    for (const std::size_t entry : m_order) {
        positions.push_back(m_entries[entry].position);
    }
    return positions;
}

std::vector<std::string_view> Ranking::components_without_data() const {
    return m_entries.empty() ? std::vector<std::string_view>{} : known_to_none(m_known, score_rule(m_settings.rank));
}

std::optional<std::size_t> Ranking::entry_of(std::uint32_t position) const {
    const auto* const found = std::ranges::lower_bound(m_entries, position, {}, &Entry::position);
    return found != m_entries.end() && found->position == position ? std::optional(found - m_entries.begin())
                                                                   : std::nullopt;
}

void Ranking::fill(std::uint32_t position, ParcelRow& row) const {
    row.flags = row.flags.without(Flag::score_partial);
    const auto at = entry_of(position);
    const ScoreRule rule = score_rule(m_settings.rank);
    const Score score = at ? eaveshed::score(m_components[*at], rule) : Score{};
    row.score_stream_gain = score.scaled[0];
    row.score_low_flow_share = score.scaled[1];
    row.score_gravity = score.scaled[2];
    row.score_cost = score.scaled[3];
    row.score_reliability = score.scaled[4];
    row.score.reset();
    row.pareto_tier.reset();
    row.rank.reset();
    row.rank_stability.reset();
    row.rank_scenario.reset();
    if (!at) {
        return;
    }
    const Entry& entry = m_entries[*at];
    row.score = score.value;
    row.pareto_tier = entry.tier;
    row.rank = entry.rank;
    row.rank_scenario = m_scenarios[entry.scenario];
    if (m_settings.rank.draws > 0) {
        row.rank_stability = entry.stability;
    }
    if (is_partial(score, m_known, rule)) {
        row.flags.add(Flag::score_partial);
    }
}

}  // namespace eaveshed
