// What a finished file's page says, sentence by sentence and line by line, without line breaks or columns: `summary`
// sets it as plain text, `report` as HTML. Numbers are in the units of the project, rounded to what they mean; what is
// not known says so.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/record/headline.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/summary/summary_facts.hpp"

namespace eaveshed {

// What the creek would feel if all that can be asked and draw on it take part.
[[nodiscard]] std::string felt_sentence(const SummaryFacts& facts);
// What "replaced" means in this file.
[[nodiscard]] std::string volumes_sentence(const SummaryFacts& facts);

// A part of all that storage could replace in a season, as people read it.
struct HeadlineLine {
    std::string name;
    std::string number;  // of parcels or roofs; empty for none
    std::string replaced;
    std::string felt;
    std::string flow;
};
// One part; `felt_known`: whether it is known what the creek feels of it.
[[nodiscard]] HeadlineLine headline_line(const SummaryFacts& facts, std::string_view name, const HeadlineSum& sum,
                                         bool felt_known);
// Whether the creek's part is known of anything at all, and of this part.
[[nodiscard]] bool any_felt_known(const SummaryFacts& facts);
[[nodiscard]] bool felt_known(const SummaryFacts& facts, std::string_view part);
// The parts that are there, then all together.
[[nodiscard]] std::vector<HeadlineLine> headline_lines(const SummaryFacts& facts);
// What the parts do not hold; empty where there is nothing to say.
[[nodiscard]] std::string remainder_sentence(const SummaryFacts& facts);
// How the candidates' water would get in and out; empty without candidates.
[[nodiscard]] std::string delivery_sentence(const SummaryFacts& facts);
// Who can be asked: the three candidates' parts together.
[[nodiscard]] std::uint64_t candidates(const SummaryFacts& facts);
// Roofs by what became of them, their harvest, and why some have no place.
[[nodiscard]] std::string roofs_sentence(const SummaryFacts& facts);

// An assumption that decides some rows: the shares of computed roofs and of the volume that rest on it.
struct BasisLine {
    std::string_view what;
    std::string roofs;
    std::string volume;
    std::string_view instead;  // data that would replace it
};
[[nodiscard]] std::vector<BasisLine> basis_lines(const SummaryFacts& facts);
// "Nowhere assumed: ..."; empty where everything is somewhere.
[[nodiscard]] std::string nowhere_assumed_sentence(const SummaryFacts& facts);
// What the two shares are shares of.
[[nodiscard]] std::string_view basis_shares_sentence();
// The rain, the elevations, what the score leaves out, and how many warnings the run gave.
[[nodiscard]] std::vector<std::string> basis_sentences(const SummaryFacts& facts);

// "creek 35 %, ...": what the score is made of.
[[nodiscard]] std::string weights_text(const SummaryFacts& facts);

// "Aug, Sep, Oct".
[[nodiscard]] std::string month_words(const SummaryFacts& facts);
// "3 x 19": tanks and the volume of each, in the shown unit without its name; "-" for none.
[[nodiscard]] std::string tanks_text(const QuantityText& units, const std::optional<double>& storage_m3,
                                     const std::optional<std::int64_t>& tank_count);
// Whether to stay among the first says anything: not where all of the `ranked` are among them.
[[nodiscard]] bool steadiness_says(const SummaryFacts& facts, std::size_t ranked);

// What every page ends with.
inline constexpr std::string_view kNoDesign =
    "A screening is no design. Full tanks are heavy; roof water is not drinking water; permits, setbacks and water "
    "rights "
    "are local: local codes and licensed practice decide.";

}  // namespace eaveshed
