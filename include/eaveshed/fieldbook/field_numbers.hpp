// Fields of numbers that hold other things, or numbers written in other ways.
#pragma once

#include <fmt/format.h>

#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/facts/fields.hpp"
#include "eaveshed/settings/value_ranges.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

// Tells what the fields of one layer held.
template <typename Facts>
class FieldNumbersReport {
public:
    // `noun`: one feature of the layer.
    FieldNumbersReport(const LayerFields<Facts>& fields, const std::string& where, const std::string& noun)
        : m_fields(fields), m_names(fields.names()), m_where(where), m_noun(noun) {}

    void tell(const NumberTexts& seen, Findings& findings) const {
        for (const auto& [place, texts] : seen.unread) {
            findings.warn({m_where, found(place, texts, "with no number in"), wanted(place),
                           "mend the field, or name another one: these values count as not known"});
        }
        for (const auto& [place, texts] : seen.two_ways) {
            findings.warn({m_where, found(place, texts, "with a number that can be read in two ways in"),
                           "a decimal point, and nothing between thousands",
                           "mend the field: these values count as not known"});
        }
        for (const auto& [place, texts] : seen.beyond) {
            const Setting& setting = m_fields.setting(place);
            findings.warn(
                {m_where, found(place, texts, "with a number that cannot be meant in"),
                 fmt::format("{}{}{}", to_text(setting.values), setting.unit.empty() ? "" : " ", setting.unit),
                 fmt::format("mend the field{}, and leave what is unknown empty: these values count as not "
                             "known",
                             hint(setting))});
        }
        for (const auto& [place, texts] : seen.restored) {
            findings.note({m_where, found(place, texts, "with a decimal comma or signs between thousands in"), "",
                           "they are read as such"});
        }
    }

private:
    [[nodiscard]] std::string found(std::size_t place, const NumberTexts::OfField& texts, const char* with_what) const {
        return fmt::format("{} {} the field \"{}\" ({}), the first \"{}\"", counted(texts.count, m_noun), with_what,
                           printable(m_names.at(place), 60), name_of(m_fields.setting(place)),
                           printable(texts.first, 60));
    }
    [[nodiscard]] static const char* hint(const Setting& setting) {
        if (!setting.unit.empty()) {
            return ", or state the unit that it is in";
        }
        return setting.values == value_ranges::kShare ? ", or write percent with their sign" : "";
    }
    [[nodiscard]] std::string wanted(std::size_t place) const {
        const Unit* const unit = convertible_unit(m_fields.setting(place));
        return unit == nullptr ? std::string("a number")
                               : fmt::format("a number, or one with a unit of {} ({})", to_text(unit->dimension),
                                             unit_names(unit->dimension));
    }

    const LayerFields<Facts>& m_fields;
    std::vector<std::string> m_names;
    const std::string& m_where;
    const std::string& m_noun;
};

// `noun`: one feature of the layer.
template <typename Facts>
void report_numbers(const LayerFields<Facts>& fields, const NumberTexts& seen, const std::string& where,
                    const std::string& noun, Findings& findings) {
    FieldNumbersReport<Facts>(fields, where, noun).tell(seen, findings);
}

}  // namespace eaveshed
