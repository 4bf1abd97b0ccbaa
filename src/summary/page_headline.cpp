#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/words/wording.hpp"
#include "page_parts.hpp"

namespace eaveshed {

namespace {

std::string percent(double share) {
    constexpr double kWhole = 100.0;
    return fmt::format("{:.0f} %", kWhole * share);
}

// What "replaced" means in this file.
std::string meaning_of_volumes(const SummaryFacts& facts) {
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

class HeadlineTable {
public:
    explicit HeadlineTable(const SummaryFacts& facts)
        : m_facts(facts), m_units(facts.settings.output.units), m_text(head()) {}

    // What the creek feels is not known where no source is.
    void add(std::string_view name, const HeadlineSum& sum, bool felt_known) {
        const auto felt = [&](double value) { return felt_known ? std::optional(value) : std::nullopt; };
        m_text += line(name, sum.number > 0 ? std::to_string(sum.number) : "", m_units.entry("m3", sum.forbearance_m3),
                       m_units.entry("m3", felt(sum.felt_m3)), m_units.entry("L/s", felt(sum.felt_lps)));
    }
    [[nodiscard]] const std::string& text() const { return m_text; }

private:
    static std::string line(std::string_view name, const std::string& number, const std::string& replaced,
                            const std::string& felt, const std::string& flow) {
        return fmt::format("  {:<40}{:>10}{:>16}{:>16}{:>14}\n", name, number, replaced, felt, flow);
    }
    [[nodiscard]] std::string head() const {
        return line("", "", "replaced", "felt by creek", "mean flow") +
               line("a season", m_facts.of_parcels() ? "parcels" : "roofs", std::string(m_units.unit("m3")),
                    std::string(m_units.unit("m3")), std::string(m_units.unit("L/s")));
    }
    const SummaryFacts& m_facts;
    QuantityText m_units;
    std::string m_text;
};

std::uint64_t candidates(const SummaryFacts& facts) {
    std::uint64_t number = 0;
    for (const HeadlinePart part : {HeadlinePart::creek, HeadlinePart::source_not_known, HeadlinePart::other_source}) {
        number += facts.headline(to_text(part)).number;
    }
    return number;
}

// How the candidates' water would get in and out.
std::string delivery_line(const SummaryFacts& facts) {
    const std::uint64_t number = candidates(facts);
    if (number == 0) {
        return "";
    }
    const auto delivery = facts.record.counts<Delivery>("count.candidates.delivery.");
    const auto gravity = facts.record.counts<GravityCheck>("count.candidates.gravity_check.");
    const auto of = [&](Delivery kind) { return delivery[static_cast<std::size_t>(kind)]; };
    const auto sure = [&](GravityCheck check) { return gravity[static_cast<std::size_t>(check)]; };
    return wrapped(
        fmt::format(
            "Of the {} that can be asked, {} need no pump as far as the elevations tell ({} of them only at low "
            "pressure), {} a pump to use the water, {} one to fill the tank. That gravity alone does it is "
            "certain at {}, out of the question at {}, and open at {}.",
            number, of(Delivery::gravity) + of(Delivery::low_pressure), of(Delivery::low_pressure),
            of(Delivery::pumped_feed), of(Delivery::pumped_fill), sure(GravityCheck::yes), sure(GravityCheck::no),
            sure(GravityCheck::cannot_tell)),
        0);
}

}  // namespace

std::string headline_part(const SummaryFacts& facts) {
    const QuantityText units(facts.settings.output.units);
    const HeadlineSum creek = facts.headline(to_text(HeadlinePart::creek));
    const std::string things = facts.of_parcels() ? "parcel" : "roof";
    std::string text =
        creek.number == 0
            ? fmt::format(
                  "What the creek would feel: nothing that is known of. No {} that can be asked is known to "
                  "draw on the creek.",
                  things)
            : fmt::format(
                  "What the creek would feel: {} {} more on average over {} ({} {} a season), if all {} that "
                  "can be asked and draw on the creek take part.",
                  units.entry("L/s", creek.felt_lps), units.unit("L/s"), month_words(facts),
                  units.entry("m3", creek.felt_m3), units.unit("m3"), counted(creek.number, things));
    text = wrapped(text, 0) + wrapped(meaning_of_volumes(facts), 0) + "\n";
    HeadlineTable table(facts);
    const auto& parts = terms_of<HeadlinePart>();
    for (const Term& part : parts) {
        const HeadlineSum sum = facts.headline(part.name);
        if (sum.number > 0 || sum.forbearance_m3 > 0.0) {
            table.add(part.meaning, sum, facts.felt_is_known(part.name));
        }
    }
    table.add("all", facts.headline("all"), facts.felt_is_known("all"));
    text += table.text();
    if (facts.of_parcels()) {
        if (const HeadlineSum others = facts.headline("roofs_in_no_parcel"); others.number > 0) {
            text += wrapped(
                fmt::format("Not among them: {} in no parcel, with {} {} a season if each is a household of "
                            "its own; no parcel says whom to ask.",
                            counted(others.number, "roof"), units.entry("m3", others.forbearance_m3), units.unit("m3")),
                0);
        }
    } else {
        text += "Without parcels each roof is taken as a household of its own.\n";
    }
    return text + delivery_line(facts);
}

std::string roofs_part(const SummaryFacts& facts) {
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
    return wrapped(text, 0);
}

}  // namespace eaveshed
