// Facts in order, as people and programs read them: made once, printed as plain text or as JSON.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/record/values.hpp"

namespace eaveshed {

// A sentence or several; in text wrapped to the line.
struct Words {
    std::string text;
};

// One named value. `key` is its name in JSON, ends in the SI unit and occurs once in its section. `from`: the setting,
// the data or the computation that it comes from. `sign` makes a sum of lines readable: '+', '-', '=', or ' ' for none.
struct Fact {
    char sign = ' ';
    std::string key;
    std::string label;
    Value value;  // null: "none"
    std::string unit;
    int decimals = 0;
    std::string from;
};

struct FactColumn {
    std::string key;
    std::string label;  // lines are split at '\n'; {} stands for the unit
    std::string unit{};
    int decimals = 0;  // of real numbers
};

struct FactTable {
    std::string key;
    std::vector<FactColumn> columns;
    std::vector<std::vector<Value>> rows;
};

using DocumentPart = std::variant<Words, Fact, FactTable>;

struct DocumentSection {
    std::string key;
    std::string title;
    std::vector<DocumentPart> parts;
};

struct Document {
    QuantityText units{OutputUnits::si};  // in which its quantities are; of JSON always SI
    std::string title;
    std::string note;                                 // under the title of the text
    std::vector<std::pair<std::string, Value>> head;  // of the JSON, by key: what the document is about
    std::vector<DocumentSection> sections;
};

// In lines of a page (kPageColumns); a single word or table that is wider stands as it is.
[[nodiscard]] std::string document_text(const Document& document);

// An object: the head's members, then each section by its key with `title`, `words`, `values`, `from` (by the values'
// keys) and its tables by theirs. Text that is not UTF-8 is mended.
[[nodiscard]] std::string document_json(const Document& document);

// A number as the text shows it.
[[nodiscard]] std::string shown(const Value& value, int decimals);

}  // namespace eaveshed
