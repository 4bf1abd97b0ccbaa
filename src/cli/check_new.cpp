#include "check_new.hpp"

#include <algorithm>
#include <filesystem>
#include <ostream>

#include "eaveshed/core/error.hpp"
#include "eaveshed/draft/draft.hpp"
#include "eaveshed/files/new_file.hpp"
#include "eaveshed/files/place.hpp"
#include "eaveshed/survey/survey.hpp"
#include "eaveshed/words/safe_output.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

void require_new(const std::string& output) {
    std::error_code fault;
    if (fs::path(output).extension() != ".toml") {
        throw input_error(output, "a name that does not end in .toml", "a project file", "name it NAME.toml");
    }
    if (fs::exists(fs::symlink_status(output, fault))) {
        throw input_error(output, "a file that exists", "a new name",
                          "name another with -o, or move that one out of the way: a draft never replaces a file");
    }
    require_place_for_file(output, output);
}

std::vector<FileSeen> seen_in(const std::vector<std::string>& names, Findings& findings) {
    std::vector<FileSeen> files;
    for (const std::string& path : files_to_survey(names)) {
        files.push_back(survey(path, findings));
    }
    const bool any = std::ranges::any_of(files, [](const FileSeen& file) { return file.trouble.empty(); });
    if (!any) {
        throw input_error("check --new",
                          files.empty() ? "no file that an input can be"
                                        : "no file that can be read; the first: " + files.front().trouble,
                          "footprints, elevations, rain and what else there is", "name the files, or their folder");
    }
    return files;
}

}  // namespace

void draft_new_project(const DraftWords& words, std::ostream& out, Findings& findings) {
    if (!words.output.empty()) {
        require_new(words.output);
    }
    const fs::path folder = words.output.empty() ? fs::current_path() : fs::absolute(words.output).parent_path();
    const Draft draft = draft_project(seen_in(words.files, findings), folder.string());
    const std::string stem = words.output.empty() ? "basin" : fs::path(words.output).stem().string();
    const std::string text = without_controls(draft_text(draft, stem + ".gpkg"));
    if (words.output.empty()) {
        out << text;
        return;
    }
    write_new_file(words.output, text, NewFile::Readers::all);
    out << draft_page(draft, words.output);
}

}  // namespace eaveshed
