#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <charconv>
#include <ostream>
#include <thread>

#include "eaveshed/cli/commands.hpp"
#include "eaveshed/cli/common_words.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/offer/call_list.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kShown = 25;

struct RankWords {
    RankRequest request;
    std::vector<std::string> weights;
    unsigned threads = 0;
    CommonWords common;
};

std::pair<std::string, double> weight_of(const std::string& words) {
    const auto equals = words.find('=');
    double value = 0.0;
    const char* const end = words.data() + words.size();
    const char* const begin = equals == std::string::npos ? end : words.data() + equals + 1;
    const auto [stop, fault] = std::from_chars(begin, end, value);
    if (fault != std::errc() || stop != end) {
        throw input_error("--weight", fmt::format("\"{}\"", words), "NAME=NUMBER", "for example --weight gravity=0.4");
    }
    return {words.substr(0, equals), value};
}

void rank(const RankWords& words, std::ostream& out, Findings& findings) {
    RankRequest request = words.request;
    for (const std::string& weight : words.weights) {
        request.weights.push_back(weight_of(weight));
    }
    request.threads = words.threads > 0 ? words.threads : std::max(1U, std::thread::hardware_concurrency());
    const CallList list = call_list(request, findings);
    write_lists(request.lists, call_table(list));
    out << call_text(list, kShown)
        << lists_text(request.lists, "Call list" + asked_words(list.asked), !list.contacts.names.empty());
}

}  // namespace

void add_rank_command(CLI::App& program, std::ostream& out, Job& job) {
    const auto words = std::make_shared<RankWords>();
    CLI::App& command =
        *program.add_subcommand("rank", "Rank the parcels again and write call lists, without screening");
    command.footer(
        "The parcels that may be asked and would add something, the best first. With --reach only those whose offers\n"
        "enter that reach or one upstream of it, with --creek those of the reaches that bear the name; --where "
        "narrows\n"
        "both. Where the streams' low flow is known, the weight low_flow_share favours what a small creek feels most.\n"
        "\n"
        "  eaveshed rank basin.gpkg --top 50 --xlsx calls.xlsx\n"
        "  eaveshed rank basin.gpkg --creek \"Quill Creek\" --weight low_flow_share=0.5 --csv calls.csv\n"
        "  eaveshed rank basin.gpkg --reach 12 --where \"gravity_check = 'yes'\"\n");
    command.add_option("file", words->request.file, "A GeoPackage that was screened")
        ->required()
        ->type_name("OUT.gpkg");
    command.add_option("--top", words->request.top, "Keep the first N parcels only")
        ->type_name("N")
        ->check(CLI::Range(1, 100'000'000));
    command
        .add_option("--where", words->request.where,
                    "Rank only parcels for which an SQL expression over the columns of the layer parcels is true")
        ->type_name("EXPR");
    command
        .add_option("--weight", words->weights,
                    "Another weight: stream_gain, low_flow_share, gravity, cost or reliability; may be repeated")
        ->type_name("NAME=W");
    command
        .add_option("--scenario", words->request.scenario,
                    "Rank by the volumes of a scenario of the file: its name, worst (each parcel by its own worst), or "
                    "now, as screened")
        ->type_name("NAME");
    command.add_option("--draws", words->request.draws, "Draws for the rank stability; 0: none, which is faster")
        ->type_name("N")
        ->check(CLI::Range(0, 1'000'000));
    add_reach_words(command, words->request.reaches);
    add_list_words(command, words->request.lists);
    add_project_word(command, words->request.project, "contact fields are read from its parcels");
    command.add_option("--threads", words->threads, "How many threads draw; without it one for each core")
        ->type_name("N")
        ->check(CLI::Range(1U, 1024U));
    add_common_words(command, words->common);
    command.callback([words, &out, &job] {
        job = [words, &out] {
            return run_logged(words->common, "rank", [&](Findings& findings) { rank(*words, out, findings); });
        };
    });
}

}  // namespace eaveshed
