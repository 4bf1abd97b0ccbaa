// The ranking of parcels: who is a candidate, by how much, in which order and how surely. One place for `screen` and
// `rank`.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/files/spill_array.hpp"
#include "eaveshed/rank/questions.hpp"
#include "eaveshed/rank/score.hpp"
#include "eaveshed/rank/stability.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/scenario_row.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// Whether the owner may be asked: nothing was said yet, or talks are under way.
[[nodiscard]] bool may_be_asked(ContactStatus status);

// Why a parcel is not ranked.
enum class NotRanked : std::uint8_t {
    contact,       // its owner is not to be asked, or has an agreement already
    no_pad,        // its storage has no place
    adds_nothing,  // to what is there already, in the scenario ranked by
};
// The first that applies; none for a candidate.
// method.md 8.1.
[[nodiscard]] std::optional<NotRanked> why_not_ranked(const ParcelRow& row);

// Ranked are parcels with an added forbearance above 0 and a pad, whose owner may be asked.
// method.md 8.1.
[[nodiscard]] bool is_candidate(const ParcelRow& row);

// What a row is judged by.
[[nodiscard]] ScoreComponents score_components(const ParcelRow& row);

[[nodiscard]] ScoreRule score_rule(const RankSettings& settings);

// The row with the volumes, gain, reliability and cost per m3 that a scenario gives the parcel: all that the ranking
// and the call lists show of it. `rank_scenario` names the scenario.
[[nodiscard]] ParcelRow in_scenario(ParcelRow row, const ScenarioRow& scenario);

// The row by which a parcel is ranked: as it is for `now`; in the scenario of that name; for `worst` in whichever of
// now and all scenarios its added forbearance is least, ties the first. `scenarios`: the parcel's own, with their
// names. Where the one named is not among them the parcel is no candidate.
// method.md 8.8.
[[nodiscard]] ParcelRow ranked_row(ParcelRow row, std::span<const ScenarioRow> scenarios, const std::string& by);

// The columns of a row that the ranking reads; the rest is left as it is.
class Ranking {
public:
    // What is named here outlives the object. `scratch`: a folder for what many candidates outgrow memory with, or
    // empty.
    explicit Ranking(const Settings& settings, const std::filesystem::path& scratch = {});

    // In any order, each position once; rows that are no candidates in the scenario of the settings are passed over.
    // `scenarios`: the parcel's own, with their names.
    void add(std::uint32_t position, const ParcelRow& row, std::span<const ScenarioRow> scenarios = {});
    // The same of a row from ranked_row.
    void add_ranked(std::uint32_t position, const ParcelRow& row);
    // After the last row. Draws are shared out over `threads`; their number changes nothing. No draws: no stability.
    void compute(unsigned threads);

    [[nodiscard]] std::size_t count() const { return m_entries.size(); }
    // Memory goes back to the system until the next call.
    void rest() const;
    // Positions, the best first.
    [[nodiscard]] std::vector<std::uint32_t> order() const;
    // Of the components with a weight those that no candidate has data for; none without candidates.
    [[nodiscard]] std::vector<std::string_view> components_without_data() const;
    // Fills score, components, tier, rank, stability and their flag; clears them for a row that was no candidate.
    void fill(std::uint32_t position, ParcelRow& row) const;

private:
    struct Entry {
        std::uint32_t position = 0;
        std::int32_t tier = 0;
        std::uint32_t rank = 0;
        std::uint32_t scenario = 0;  // position in m_scenarios
        double stability = 0.0;
    };
    void name_candidates();
    void sort_by_position();
    void compute_order();
    void compute_stability(unsigned threads);
    // Position in m_entries; none for a row that was no candidate.
    [[nodiscard]] std::optional<std::size_t> entry_of(std::uint32_t position) const;

    const Settings& m_settings;
    struct IdPlace {
        std::uint64_t first = 0;
        std::uint64_t length = 0;
    };
    SpillArray<char> m_letters;   // of the ids, one after another
    SpillArray<IdPlace> m_id_of;  // by candidate as they came
    // One of each a candidate; by position once computed. Apart, so that what computes on one of them needs no copy.
    SpillArray<Entry> m_entries;
    SpillArray<ScoreComponents> m_components;
    ComponentsKnown m_known{};  // to some candidate
    SpillArray<StabilityCandidate> m_candidates;
    std::vector<std::string> m_scenarios;  // all that there are
    std::vector<std::size_t> m_order;
};

// A question whose answer changes a figure as it is printed.
struct WordedQuestion {
    Question question = Question::water_source;
    std::string_view ask;       // after "Ask ": "where the summer water comes from"
    std::string_view to_owner;  // "Where does your summer water come from: creek, spring, well or mains?"
    std::string stakes;         // what hangs on it: "the gain is 0.0 L/s if the town mains, 0.412 L/s if the creek"
};
[[nodiscard]] std::vector<WordedQuestion> worded_questions(const std::vector<QuestionToAsk>& questions,
                                                           OutputUnits units);

// The questions of such a text as questions_text() makes it, put to those who live there; a sentence that is none of
// them stays as it is.
[[nodiscard]] std::vector<std::string> questions_to_owner(std::string_view text);

// All of them as one text for a call sheet: "Ask ...: what hangs on it. Ask ...". None without any.
[[nodiscard]] std::optional<std::string> questions_text(const std::vector<QuestionToAsk>& questions, OutputUnits units);

}  // namespace eaveshed
