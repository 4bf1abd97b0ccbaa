#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "eaveshed/record/ask_first.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/summary/statements.hpp"
#include "eaveshed/words/wording.hpp"
#include "page_parts.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kIdBytes = 13;
constexpr std::string_view kParcelListLine = "{:>4} {:>5} {:<13} {:>9} {:>6} {:>9} {:>7} {:>5}  {:<13}{:<12}{:>8}\n";

template <typename Enum>
std::string word_of(const std::optional<Enum>& value) {
    return value ? spaced(to_text(*value)) : std::string("-");
}

// A cell of the list; "-" where nothing is known, since the words would not fit.
std::string cell(const QuantityText& units, std::string_view si_unit, const std::optional<double>& value) {
    return value ? units.number(si_unit, value) : std::string("-");
}

std::string share_or_dash(const std::optional<double>& share) {
    constexpr double kWhole = 100.0;
    return share ? fmt::format("{:.0f} %", kWhole * *share) : std::string("-");
}

std::string cost_text(const std::optional<double>& cost) {
    constexpr int kFigures = 3;
    return cost ? with_figures(*cost, kFigures) : std::string("-");
}

// What the creek feels is not known where the water source is not: as on every page.
std::string creek_cell(const QuantityText& units, const Flags& flags, const std::optional<double>& gain_lps) {
    return flags.has(Flag::unknown_source) ? std::string(kNotKnown) : cell(units, "L/s", gain_lps);
}

std::string parcel_line(const QuantityText& units, const ParcelRow& row, bool with_steadiness) {
    return fmt::format(kParcelListLine, row.rank ? std::to_string(*row.rank) : "-",
                       row.score ? fmt::format("{:.2f}", *row.score) : "-", printable(row.parcel_id, kIdBytes - 3),
                       tanks_text(units, row.storage_m3, row.tank_count), cell(units, "m3", row.added_forbearance_m3),
                       creek_cell(units, row.flags, row.added_gain_lps), cost_text(row.cost),
                       cost_text(units.price_per("m3", row.cost_per_m3)), word_of(row.delivery),
                       word_of(row.gravity_check), share_or_dash(with_steadiness ? row.rank_stability : std::nullopt));
}

// How far the talks are, where there are any; then what to ask.
std::string note_of(const ParcelRow& row) {
    std::string note;
    if (row.contact_status != ContactStatus::candidate) {
        note = "Status: " + spaced(to_text(row.contact_status)) + ". ";
    }
    note += first_question(row.ask_first.value_or(""));
    return note.empty() ? note : wrapped("        " + note, 10);
}

}  // namespace

std::string tanks_text(const QuantityText& units, const std::optional<double>& storage_m3,
                       const std::optional<std::int64_t>& tank_count) {
    const std::int64_t tanks = std::max<std::int64_t>(1, tank_count.value_or(1));
    const std::string each = storage_m3 ? units.tank(*storage_m3 / static_cast<double>(tanks)) : std::string("-");
    return tanks > 1 ? fmt::format("{} x {}", tanks, each) : each;
}

bool steadiness_says(const SummaryFacts& facts, std::size_t ranked) {
    return ranked > static_cast<std::size_t>(std::max<std::int64_t>(0, facts.settings.rank.top));
}

std::string weights_text(const SummaryFacts& facts) {
    struct Part {
        std::string_view component;
        std::string_view word;
        double weight;
    };
    const RankSettings& rank = facts.settings.rank;
    const std::array parts{Part{"stream_gain", "creek", rank.weight_stream_gain},
                           Part{"low_flow_share", "share of the low flow", rank.weight_low_flow_share},
                           Part{"gravity", "gravity", rank.weight_gravity},
                           Part{"cost", "cost for the volume", rank.weight_cost},
                           Part{"reliability", "seasons served whole", rank.weight_reliability}};
    const std::string without = facts.record.text("ranking.components_without_data");
    double sum = 0.0;
    for (const Part& part : parts) {
        sum += without.find(part.component) == std::string::npos ? part.weight : 0.0;
    }
    std::string text;
    for (const Part& part : parts) {
        if (part.weight > 0.0 && without.find(part.component) == std::string::npos) {
            text += fmt::format("{}{} {}", text.empty() ? "" : ", ", part.word, share_or_dash(part.weight / sum));
        }
    }
    return text;
}

namespace {

std::string parcels_list(const SummaryFacts& facts) {
    const QuantityText units(facts.settings.output.units);
    const std::string volume(units.unit("m3"));
    const std::string flow(units.unit("L/s"));
    const std::string& currency = facts.settings.cost.currency;
    const std::uint64_t ranked = candidates(facts);
    const bool with_steadiness = steadiness_says(facts, ranked);
    std::string text =
        fmt::format("Whom to call first: the first {} of {} ranked parcels\n", facts.parcels.size(), ranked);
    text +=
        fmt::format(kParcelListLine, "", "", "", "tanks", "adds", "creek", "cost", "per", "", "no pump?", "stays in");
    text += fmt::format(kParcelListLine, "rank", "score", "parcel", volume, volume, flow, printable(currency, 7),
                        volume, "delivery", "", fmt::format("top {}", facts.settings.rank.top));
    bool no_cost = false;
    for (const ParcelRow& row : facts.parcels) {
        text += parcel_line(units, row, with_steadiness);
        text += note_of(row);
        no_cost = no_cost || !row.cost;
    }
    text += wrapped(
        fmt::format("  score: 0 to 1, made of {}; adds: what is replaced each season beyond storage that stands "
                    "already; creek: what of it the creek feels, mean of {}; delivery: by the elevations as "
                    "they are, no pump?: with their error, whether gravity alone fills and feeds{}; stays in: "
                    "share of {} draws of the uncertain inputs{}. The list tells whom to ask; which tanks give "
                    "most for a budget, smaller ones included, `eaveshed enrol` tells.",
                    weights_text(facts), month_words(facts),
                    no_cost ? "; cost -: not known, no price for some part of it" : "", facts.settings.rank.draws,
                    with_steadiness ? "" : "; -: no more are ranked"),
        2);
    return text;
}

constexpr std::string_view kRoofLine = "  {:>4}  {:<15} {:>13} {:>10} {:>10}  {:<14}{:<12}{:<9}\n";

std::string roofs_list(const SummaryFacts& facts) {
    const QuantityText units(facts.settings.output.units);
    const std::string volume(units.unit("m3"));
    const std::string flow(units.unit("L/s"));
    std::string text = fmt::format(
        "The {} roofs with a place for a tank that would replace most, most felt by the "
        "creek first\n",
        facts.roofs.size());
    text += fmt::format(kRoofLine, "", "", "tanks", "replaces", "creek", "", "no pump?", "limited");
    text += fmt::format(kRoofLine, "", "roof", volume, volume, flow, "delivery", "", "by");
    std::size_t number = 0;
    for (const RoofRow& row : facts.roofs) {
        text += fmt::format(kRoofLine, ++number, printable(row.roof_id, kIdBytes - 3),
                            tanks_text(units, row.storage_m3, row.tank_count), cell(units, "m3", row.forbearance_m3),
                            creek_cell(units, row.flags, row.instream_gain_lps), word_of(row.delivery),
                            word_of(row.gravity_check), word_of(row.limited_by));
    }
    return text + wrapped(
                      "Give parcels to rank owners, with people, garden and water source: without them every roof "
                      "is taken to have the default household.",
                      2);
}

}  // namespace

std::string list_part(const SummaryFacts& facts) {
    if (facts.of_parcels()) {
        return facts.parcels.empty()
                   ? "Whom to call first: nobody. No parcel can be asked and would replace anything.\n"
                   : parcels_list(facts);
    }
    return facts.roofs.empty() ? "No roof with a place for a tank replaces any summer diversion.\n" : roofs_list(facts);
}

}  // namespace eaveshed
