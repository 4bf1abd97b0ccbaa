#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/summary/statements.hpp"
#include "eaveshed/words/wording.hpp"
#include "page_parts.hpp"

namespace eaveshed {

namespace {

std::string percent(double share) {
    constexpr double kWhole = 100.0;
    return fmt::format("{:.0f} %", kWhole * share);
}

}  // namespace

std::string volumes_sentence(const SummaryFacts& facts) {
    if (facts.only_means()) {
        return "Volumes are those of a mean year: nothing is known of dry winters, so no dependable volume is.";
    }
    std::string text =
        fmt::format("Volumes are dependable: reached in {} of the years", percent(facts.settings.storage.reliability));
    if (const auto& factor = facts.settings.rain.dry_winter_factor;
        factor && facts.settings.rain.kind == RainKind::monthly_normals) {
        text = fmt::format("Volumes are those of an assumed dry winter, {:g} of the mean year", *factor);
    }
    return text + ".";
}

std::string felt_sentence(const SummaryFacts& facts) {
    const QuantityText units(facts.settings.output.units);
    const HeadlineSum creek = facts.headline(to_text(HeadlinePart::creek));
    const std::string things = facts.of_parcels() ? "parcel" : "roof";
    return creek.number == 0
               ? fmt::format(
                     "What the creek would feel: nothing that is known of. No {} that can be asked is known to "
                     "draw on the creek.",
                     things)
               : fmt::format(
                     "What the creek would feel: {} {} more on average over {} ({} {} a season), if all {} that "
                     "can be asked and draw on the creek take part.",
                     units.entry("L/s", creek.felt_lps), units.unit("L/s"), month_words(facts),
                     units.entry("m3", creek.felt_m3), units.unit("m3"), counted(creek.number, things));
}

HeadlineLine headline_line(const SummaryFacts& facts, std::string_view name, const HeadlineSum& sum, bool felt_known) {
    const QuantityText units(facts.settings.output.units);
    const auto felt = [&](double value) { return felt_known ? std::optional(value) : std::nullopt; };
    return {std::string(name), sum.number > 0 ? std::to_string(sum.number) : "", units.entry("m3", sum.forbearance_m3),
            units.entry("m3", felt(sum.felt_m3)), units.entry("L/s", felt(sum.felt_lps))};
}

bool any_felt_known(const SummaryFacts& facts) {
    return facts.felt_is_known("all");
}

bool felt_known(const SummaryFacts& facts, std::string_view part) {
    return facts.felt_is_known(part);
}

std::vector<HeadlineLine> headline_lines(const SummaryFacts& facts) {
    std::vector<HeadlineLine> lines;
    for (const Term& part : terms_of<HeadlinePart>()) {
        const HeadlineSum sum = facts.headline(part.name);
        if (sum.number > 0 || sum.forbearance_m3 > 0.0) {
            lines.push_back(headline_line(facts, part.meaning, sum, felt_known(facts, part.name)));
        }
    }
    lines.push_back(headline_line(facts, "all", facts.headline("all"), any_felt_known(facts)));
    return lines;
}

std::string remainder_sentence(const SummaryFacts& facts) {
    if (!facts.of_parcels()) {
        return "Without parcels each roof is taken as a household of its own.";
    }
    const HeadlineSum others = facts.headline("roofs_in_no_parcel");
    const QuantityText units(facts.settings.output.units);
    return others.number == 0
               ? std::string()
               : fmt::format(
                     "Not among them: {} in no parcel, with {} {} a season if each is a household of "
                     "its own; no parcel says whom to ask.",
                     counted(others.number, "roof"), units.entry("m3", others.forbearance_m3), units.unit("m3"));
}

std::uint64_t candidates(const SummaryFacts& facts) {
    std::uint64_t number = 0;
    for (const HeadlinePart part : {HeadlinePart::creek, HeadlinePart::source_not_known, HeadlinePart::other_source}) {
        number += facts.headline(to_text(part)).number;
    }
    return number;
}

std::string delivery_sentence(const SummaryFacts& facts) {
    const std::uint64_t number = candidates(facts);
    if (number == 0) {
        return "";
    }
    const auto delivery = facts.record.counts<Delivery>("count.candidates.delivery.");
    const auto gravity = facts.record.counts<GravityCheck>("count.candidates.gravity_check.");
    const auto of = [&](Delivery kind) { return delivery[static_cast<std::size_t>(kind)]; };
    const auto sure = [&](GravityCheck check) { return gravity[static_cast<std::size_t>(check)]; };
    return fmt::format(
        "Of the {} that can be asked, {} need no pump as far as the elevations tell ({} of them only at low "
        "pressure), {} a pump to use the water, {} one to fill the tank. That gravity alone does it is "
        "certain at {}, out of the question at {}, and open at {}.",
        number, of(Delivery::gravity) + of(Delivery::low_pressure), of(Delivery::low_pressure),
        of(Delivery::pumped_feed), of(Delivery::pumped_fill), sure(GravityCheck::yes), sure(GravityCheck::no),
        sure(GravityCheck::cannot_tell));
}

std::string headline_part(const SummaryFacts& facts) {
    constexpr std::string_view kLine = "  {:<40}{:>10}{:>16}{:>16}{:>14}\n";
    const QuantityText units(facts.settings.output.units);
    std::string text = wrapped(felt_sentence(facts), 0) + wrapped(volumes_sentence(facts), 0) + "\n";
    text += fmt::format(kLine, "", "", "replaced", "felt by creek", "mean flow");
    text += fmt::format(kLine, "a season", facts.of_parcels() ? "parcels" : "roofs", units.unit("m3"), units.unit("m3"),
                        units.unit("L/s"));
    for (const HeadlineLine& line : headline_lines(facts)) {
        text += fmt::format(kLine, line.name, line.number, line.replaced, line.felt, line.flow);
    }
    for (const std::string& sentence : {remainder_sentence(facts), delivery_sentence(facts)}) {
        text += sentence.empty() ? "" : wrapped(sentence, 0);
    }
    return text;
}

std::string roofs_sentence(const SummaryFacts& facts) {
    const QuantityText units(facts.settings.output.units);
    const auto statuses = facts.record.counts<Status>("count.status.");
    std::string others;
    for (std::size_t i = 0; i < statuses.size(); ++i) {
        if (static_cast<Status>(i) != Status::ok && statuses[i] > 0) {
            others += fmt::format(", {} {}", statuses[i], spaced(terms_of<Status>()[i].name));
        }
    }
    std::string text =
        fmt::format("Roofs: {} in the input, {} computed{}. Their winter harvest: {} {} in a mean winter, ",
                    facts.record.count("count.rows"), facts.record.count("count.status.ok"), others,
                    units.entry("m3", facts.record.number("sum.harvest_mean_m3")), units.unit("m3"));
    const auto dependable = facts.record.number("sum.harvest_dependable_m3");
    text += dependable ? fmt::format("{} dependably (roof by roof).", units.entry("m3", dependable))
                       : std::string("dependably not known.");
    if (dependable && facts.headline("all").forbearance_m3 > *dependable) {
        text += fmt::format(
            " That more is replaced than a winter gives is no error: rain of the other months reaches the tanks too, "
            "{} included.",
            month_words(facts));
    }
    const auto reasons = facts.record.counts<PadReason>("count.no_pad_reason.");
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < reasons.size(); ++i) {
        if (reasons[i] > 0) {
            order.push_back(i);
        }
    }
    std::ranges::stable_sort(order, std::ranges::greater{}, [&](std::size_t i) { return reasons[i]; });
    if (!order.empty()) {
        constexpr std::size_t kShown = 4;
        std::string causes;
        for (std::size_t i = 0; i < std::min(order.size(), kShown); ++i) {
            causes += fmt::format("{}{} ({})", i == 0 ? "" : ", ", spaced(terms_of<PadReason>()[order[i]].name),
                                  reasons[order[i]]);
        }
        text += fmt::format(" Roofs without a place for a tank of their own, by the rule that removed most places: {}.",
                            causes);
    }
    return text;
}

std::string roofs_part(const SummaryFacts& facts) {
    return wrapped(roofs_sentence(facts), 0);
}

}  // namespace eaveshed
