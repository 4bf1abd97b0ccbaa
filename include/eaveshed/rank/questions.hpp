// What to ask a landowner first: of all that was assumed about a parcel, what could change its outcome most.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "eaveshed/core/outcomes.hpp"

namespace eaveshed {

// The inputs that are assumed where nothing is known; also the order among equals.
enum class Question : std::uint8_t {
    water_source,
    people_and_garden,
    eave_height,
    use_point,
    material,
    connected_share,
};
inline constexpr std::size_t kQuestions = 6;

// What an outreach worker says on the phone, and between which values the assumption is varied.
struct QuestionWords {
    std::string_view name;    // as in the column ask_first
    std::string_view ask;     // the question, in plain words
    std::string_view varied;  // the quantity that `low` and `high` stand for
    double low = 0.0;
    double high = 0.0;
};

// The one table of wording and values, by Question. The values are judgement: where a spread is known they are its
// 10 % and 90 % quantiles.
[[nodiscard]] const std::array<QuestionWords, kQuestions>& question_words();
[[nodiscard]] const QuestionWords& words_of(Question question);

// What the screening finds for a parcel at one value of an assumption. Volume and gain >= 0.
struct ParcelOutcome {
    double forbearance_m3 = 0.0;
    double stream_gain_lps = 0.0;
    std::optional<GravityCheck> gravity_check = std::nullopt;  // empty without a pad: counts as no
};

struct AssumedInput {
    Question question = Question::water_source;
    ParcelOutcome low;  // at the table's low value, all else as it is
    ParcelOutcome high;
};

struct QuestionToAsk {
    Question question = Question::water_source;
    double change = 0.0;  // 0..1.5, what the order goes by
    ParcelOutcome low;
    ParcelOutcome high;
};

// A pump more or less counts half as much as all the water.
inline constexpr double kGravityWorth = 0.5;

// The share of the benefit at stake plus half the step in the gravity check:
//   max(|df| / max f, |dg| / max g) + 0.5 |dc|
// with d the difference and max the greater of the two outcomes, f forbearance, g stream gain (0 / 0 = 0), and c = 0,
// 0.5, 1 for no, cannot_tell, yes. It looks at one question alone, so that a further question never reorders the rest.
// method.md 8.10.
[[nodiscard]] double possible_change(const ParcelOutcome& low, const ParcelOutcome& high);

// The questions that could change most, at most `count` of them; ties in the order of the list above. What could change
// nothing is not asked.
[[nodiscard]] std::vector<QuestionToAsk> ask_first(std::span<const AssumedInput> assumed, std::size_t count = 3);

}  // namespace eaveshed
