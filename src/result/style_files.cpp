#include "eaveshed/result/style_files.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/new_file.hpp"
#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/result/result_reader.hpp"
#include "eaveshed/style/layer_styles.hpp"
#include "eaveshed/style/sld.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

struct StyleFile {
    fs::path path;
    std::string text;
};

void want_columns(const ResultReader& result, const std::string& file, const std::string& table,
                  const MapStyle& style) {
    const std::vector<std::string> columns = result.columns(table);
    for (const MapRule& rule : style.rules) {
        for (const Conditions& conditions : rule.when) {
            for (const Condition& condition : conditions) {
                if (std::ranges::find(columns, condition.column) == columns.end()) {
                    throw input_error(file, fmt::format("the layer {} has no column {}", table, condition.column),
                                      "a file of this version of the program", "screen the basin again");
                }
            }
        }
    }
}

std::vector<StyleFile> styles_of(const ResultReader& result, const std::string& file, const fs::path& folder) {
    const Settings settings = recorded_settings(result, file);
    const StyleChoice choice{!settings.parcels.from.source.empty(), settings.output.units == OutputUnits::us};
    std::vector<StyleFile> files;
    for (const OutputTable& output : output_tables()) {
        const std::string table(output.table.name);
        const MapStyle* const style = style_of(table, choice);
        if (style == nullptr || !result.has_table(table)) {
            continue;
        }
        want_columns(result, file, table, *style);
        files.push_back({folder / (table + ".sld"), sld_text(table, output.table.shape, *style)});
    }
    return files;
}

void require_free(const std::vector<StyleFile>& files, const fs::path& folder, bool overwrite) {
    std::error_code fault;
    if (fs::exists(folder, fault) && !fs::is_directory(folder, fault)) {
        throw input_error(folder.string(), "a file", "a folder for the descriptors", "name another with -o");
    }
    for (const StyleFile& file : files) {
        if (fs::is_directory(file.path, fault)) {
            throw input_error(file.path.string(), "a folder of that name", "a file", "name another folder with -o");
        }
        if (!overwrite && fs::exists(fs::symlink_status(file.path, fault))) {
            throw input_error(file.path.string(), "a descriptor that exists, perhaps changed by hand", "a new name",
                              "name another folder with -o, or give --overwrite to replace it");
        }
    }
}

}  // namespace

std::vector<fs::path> write_style_files(const std::string& geopackage, const std::string& folder, bool overwrite,
                                        Findings& findings) {
    const std::vector<StyleFile> files = styles_of(open_result(geopackage, findings), geopackage, folder);
    require_free(files, folder, overwrite);
    std::error_code fault;
    const bool made = fs::create_directories(folder, fault);
    if (fault) {
        const bool no_room = fault == std::errc::no_space_on_device;
        throw Error(no_room ? Fault::passing : Fault::input, {folder, "no folder can be made: " + fault.message(),
                                                              "a folder for the descriptors", "name another with -o"});
    }
    std::vector<fs::path> written;
    try {
        for (const StyleFile& file : files) {
            write_new_file(file.path, file.text, NewFile::Readers::all);
            written.push_back(file.path);
        }
    } catch (const Error&) {
        if (made && written.empty()) {
            fs::remove(folder, fault);
        }
        throw;
    }
    return written;
}

}  // namespace eaveshed
