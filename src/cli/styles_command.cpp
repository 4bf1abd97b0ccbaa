#include <CLI/CLI.hpp>
#include <ostream>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/result/style_files.hpp"

namespace eaveshed {

namespace {

struct StylesWords {
    std::string file;
    std::string folder;
    bool overwrite = false;
    CommonWords common;
};

}  // namespace

void add_styles_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto words = std::make_shared<StylesWords>();
    CLI::App& command = *program.add_subcommand(
        "styles",
        "Write the look of a finished file's layers as OGC SLD files, for map servers and viewers that take those");
    command.add_option("file", words->file, "A GeoPackage that was screened")->required()->type_name("OUT.gpkg");
    command.add_option("-o,--output", words->folder, "The folder for the files LAYER.sld; made when it is missing")
        ->required()
        ->type_name("DIR");
    command.add_flag("--overwrite", words->overwrite, "Replace descriptors that exist");
    add_common_words(command, words->common);
    command.callback([words, &out, &job] {
        job = [words, &out] {
            return run_logged(words->common, "styles", [&](Findings& findings) {
                for (const auto& path : write_style_files(words->file, words->folder, words->overwrite, findings)) {
                    out << path.string() << '\n';
                }
            });
        };
    });
}

}  // namespace eaveshed
