#include <algorithm>
#include <filesystem>

#include <fmt/format.h>

#include "eaveshed/draft/draft.hpp"
#include "eaveshed/words/text_lines.hpp"
#include "eaveshed/words/wording.hpp"
#include "sightings.hpp"

namespace eaveshed {

namespace {

// A comment of its own lines.
std::string comment(const std::string& text) {
    constexpr std::size_t kColumns = 96;
    std::string lines;
    for (const std::string& line : wrapped_lines(text, kColumns)) {
        lines += "# " + line + "\n";
    }
    return lines;
}

std::string line_text(const DraftLine& line) {
    const std::string setting = fmt::format("{}{} = {}", line.doubtful ? "#" : "", line.key, line.value);
    if (line.why.empty()) {
        return setting + "\n";
    }
    const std::string why = fmt::format("# {}: {}", line.doubtful ? "not sure" : "guess", printable(line.why, 400));
    constexpr std::size_t kBeside = 36;
    constexpr std::size_t kColumns = 110;
    if (std::max(kBeside, width_of(setting) + 2) + width_of(why) <= kColumns) {
        return fmt::format("{:<{}}{}\n", setting, std::max(kBeside, setting.size() + 2), why);
    }
    return why + "\n" + setting + "\n";
}

std::string section_text(const DraftSection& section) {
    const std::string_view mark = section.doubt.empty() ? "" : "#";
    const std::string heading = section.repeated ? "[[" + section.name + "]]" : "[" + section.name + "]";
    std::string text = section.doubt.empty() ? "\n" : "\n" + comment("not sure: " + printable(section.doubt, 400));
    text += fmt::format("{}{}\n", mark, heading);
    if (section.missing()) {
        text += comment("MISSING. " + section.wanted);
    }
    for (DraftLine line : section.lines) {
        line.doubtful = line.doubtful || !section.doubt.empty();
        text += line_text(line);
    }
    return text;
}

std::string leaf_of(const std::string& path) {
    return std::filesystem::path(path).filename().string();
}

// Name and role in columns of their own, the reason beside them.
std::string input_line(const DraftedInput& input) {
    constexpr std::size_t kBefore = 66;
    const std::string name = printable(leaf_of(input.path) + (input.layer.empty() ? "" : ", " + input.layer), 60);
    std::string text = fmt::format("  {:<36}  {:<26}", name, input.role.empty() ? "-" : input.role);
    std::size_t at = width_of(text);
    for (const std::string& line : wrapped_lines(printable(input.why, 600), kPageColumns - kBefore)) {
        text += (at > kBefore ? "\n" + std::string(kBefore, ' ') : std::string(kBefore - at, ' ')) + line;
        at = kBefore + 1;
    }
    return text + "\n";
}

}  // namespace

std::string toml_text(std::string_view text) {
    std::string quoted = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') {
            quoted += '\\';
            quoted += c;
        } else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) {
            quoted += fmt::format("\\u{:04X}", static_cast<unsigned>(c));
        } else {
            quoted += c;
        }
    }
    return quoted + "\"";
}

std::string draft_text(const Draft& draft, const std::string& output) {
    std::string text = comment(
        "Drafted by eaveshed check --new from what the files look like. What is a guess says why; what was not sure "
        "enough stands behind a #. Read it line by line, mend what is wrong, then run eaveshed check on it. `eaveshed "
        "settings` explains every setting; those left out have their defaults.");
    text += fmt::format("\n[basin]\nname = {}\noutput = {}\n", toml_text("New basin"), toml_text(output));
    for (const DraftSection& section : draft.sections) {
        text += section_text(section);
    }
    return text;
}

std::string draft_page(const Draft& draft, const std::string& project_file) {
    std::string text =
        fmt::format("Drafted {} from {}\n\n", printable(project_file), counted(draft.inputs.size(), "input"));
    for (const DraftedInput& input : draft.inputs) {
        text += input_line(input);
    }
    for (const DraftSection& section : draft.sections) {
        if (section.missing()) {
            text += "\n" +
                    wrapped_text(fmt::format("Still missing: [{}] {}", section.name, section.wanted), kPageColumns, 2);
        }
    }
    text += "\nEvery guess says its reason in the file. Next\n";
    text += fmt::format("  read and mend it               {}\n", printable(project_file));
    text += fmt::format("  have it held against the data  eaveshed check {}\n", shell_word(project_file));
    text += fmt::format("  screen the basin               eaveshed screen {}\n", shell_word(project_file));
    return text;
}

}  // namespace eaveshed
