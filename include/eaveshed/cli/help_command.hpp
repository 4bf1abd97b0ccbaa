// `eaveshed help [TOPIC]`: what the words and codes of the output mean.
#pragma once

#include <iosfwd>
#include <string_view>
#include <vector>

namespace eaveshed {

// Names of the topics, in the order in which they are listed.
[[nodiscard]] std::vector<std::string_view> help_topics();

// The topic's page; without a topic the commands and the topics. Returns the exit code. An unknown topic throws an
// input error that names the nearest one.
int print_help(std::ostream& out, std::string_view topic);

}  // namespace eaveshed
