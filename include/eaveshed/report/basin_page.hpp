// The basin's page: where, how much, how sure, what limits it, whom to call and what to ask.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/page/page_values.hpp"
#include "eaveshed/report/basin_rows.hpp"
#include "eaveshed/report/basin_shapes.hpp"
#include "eaveshed/result/recorded_run.hpp"

namespace eaveshed {

// The sheet of one property: its file, from where the page lies.
struct SheetLink {
    std::string parcel_id;
    std::string file;
};

// The whole page. `map`: an element; empty for none. No text of it is personal, and no path is of a machine: files
// stand with their names alone.
[[nodiscard]] std::string basin_page(const BasinRows& rows, const std::string& map,
                                     const std::vector<std::string>& left_out, const std::vector<RecordedInput>& inputs,
                                     const std::vector<SheetLink>& sheets = {});

// Parts that other pages share.
[[nodiscard]] std::string basin_title(const SummaryFacts& facts);
// Settings of the run that are not the defaults; paths are cut to the names of their files.
struct ChangedSetting {
    std::string name;
    std::string here;
    std::string by_default;
};
[[nodiscard]] std::vector<ChangedSetting> changed_settings(const Settings& settings);

}  // namespace eaveshed
