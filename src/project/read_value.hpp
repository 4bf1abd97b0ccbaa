// One value of a project file into its place. Private to the module; includes toml++.
#pragma once

#include <optional>
#include <string>

#include <toml++/toml.h>

#include "eaveshed/settings/table.hpp"

namespace eaveshed {

// Why a value is not taken.
struct Refusal {
    const toml::node* at = nullptr;  // the value, or the part of it
    std::string part;                // of a table: the entry's name
    std::string found;
    std::string wanted;
    std::string remedy;
};

// Puts the value into table `item` of its section, or says why not and leaves the setting alone.
[[nodiscard]] std::optional<Refusal> read_value(const toml::node& node, const Setting& setting, Settings& settings,
                                                std::size_t item);

}  // namespace eaveshed
