// The streams of a finished file, as its layer `reaches` has them: which reach flows into which, and what is known of
// each.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "eaveshed/record/reach_row.hpp"
#include "eaveshed/result/result_reader.hpp"
#include "eaveshed/stream/reach_tree.hpp"

namespace eaveshed {

struct FileReaches {
    bool layer = false;          // whether the file has one: files of older versions have none
    std::vector<ReachRow> rows;  // in the file's order, by which the tree numbers them
    ReachTree tree;
    std::unordered_map<std::string, std::uint32_t> numbers;  // by reach_id

    [[nodiscard]] bool empty() const { return rows.empty(); }
    // kNoReach for none, and for one that is not among them.
    [[nodiscard]] std::uint32_t number(const std::optional<std::string>& reach_id) const;
};

// Empty without the layer or without rows in it. A reach whose next one is not there is an outlet. An id
// that stands twice and reaches that flow in a circle are input errors: no screening writes them.
[[nodiscard]] FileReaches reaches_of_file(const ResultReader& result, const std::string& file);

// Equal for names of one creek: case (of the 26 letters) and blanks around a name count nothing.
[[nodiscard]] std::string creek_key(std::string_view name);

// As pages show them. The name of a reach, a creek or a part of a basin in at most `most` bytes; "-" for none.
[[nodiscard]] std::string name_in_column(const std::string& name, std::size_t most);
// A share of the low flow, two figures: "11 %"; "-" for none.
[[nodiscard]] std::string low_flow_percent(std::optional<double> share);

}  // namespace eaveshed
