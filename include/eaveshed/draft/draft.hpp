// A project file drafted from files that nobody has described: which is what, which field means what, and why it is
// thought so. Every guess says its reason, and what was not sure enough stands as a comment.
//
// Works on what was seen (survey/seen.hpp): the same sightings give the same draft.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/survey/seen.hpp"

namespace eaveshed {

// One setting of the draft. `value` is TOML, ready to write.
struct DraftLine {
    std::string key;
    std::string value;
    std::string why{};
    bool doubtful = false;  // written as a comment
};

struct DraftSection {
    std::string name;       // "footprints"
    bool repeated = false;  // [[exclusions]]
    std::string wanted{};   // of a required input that no file was found for
    std::vector<DraftLine> lines{};
    std::string doubt{};  // why the whole section stands behind #; empty where it does not

    [[nodiscard]] bool missing() const { return !wanted.empty(); }
};

// A file, or a layer of it, and what it is taken for.
struct DraftedInput {
    std::string path;
    std::string layer;  // empty where the file has one
    std::string role;   // "footprints.source"; empty where nothing is made of it
    std::string why;    // or why not
};

struct Draft {
    std::vector<DraftSection> sections;  // in the order of the settings
    std::vector<DraftedInput> inputs;    // in the order of the files
};

// `folder`: of the file to be written, absolute; empty: the working folder. Paths are made relative to it.
[[nodiscard]] Draft draft_project(const std::vector<FileSeen>& files, const std::string& folder);

// The project file. `output`: what `screen` is to write.
[[nodiscard]] std::string draft_text(const Draft& draft, const std::string& output);

// For the person who asked: a line an input, what is still missing, what to do next.
[[nodiscard]] std::string draft_page(const Draft& draft, const std::string& project_file);

}  // namespace eaveshed
