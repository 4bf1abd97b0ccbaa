// Where a result may go.
#include <filesystem>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/place.hpp"
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
    std::string output = options.output.empty() ? project.resolved.basin.output : options.output;
    if (output.empty()) {
        throw input_error(project.file, "no name for the result", "basin.output, or -o OUT.gpkg", "give one of them");
    }
    if (fs::path(output).extension() != ".gpkg") {
        throw input_error(output, "an output that does not end in .gpkg", "a GeoPackage", "name it NAME.gpkg");
    }
    return output;
}

std::string checked_output(const Project& project, const ScreenOptions& options, const Inputs& inputs) {
    std::string output = output_name(project, options);
    const fs::path path(output);
    for (const FileRead& file : files_read(project, inputs)) {
        if (same_file(path, file.path)) {
            throw input_error(output, "an output that is an input of " + file.where, "another file",
                              "name another output");
        }
    }
    require_place_for_file(path, output);
    require_place_for_folder(output + ".work", output);
    std::error_code fault;
    if (fs::exists(fs::symlink_status(path, fault)) && !options.overwrite) {
        throw input_error(output, "a file that exists", "a new name",
                          "give --overwrite to replace it when the run is done, or another -o");
    }
    return output;
}

}  // namespace eaveshed
