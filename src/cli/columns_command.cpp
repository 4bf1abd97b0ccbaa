#include "eaveshed/cli/columns_command.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>
#include <vector>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/spelling.hpp"
#include "eaveshed/record/print_columns.hpp"

namespace eaveshed {

namespace {

void print_tables(std::ostream& out) {
    out << "Tables of the output. For each column: name, unit, which step of a run fills it; then what it means.\n\n";
    for (const Term& term : terms_of<FilledBy>()) {
        out << fmt::format("  {:<10} {}\n", term.name, term.meaning);
    }
    for (const OutputTable& output : output_tables()) {
        out << '\n';
        print_table_text(out, output);
    }
}

[[noreturn]] void refuse(const std::string& table) {
    std::vector<std::string_view> names;
    for (const OutputTable& output : output_tables()) {
        names.push_back(output.table.name);
    }
    const std::string_view near = closest_name(table, names);
    throw input_error("columns", fmt::format("\"{}\"", table), fmt::format("one of {}", fmt::join(names, ", ")),
                      near.empty() ? "leave the table out to see all" : fmt::format("did you mean {}?", near));
}

}  // namespace

int print_columns(std::ostream& out, const std::string& table, bool markdown) {
    if (markdown) {
        print_output_markdown(out);
        return 0;
    }
    if (table.empty()) {
        print_tables(out);
        return 0;
    }
    const auto& tables = output_tables();
    const auto found = std::ranges::find(tables, table, [](const OutputTable& output) { return output.table.name; });
    if (found == tables.end()) {
        refuse(table);
    }
    print_table_text(out, *found);
    return 0;
}

}  // namespace eaveshed
