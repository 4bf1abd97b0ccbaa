// Words that every working command understands.
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "eaveshed/cli/run_log.hpp"
#include "eaveshed/core/finding.hpp"
#include "eaveshed/offer/asked_reaches.hpp"
#include "eaveshed/offer/list_files.hpp"
#include "eaveshed/progress/progress.hpp"

namespace CLI {
class App;
}

namespace eaveshed {

struct CommonWords {
    ProgressStyle progress = ProgressStyle::automatic;
    std::string log;
    bool quiet = false;
    std::vector<std::string> hosts;  // that may be reached

    [[nodiscard]] ProgressStyle progress_style() const { return quiet ? ProgressStyle::none : progress; }
};

void add_common_words(CLI::App& command, CommonWords& words);

// Lets the hosts that were named be reached; what is no host is an input error. Before anything is opened.
void allow_network(const CommonWords& words);

// The words that allow the same in another command, each with a space before it.
[[nodiscard]] std::string network_words(const CommonWords& words);

// How much was read over the network, for the log and, unless quiet, on standard error. Nothing where nothing was.
void tell_network_use(const CommonWords& words, RunLog& log);

// Warnings (and with `notes` notes too) on standard error, one a line. Errors are thrown, and told where they are
// caught. Those before number `first` were shown already.
void show_findings(const Findings& findings, bool notes, std::size_t first = 0);

// Runs the work of a command that reads a finished file: its beginning, end and failure go to the log, warnings to
// standard error, also when it fails. 0, the code of a log that failed, or the error is thrown on.
int run_logged(const CommonWords& words, const std::string& command, const std::function<void(Findings&)>& work);

// --csv, --xlsx and --overwrite of a command that writes lists.
void add_list_words(CLI::App& command, ListFiles& files);

// --reach and --creek of a command that asks for parcels.
void add_reach_words(CLI::App& command, AskedReaches& reaches);

// --project of a command that reads inputs again; `what_for` ends its help.
void add_project_word(CLI::App& command, std::string& project, const std::string& what_for);

}  // namespace eaveshed
