// Where a result may go.
#include <unistd.h>

#include <filesystem>

#include "eaveshed/core/error.hpp"
#include "eaveshed/inputs/input_files.hpp"
#include "eaveshed/run/screen.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

bool same_file(const fs::path& a, const fs::path& b) {
    std::error_code fault;
    return fs::equivalent(a, b, fault) && !fault;
}

}  // namespace

std::string output_name(const Project& project, const ScreenOptions& options) {
    const std::string output = options.output.empty() ? project.resolved.basin.output : options.output;
    if (output.empty()) {
        throw input_error(project.file, "no name for the result", "basin.output, or -o OUT.gpkg", "give one of them");
    }
    if (fs::path(output).extension() != ".gpkg") {
        throw input_error(output, "an output that does not end in .gpkg", "a GeoPackage", "name it NAME.gpkg");
    }
    return output;
}

std::string checked_output(const Project& project, const ScreenOptions& options, const Inputs& inputs) {
    const std::string output = output_name(project, options);
    const fs::path path(output);
    for (const FileRead& file : files_read(project, inputs)) {
        if (same_file(path, file.path)) {
            throw input_error(output, "an output that is an input of " + file.where, "another file",
                              "name another output");
        }
    }
    const fs::path folder = path.has_parent_path() ? path.parent_path() : fs::path(".");
    std::error_code fault;
    if (!fs::is_directory(folder, fault)) {
        throw input_error(output, "no folder " + folder.string(), "a folder that exists", "make it, or name another");
    }
    if (::access(folder.c_str(), W_OK | X_OK) != 0) {
        throw input_error(output, "a folder that may not be written to", "write permission", "choose another folder");
    }
    if (fs::is_directory(path, fault)) {
        throw input_error(output, "a folder of that name", "a file", "name another output");
    }
    if (fs::exists(fs::symlink_status(path, fault)) && !options.overwrite) {
        throw input_error(output, "a file that exists", "a new name",
                          "give --overwrite to replace it when the run is done, or another -o");
    }
    return output;
}

}  // namespace eaveshed
