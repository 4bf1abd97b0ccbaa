#include <fmt/format.h>

#include <array>
#include <string_view>

#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/record/quantity_text.hpp"

namespace eaveshed {

namespace {

// How a question reads in a list, by Question: what to ask, and what the low and the high value stand for.
struct QuestionPhrase {
    std::string_view ask;
    std::string_view if_low;
    std::string_view if_high;
};
constexpr std::array<QuestionPhrase, kQuestions> kPhrases{{
    {"where the summer water comes from", "if the town mains", "if the creek"},
    {"how many people live there in summer and how big the watered garden is", "if few and small", "if many and big"},
    {"how high the lowest gutter of the biggest roof is", "if lower than assumed", "if higher"},
    {"where most of the water is used", "if downhill", "if uphill"},
    {"what the roof is covered with", "if gravel", "if metal"},
    {"how much of the roof has gutters that lead to downspouts", "if half", "if all of it"},
}};

std::string_view check_text(const std::optional<GravityCheck>& check) {
    if (!check || *check == GravityCheck::no) {
        return "no";
    }
    return *check == GravityCheck::yes ? "yes" : "perhaps";
}

std::string volume_text(const QuantityText& units, double volume_m3) {
    constexpr double kSmall = 9.95;
    const double shown = units.shown("m3", volume_m3);
    return fmt::format("{:.{}f} {}", shown, shown < kSmall ? 1 : 0, units.unit("m3"));
}

std::string flow_text(const QuantityText& units, double flow_lps) {
    constexpr int kFigures = 3;
    const double shown = units.shown("L/s", flow_lps);
    return fmt::format("{} {}", shown == 0.0 ? "0.0" : with_figures(shown, kFigures), units.unit("L/s"));
}

// "Ask where the summer water comes from: the gain is 0.0 L/s if the town mains, 0.412 L/s if the creek." Only the
// figures that differ; empty where none does as it is printed: then the answer changes nothing worth a question.
std::string sentence(const QuestionToAsk& question, const QuantityText& units) {
    const QuestionPhrase& phrase = kPhrases.at(static_cast<std::size_t>(question.question));
    const ParcelOutcome& low = question.low;
    const ParcelOutcome& high = question.high;
    std::string stakes;
    const auto add = [&](std::string_view what, std::string_view at_low, std::string_view at_high) {
        if (at_low != at_high) {
            stakes += fmt::format("{}{} {} {}, {} {}", stakes.empty() ? "" : "; ", what, at_low, phrase.if_low, at_high,
                                  phrase.if_high);
        }
    };
    add("the gain is", flow_text(units, low.stream_gain_lps), flow_text(units, high.stream_gain_lps));
    add("the tank replaces", volume_text(units, low.forbearance_m3), volume_text(units, high.forbearance_m3));
    add("without a pump?", check_text(low.gravity_check), check_text(high.gravity_check));
    return stakes.empty() ? stakes : fmt::format("Ask {}: {}.", phrase.ask, stakes);
}

}  // namespace

std::vector<std::string> question_sentences(const std::vector<QuestionToAsk>& questions, OutputUnits units) {
    const QuantityText shown(units);
    std::vector<std::string> sentences;
    for (const QuestionToAsk& question : questions) {
        if (std::string next = sentence(question, shown); !next.empty()) {
            sentences.push_back(std::move(next));
        }
    }
    return sentences;
}

std::optional<std::string> questions_text(const std::vector<QuestionToAsk>& questions, OutputUnits units) {
    std::string text;
    for (const std::string& next : question_sentences(questions, units)) {
        text += (text.empty() ? "" : " ") + next;
    }
    return text.empty() ? std::nullopt : std::optional(text);
}

}  // namespace eaveshed
