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

std::string volume_text(double volume_m3) {
    constexpr double kSmall = 9.95;
    return fmt::format("{:.{}f} m3", volume_m3, volume_m3 < kSmall ? 1 : 0);
}

std::string flow_text(double flow_lps) {
    constexpr int kFigures = 3;
    return (flow_lps == 0.0 ? "0.0" : with_figures(flow_lps, kFigures)) + " L/s";
}

// "Ask where the summer water comes from: the gain is 0.0 L/s if the town mains, 0.412 L/s if the creek." Only the
// figures that differ.
std::string sentence(const QuestionToAsk& question) {
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
    add("the gain is", flow_text(low.stream_gain_lps), flow_text(high.stream_gain_lps));
    add("the tank replaces", volume_text(low.forbearance_m3), volume_text(high.forbearance_m3));
    add("without a pump?", check_text(low.gravity_check), check_text(high.gravity_check));
    return fmt::format("Ask {}{}{}.", phrase.ask, stakes.empty() ? "" : ": ", stakes);
}

}  // namespace

std::optional<std::string> questions_text(const std::vector<QuestionToAsk>& questions) {
    std::string text;
    for (const QuestionToAsk& question : questions) {
        text += (text.empty() ? "" : " ") + sentence(question);
    }
    return text.empty() ? std::nullopt : std::optional(text);
}

}  // namespace eaveshed
