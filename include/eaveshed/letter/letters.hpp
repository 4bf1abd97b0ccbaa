// Letters: a user's own text with fields, filled for each chosen parcel. Values are plain text; nothing in them, nor in
// the text, is ever run or looked up.
//
// A field is `{{name}}`; blanks inside the braces do not count. Everything else stands as it is, line by line.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/summary/summary_facts.hpp"

namespace eaveshed {

struct LetterField {
    std::string name;
    std::string meaning;
};
// The fields that every letter may have: those made for people first, then the columns of the layer `parcels`.
[[nodiscard]] std::vector<LetterField> letter_fields();
// `eaveshed help letters`.
[[nodiscard]] std::string letter_help();

// A template cut into texts and fields: pieces of which every second one, from the second on, is a field's name.
class LetterTemplate {
public:
    // `where`: the file, for messages. `known`: names of fields. Input errors with the line: braces that are opened and
    // not closed, an unknown field with the nearest known one; a text that is not valid UTF-8.
    LetterTemplate(const std::string& text, const std::string& where, const std::vector<std::string>& known);

    // `values` by name; a field without one is an internal error.
    [[nodiscard]] std::string filled(const std::vector<std::pair<std::string, std::string>>& values) const;

private:
    std::vector<std::string> m_pieces;
};

// The values of one parcel: every field of letter_fields(), then the contact fields that do not bear one of their
// names.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> letter_values(
    const SummaryFacts& facts, const ParcelRow& row, const std::vector<std::string>& contact_names,
    const std::vector<std::string>& contact_entries);

}  // namespace eaveshed
