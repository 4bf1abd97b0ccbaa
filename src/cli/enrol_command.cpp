#include <CLI/CLI.hpp>
#include <ostream>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/offer/enrolment.hpp"
#include "eaveshed/offer/list_files.hpp"

namespace eaveshed {

namespace {

struct EnrolWords {
    EnrolRequest request;
    std::string reach;
    ListFiles lists;
    CommonWords common;
};

void enrol(const EnrolWords& words, std::ostream& out, Findings& findings) {
    if (!words.reach.empty()) {
        throw input_error("--reach " + words.reach, "a file without reaches", "a target for the whole basin",
                          "leave --reach out: reaches are not computed in this version");
    }
    if (words.request.budget.has_value() == words.request.target_lps.has_value()) {
        throw input_error("enrol", "neither a budget nor a target, or both", "--budget X or --target-lps Q",
                          "give one of them");
    }
    require_lists(words.lists, {words.request.file});
    const Enrolment found = enrolment(words.request, findings);
    write_lists(words.lists, enrolment_table(found));
    out << enrolment_text(found, words.request);
}

}  // namespace

void add_enrol_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto words = std::make_shared<EnrolWords>();
    CLI::App& command =
        *program.add_subcommand("enrol", "Whom to enrol for a budget or for a target of stream gain, chosen exactly");
    command.add_option("file", words->request.file, "A GeoPackage that was screened")
        ->required()
        ->type_name("OUT.gpkg");
    command.add_option("--budget", words->request.budget, "What may be spent, in the project's currency")
        ->type_name("X")
        ->check(CLI::Range(0.0, 1e12));
    command.add_option("--target-lps", words->request.target_lps, "Stream gain to reach, L/s, at the least cost")
        ->type_name("Q")
        ->check(CLI::Range(0.0, 1e6));
    command.add_option("--reach", words->reach, "The reach at which the target holds, instead of the whole basin")
        ->type_name("ID");
    add_list_words(command, words->lists);
    add_common_words(command, words->common);
    command.callback([words, &out, &job] {
        job = [words, &out] {
            return run_logged(words->common, "enrol", [&](Findings& findings) { enrol(*words, out, findings); });
        };
    });
}

}  // namespace eaveshed
