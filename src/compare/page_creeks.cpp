#include <fmt/format.h>

#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/result/reaches_of_file.hpp"
#include "eaveshed/words/wording.hpp"
#include "page.hpp"
#include "totals.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kCreekLine = "  {:<36}{:>12}{:>12}{:>12}{:>12}{:>12}\n";

bool has_end(const PartSum* creek) {
    return creek != nullptr && !creek->end_reach_id.empty();
}

// Nobody to ask there, and nothing from upstream.
bool adds_nothing(const PartSum* creek) {
    return creek == nullptr || (creek->sum.number == 0 && creek->end_gain_lps.value_or(0.0) == 0.0);
}

std::string creek_line(const CreekTotal& total, const QuantityText& units) {
    const auto gain = [&](const PartSum* creek) {
        return has_end(creek) ? units.entry("L/s", creek->end_gain_lps) : std::string("-");
    };
    const auto share = [](const PartSum* creek) {
        return low_flow_percent(creek != nullptr ? creek->low_flow_share : std::nullopt);
    };
    constexpr std::size_t kNameBytes = 35;
    const std::string change = has_end(total.before) && has_end(total.after)
                                   ? units.entry_change("L/s", total.before->end_gain_lps, total.after->end_gain_lps)
                                   : "-";
    return fmt::format(kCreekLine, name_in_column(total.either().shown_name(), kNameBytes), gain(total.before),
                       gain(total.after), change, share(total.before), share(total.after));
}

std::string reaches_sentence(const std::vector<std::string>& ids, std::string_view what) {
    constexpr std::size_t kIdsNamed = 10;
    return ids.empty() ? ""
                       : page_lines(fmt::format("  {} {}: {}",
                                                ids.size() == 1 ? "1 reach" : fmt::format("{} reaches", ids.size()),
                                                what, listed(ids, kIdsNamed)),
                                    4);
}

}  // namespace

std::string creeks_part(const Comparison& comparison) {
    const QuantityText units(comparison.after.settings.output.units);
    std::string lines;
    std::size_t told = 0;
    for (const CreekTotal& total : creek_totals(comparison)) {
        if ((!adds_nothing(total.before) || !adds_nothing(total.after)) && ++told <= kShownChanges) {
            lines += creek_line(total, units);
        }
    }
    std::string text;
    if (told > 0) {
        const std::string_view unit = units.unit("L/s");
        text +=
            fmt::format(kCreekLine, "what those that can be asked add", unit, unit, unit, "of the low", "of the low");
        text += fmt::format(kCreekLine, "at the lower end of each creek", "before", "after", "change", "flow before",
                            "flow after");
        text += lines;
    }
    if (told > kShownChanges) {
        text += fmt::format("  and {}: --json has them all\n", counted(told - kShownChanges, "more creek"));
    }
    text += reaches_sentence(comparison.reaches_new, "in the file after alone");
    text += reaches_sentence(comparison.reaches_gone, "in the file before alone");
    return text.empty() ? text : "Streams\n" + text;
}

}  // namespace eaveshed
