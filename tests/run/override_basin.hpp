// A small basin screened with a table of measured values.
#pragma once

#include <algorithm>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"

namespace eaveshed {

using FileRows = std::vector<testing::OutputRow>;

// Every table whose rows the measured values can change.
inline const std::vector<std::string>& result_tables() {
    static const std::vector<std::string> kTables{"roofs",         "pads",           "use_points", "parcels",
                                                  "storage_curve", "parcel_options", "scenarios",  "overrides"};
    return kTables;
}

struct OverrideRun {
    std::map<std::string, FileRows> tables;
    std::string warnings;
    std::string notes;

    [[nodiscard]] const testing::OutputRow& row(const std::string& table, const std::string& id_column,
                                                const std::string& id) const {
        for (const testing::OutputRow& row : tables.at(table)) {
            if (testing::text(row, id_column) == id) {
                return row;
            }
        }
        throw std::runtime_error("no row " + id + " in " + table);
    }
    [[nodiscard]] const testing::OutputRow& roof(const std::string& id) const { return row("roofs", "roof_id", id); }
    [[nodiscard]] const testing::OutputRow& parcel(const std::string& id) const {
        return row("parcels", "parcel_id", id);
    }
    // "applied R1", "no_match", ...: of each row of the table, in its order.
    [[nodiscard]] std::vector<std::string> outcomes() const {
        std::vector<std::string> found;
        for (const testing::OutputRow& row : tables.at("overrides")) {
            const std::string to = testing::text(row, "applied_to");
            found.push_back(testing::text(row, "outcome") + (to.empty() ? "" : " " + to));
        }
        return found;
    }
};

inline OverrideRun run_of(const std::string& project, const std::string& output, const How& how = {}) {
    Findings findings;
    const Project loaded = load_project(project, findings);
    ScreenOptions options;
    options.output = output;
    options.overwrite = true;
    options.threads = how.threads;
    options.strict = how.strict;
    options.plan.tile_side_m = how.tile_side_m;
    Progress progress(ProgressStyle::none);
    (void)screen(loaded, options, findings, progress);
    OverrideRun run;
    for (const std::string& table : result_tables()) {
        run.tables[table] = testing::OutputFile(output).rows("SELECT * FROM " + table + " ORDER BY fid");
    }
    for (const Finding& finding : findings.list()) {
        (finding.severity == Severity::warning ? run.warnings : run.notes) += to_text(finding.trouble) + '\n';
    }
    return run;
}

// The basin with a table of these lines; `settings` are more lines under [overrides].
inline OverrideRun run_with(const testing::TempFolder& folder, SmallBasin basin, const std::string& csv,
                            const std::string& settings = "", const How& how = {}) {
    folder.write("measured.csv", csv);
    basin.settings += "[overrides]\nsource = \"measured.csv\"\n" + settings;
    return run_of(write_basin(folder, basin), folder.file("out.gpkg"), how);
}

inline OverrideRun run_with(const std::string& csv, const SmallBasin& basin = {}) {
    const testing::TempFolder folder;
    return run_with(folder, basin, csv);
}

inline const OverrideRun& run_without() {
    static const OverrideRun kRun = [] {
        const testing::TempFolder folder;
        return run_of(write_basin(folder, {}), folder.file("out.gpkg"));
    }();
    return kRun;
}

// "a,b,c" with and without one of its flags.
inline std::string with_flag(std::string flags, const std::string& flag) {
    std::vector<std::string> names;
    std::string name;
    for (const char c : flags + ",") {
        if (c != ',') {
            name += c;
        } else if (!name.empty()) {
            names.push_back(std::exchange(name, {}));
        }
    }
    names.push_back(flag);
    std::ranges::sort(names);
    names.erase(std::ranges::unique(names).begin(), names.end());
    std::string joined;
    for (const std::string& each : names) {
        joined += (joined.empty() ? "" : ",") + each;
    }
    return joined;
}

}  // namespace eaveshed
