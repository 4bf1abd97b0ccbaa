#include <CLI/CLI.hpp>
#include <ostream>
#include <string>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/offer/enrolment.hpp"
#include "eaveshed/offer/plan_reaches.hpp"

namespace eaveshed {

namespace {

struct EnrolWords {
    EnrolRequest request;
    std::string sizes = "any";
    std::string wanted = "gain";
    CommonWords common;
};

void enrol(const EnrolWords& words, std::ostream& out, Findings& findings) {
    if (words.request.budget.has_value() == words.request.target_lps.has_value()) {
        throw input_error("enrol", "neither a budget nor a target, or both", "--budget X or --target-lps Q",
                          "give one of them");
    }
    EnrolRequest request = words.request;
    request.sizes = words.sizes == "chosen" ? OfferedSizes::chosen : OfferedSizes::any;
    request.wanted = words.wanted == "volume" ? PlanFor::volume : PlanFor::gain;
    if (request.target_lps && request.wanted == PlanFor::volume) {
        throw input_error("enrol", "--for volume with --target-lps", "a budget for the most volume",
                          "give --budget, or leave --for out: a target is one of stream gain");
    }
    const Enrolment found = enrolment(request, findings);
    const ListFiles reaches{.csv = request.reaches_csv};
    write_lists(request.lists, enrolment_table(found, request));
    if (reaches.any()) {
        write_lists(reaches, plan_reaches_table(found));
    }
    out << enrolment_text(found, request)
        << lists_text(request.lists, "Enrolment" + asked_words(found.asked), !found.contacts.names.empty())
        << lists_text(reaches, "Gain by reach", false);
}

}  // namespace

void add_enrol_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto words = std::make_shared<EnrolWords>();
    CLI::App& command = *program.add_subcommand(
        "enrol", "Whom to enrol with which storage, for a budget or for a target of stream gain");
    command.footer(
        "Of each parcel that may be asked, has a pad and has a price the plan takes at most one size: with --budget "
        "the\n"
        "choice of most stream gain that costs no more, with --target-lps the cheapest that reaches the gain. What is\n"
        "enrolled already counts as present. The choice is exact, or its distance from the best is told. Lists name "
        "the\n"
        "size for each parcel and carry the contact fields of the project (parcels.carry); with the plan they hold "
        "the\n"
        "whole curve: which parcel to ask next, with which size, as money comes in.\n"
        "With --reach only parcels whose offers enter that reach or one upstream of it are considered, and the gain, "
        "that\n"
        "of enrolled parcels included, is the gain there; --creek does the same for the reaches of a name. Where the "
        "file\n"
        "has streams, the gain with the plan in place is added up downstream: --reaches-csv has it for every reach.\n"
        "\n"
        "  eaveshed enrol basin.gpkg --budget 150000 --xlsx plan.xlsx\n"
        "  eaveshed enrol basin.gpkg --target-lps 2.5 --sizes chosen\n"
        "  eaveshed enrol basin.gpkg --budget 80000 --where \"gravity_check = 'yes'\"\n"
        "  eaveshed enrol basin.gpkg --target-lps 0.5 --reach 12 --reaches-csv reaches.csv\n");
    command.add_option("file", words->request.file, "A GeoPackage that was screened")
        ->required()
        ->type_name("OUT.gpkg");
    command.add_option("--budget", words->request.budget, "What may be spent, in the project's currency")
        ->type_name("X")
        ->check(CLI::Range(0.0, 1e12));
    command.add_option("--target-lps", words->request.target_lps, "Stream gain to reach, L/s, at the least cost")
        ->type_name("Q")
        ->check(CLI::Range(0.0, 1e6));
    command
        .add_option("--sizes", words->sizes,
                    "any: each size that could stand at the parcel's pad (the default); chosen: only that of the "
                    "screening")
        ->type_name("any|chosen")
        ->check(CLI::IsMember({"any", "chosen"}));
    command
        .add_option("--for", words->wanted,
                    "gain: the most stream gain (the default); volume: the most added forbearance for the budget, "
                    "whatever its source")
        ->type_name("gain|volume")
        ->check(CLI::IsMember({"gain", "volume"}));
    command
        .add_option("--where", words->request.where,
                    "Consider only parcels for which an SQL expression over the columns of the layer parcels is true")
        ->type_name("EXPR");
    add_reach_words(command, words->request.reaches);
    add_list_words(command, words->request.lists);
    command
        .add_option("--reaches-csv", words->request.reaches_csv,
                    "Write the gain of every reach with the plan in place, what comes from upstream included, in SI")
        ->type_name("FILE");
    add_project_word(command, words->request.project, "contact fields are read from its parcels");
    add_common_words(command, words->common);
    command.callback([words, &out, &job] {
        job = [words, &out] {
            return run_logged(words->common, "enrol", [&](Findings& findings) { enrol(*words, out, findings); });
        };
    });
}

}  // namespace eaveshed
