#include "eaveshed/offer/list_files.hpp"

#include <fmt/format.h>

#include <filesystem>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/place.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

void require_list(const std::string& list, const std::string& extension, bool overwrite,
                  const std::vector<std::string>& kept) {
    if (list.empty()) {
        return;
    }
    const fs::path path(list);
    if (path.extension() != extension) {
        throw input_error(list, "a list that does not end in " + extension, "a name of that kind",
                          "name it NAME" + extension);
    }
    std::error_code fault;
    for (const std::string& file : kept) {
        if (!file.empty() && fs::equivalent(path, file, fault) && !fault) {
            throw input_error(list, "a list that would take the place of what it is made from", "another name",
                              "name another file");
        }
    }
    require_place_for_file(path, list);
    if (fs::exists(fs::symlink_status(path, fault)) && !overwrite) {
        throw input_error(list, "a list that exists, perhaps with entries made by hand", "a new name",
                          "name another file, or give --overwrite to replace it");
    }
}

}  // namespace

void require_lists(const ListFiles& files, const std::vector<std::string>& kept) {
    require_list(files.csv, ".csv", files.overwrite, kept);
    require_list(files.xlsx, ".xlsx", files.overwrite, kept);
}

void write_lists(const ListFiles& files, const Sheet& table) {
    if (!files.csv.empty()) {
        write_csv(files.csv, table);
    }
    if (!files.xlsx.empty()) {
        write_xlsx(files.xlsx, table);
    }
}

std::string lists_text(const ListFiles& files, const std::string& noun, bool personal) {
    std::string text;
    for (const std::string& file : {files.csv, files.xlsx}) {
        if (!file.empty()) {
            text += fmt::format("{}: {}{}\n", noun, file,
                                personal ? " (holds personal data: only you may read it; delete it after use)" : "");
        }
    }
    return text;
}

}  // namespace eaveshed
