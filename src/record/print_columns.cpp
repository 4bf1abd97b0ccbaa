#include "eaveshed/record/print_columns.hpp"

#include <algorithm>
#include <ostream>
#include <string>
#include <string_view>

namespace eaveshed {

namespace {

constexpr std::size_t kLineWidth = 110;

constexpr std::string_view kIntroduction =
    R"(One GeoPackage (OGC 12-128, version 1.3) with a spatial index on every layer that has a geometry. All layers are in the
coordinate reference system of the footprints, or in the one that `[output] crs` names. Titles, units and descriptions of
all columns, and the meanings of coded values, are in the file too (schema extension), and the run record also stands in
its metadata. Empty means null: a number that does not apply or is not known, with the reason in `status`, `flags` or
`no_pad_reason`.

Each layer with a geometry has a default style that viewers apply when they open the file, as a Styled Layer Descriptor
and as QML: parcels by rank, those of owners who opted out crossed out; without parcels roofs by forbearance volume in fixed
classes, so that two basins compare, the darkest the most; grey where there is no result; pads by delivery, with hue and
mark differing together, hollow where the heights cannot tell, a faint ring where the elevations are coarse. Labels, legends
and the tip at the pointer are in the units of the file. Tables without a geometry get their columns' titles.

A row of `parcels` is related to the rows of `roofs`, `pads` and `parcel_options` with its `parcel_id` (related tables
extension, OGC 18-000), each by a table that bears both names: a viewer that knows the extension shows them beside it. Of
parcels with one id the first has them.

Rows stand in the order of the input, all of them. A row whose status is not `ok` keeps its plan area (unless the geometry
is bad) and its parcel; all other numbers are null, and of the flags only `repaired`, `overlaps`, `text_replaced` and
`measured` are set.

In the tables below, the unit 1 is a plain number (a count, a share, a probability). With `[output] units = "us"` the file
also has the column named under "US twin", at the end of its table: the same quantity in gal, ft2, ft, in, psi or gpm. A
column that names a list under "words" holds one word of it, `flags` several joined by commas; [Words](#words) has them
all. "Filled by" is the step of a run that gives the column its values:
)";

constexpr std::string_view kSameBytes =
    R"(## Same bytes

The same inputs and settings give the same file, byte for byte, on one machine, whatever the number of threads. The times
inside the file are the newest modification time among the inputs.
)";

// Words broken into lines, each after the indent.
void print_wrapped(std::ostream& out, std::string_view words, std::string_view indent) {
    std::size_t width = 0;
    while (!words.empty()) {
        const std::string_view word = words.substr(0, words.find(' '));
        const bool fits = width > 0 && width + 1 + word.size() <= kLineWidth;
        out << (fits ? " " : width > 0 ? "\n" : "");
        if (!fits) {
            out << indent;
            width = indent.size();
        } else {
            ++width;
        }
        out << word;
        width += word.size();
        words.remove_prefix(std::min(word.size() + 1, words.size()));
    }
    out << '\n';
}

std::string code(std::string_view text) {
    return text.empty() ? std::string() : '`' + std::string(text) + '`';
}

std::string link(std::string_view list) {
    return '[' + std::string(list) + "](#" + std::string(list) + ')';
}

void print_terms_markdown(std::ostream& out, const ClosedList& list) {
    std::string sentence(list.meaning);
    sentence.front() = static_cast<char>(sentence.front() - 'a' + 'A');  // every list's begins with a small letter
    out << "### " << list.name << "\n\n" << sentence << ".\n\n| word | meaning |\n| --- | --- |\n";
    for (const Term& term : list.terms) {
        out << "| " << code(term.name) << " | " << term.meaning << " |\n";
    }
    out << '\n';
}

void print_table_markdown(std::ostream& out, const OutputTable& output) {
    out << "## " << output.table.name << "\n\n";
    print_wrapped(out, output.table.rows, "");
    out << "\n| column | unit | US twin | filled by | words | meaning |\n| --- | --- | --- | --- | --- | --- |\n";
    for (const Column& column : output.columns) {
        out << "| " << code(column.field.name) << " | " << column.field.unit << " | "
            << code(column.us ? column.us->name : "") << " | " << to_text(column.filled_by) << " | "
            << (column.list.terms.empty() ? "" : link(column.list.name)) << " | " << column.field.meaning << " |\n";
    }
    out << '\n';
    if (!output.table.notes.empty()) {
        print_wrapped(out, output.table.notes, "");
        out << '\n';
    }
}

std::string words_text(const Column& column) {
    std::string text;
    for (const Term& term : column.list.terms) {
        text += (text.empty() ? "" : ", ") + std::string(term.name);
    }
    return text.empty() ? text : (column.several ? " Any of: " : " One of: ") + text + '.';
}

std::string padded(std::string_view text, std::size_t width) {
    return std::string(text) + std::string(width - std::min(width, text.size()), ' ');
}

}  // namespace

void print_table_text(std::ostream& out, const OutputTable& output) {
    out << output.table.name << "  " << output.table.meaning << "\n\n";
    std::size_t width = 0;
    for (const Column& column : output.columns) {
        width = std::max(width, column.field.name.size());
    }
    for (const Column& column : output.columns) {
        const std::string_view unit = column.field.unit.empty() ? "-" : column.field.unit;
        out << "  " << padded(column.field.name, width) << "  " << padded(unit, 3) << "  " << to_text(column.filled_by)
            << '\n';
        print_wrapped(out,
                      std::string(column.field.meaning) + words_text(column) +
                          (column.us ? " In US units: " + column.us->name + '.' : ""),
                      "      ");
    }
}

void print_output_markdown(std::ostream& out) {
    out << "# What the output holds\n\nThis page is what `eaveshed columns --markdown` prints.\n\n"
        << kIntroduction << '\n';
    for (const Term& term : terms_of<FilledBy>()) {
        out << "- " << code(term.name) << ": " << term.meaning << '\n';
    }
    out << '\n';
    for (const OutputTable& output : output_tables()) {
        print_table_markdown(out, output);
    }
    out << "## Words\n\nThe only words that a coded column may hold. `eaveshed help statuses`, `flags`, `reasons` and "
           "`classes` print them too.\n\n";
    print_terms_markdown(out, closed_list<Flag>());
    for (const ClosedList& list : kOutputLists) {
        print_terms_markdown(out, list);
    }
    out << kSameBytes;
}

}  // namespace eaveshed
