#include <CLI/CLI.hpp>
#include <ostream>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/report/report.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

struct ReportWords {
    ReportRequest request;
    CommonWords common;
};

void report(const ReportWords& words, std::ostream& out, Findings& findings) {
    const ReportDone done = write_report(words.request, findings);
    for (const std::string& file : done.files) {
        out << "Report: " << file << '\n';
    }
    if (done.sheets > 0) {
        out << counted(done.sheets, "sheet") << " of single properties in its folder parcels\n";
    }
    if (done.letters > 0) {
        out << counted(done.letters, "letter")
            << " (may hold personal data: only you may read them; delete them after use)\n";
    }
}

}  // namespace

void add_report_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto words = std::make_shared<ReportWords>();
    CLI::App& command = *program.add_subcommand("report",
                                                "Pages for people without a GIS: the basin on a map, in charts and a "
                                                "list; sheets of single properties; letters; a page for all");
    command.footer(
        "The page is one file that opens from disk, without a network, and prints on A4 and Letter. It holds no "
        "personal\n"
        "data; its list names parcels. --public gives a page of sums alone: no parcel, nothing of fewer than five.\n"
        "--letter fills a text of your own for each chosen parcel; `eaveshed help letters` lists its fields.\n"
        "\n"
        "  eaveshed report basin.gpkg -o report\n"
        "  eaveshed report basin.gpkg -o for_the_board --public\n"
        "  eaveshed report basin.gpkg -o round_1 --top 20 --letter letter.txt\n");
    command.add_option("file", words->request.file, "A GeoPackage that was screened")
        ->required()
        ->type_name("OUT.gpkg");
    command.add_option("-o,--output", words->request.folder, "The report's folder, which is made")
        ->required()
        ->type_name("DIR");
    command
        .add_option("--parcel", words->request.parcels,
                    "A parcel that gets a sheet (and a letter); may be given several times")
        ->type_name("ID")
        ->allow_extra_args(false);
    command
        .add_option("--top", words->request.top,
                    "So many parcels, the first of the ranking, get a sheet (and a letter)")
        ->type_name("N")
        ->check(CLI::Range(1, 1'000'000));
    command.add_option("--letter", words->request.letter, "A text of your own with fields such as {{parcel_id}}")
        ->type_name("FILE");
    command.add_flag("--public", words->request.open_to_all, "Sums alone, for those who may not see single parcels");
    command.add_flag("--overwrite", words->request.overwrite, "Replace a report that exists");
    add_project_word(command, words->request.project,
                     "elevations, streams and contact fields are read from its inputs");
    add_common_words(command, words->common);
    command.callback([words, &out, &job] {
        job = [words, &out] {
            return run_logged(words->common, "report", [&](Findings& findings) { report(*words, out, findings); });
        };
    });
}

}  // namespace eaveshed
