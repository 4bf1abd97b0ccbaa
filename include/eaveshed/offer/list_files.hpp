// The files of a list for people outside the GIS: asked about before work starts, written at its end.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/sheet/sheet.hpp"

namespace eaveshed {

// As the user named them; empty: not wanted.
struct ListFiles {
    std::string csv = {};
    std::string xlsx = {};
    bool overwrite = false;

    [[nodiscard]] bool any() const { return !csv.empty() || !xlsx.empty(); }
};

// Input errors, before anything is written: a name without its extension, a list in place of one of `kept` (the files
// that it is made from; empty ones are none), a list that exists and is not to be overwritten, a folder of that name
// or none for it.
void require_lists(const ListFiles& files, const std::vector<std::string>& kept);

// Writes those that are wanted. Each is its owner's alone to read, and stands whole or not at all.
void write_lists(const ListFiles& files, const Sheet& table);

// "Call list: FILE" for each of them, with a caution where they hold personal data.
[[nodiscard]] std::string lists_text(const ListFiles& files, const std::string& noun, bool personal);

}  // namespace eaveshed
