// Features without a name, and texts in another encoding than UTF-8. Private to the module.
#pragma once

#include <fmt/format.h>

#include <cstdint>
#include <string>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

struct OddTexts {
    std::uint64_t unnamed = 0;   // nothing stands in the field that names them
    std::uint64_t replaced = 0;  // with a text that is not UTF-8
    std::string first_replaced;  // the id of the first of these
};

// `noun`: one feature of the layer.
inline void report_texts(const std::string& where, const OddTexts& texts, const std::string& noun, Findings& findings) {
    if (texts.unnamed > 0) {
        findings.warn({where, fmt::format("{} without an id", counted(texts.unnamed, noun)), "an id for each",
                       "fill the field, or name another: the number of the feature stands in for it"});
    }
    if (texts.replaced > 0) {
        findings.warn({where,
                       fmt::format("{} with text that is not UTF-8, such as {}", counted(texts.replaced, noun),
                                   printable(texts.first_replaced, 60)),
                       "text in UTF-8, or a shapefile that states its encoding",
                       "put a .cpg file beside a shapefile with the name of its encoding, such as CP1252, or save the "
                       "table in UTF-8: until then such signs are replaced (flag text_replaced)"});
    }
}

}  // namespace eaveshed
