// Fields of numbers that hold other things. Private to the module.
#pragma once

#include <fmt/format.h>

#include <string>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/facts/fields.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

// `noun`: one feature of the layer.
template <typename Facts>
void report_unread(const LayerFields<Facts>& fields, const UnreadTexts& unread, const std::string& where,
                   const std::string& noun, Findings& findings) {
    const std::vector<std::string> names = fields.names();
    for (const auto& [place, texts] : unread.by_place) {
        const Setting& setting = fields.setting(place);
        const Unit* const unit = convertible_unit(setting);
        const std::string wanted = unit == nullptr ? std::string("a number")
                                                   : fmt::format("a number, or one with a unit of {} ({})",
                                                                 to_text(unit->dimension), unit_names(unit->dimension));
        findings.warn(
            {where,
             fmt::format("{} with no number in the field \"{}\" ({}), the first \"{}\"", counted(texts.count, noun),
                         printable(names.at(place), 60), name_of(setting), printable(texts.first, 60)),
             wanted + ", without thousands separators",
             "mend the field, or name another one: these values count as not known"});
    }
}

}  // namespace eaveshed
