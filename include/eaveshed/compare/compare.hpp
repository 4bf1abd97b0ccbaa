// What changed between two screenings, and why: a page for those to whom a new screening has to be explained, a list of
// every row that changed, and the same for programs.
#pragma once

#include <iosfwd>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/compare/causes.hpp"
#include "eaveshed/compare/changes.hpp"
#include "eaveshed/core/finding.hpp"
#include "eaveshed/offer/list_files.hpp"
#include "eaveshed/summary/summary_facts.hpp"

namespace eaveshed {

struct CompareRequest {
    std::string before;  // GeoPackages that were screened
    std::string after;
    ListFiles lists = {};  // CSV alone
    bool json = false;
};

// A parcel among the first of either ranking; none in a file that does not have it, or has its identifier twice.
struct RankedParcel {
    std::string id;
    std::optional<ParcelRow> before;
    std::optional<ParcelRow> after;
};

// What two files tell about each other. The rows are read from them again as they are shown.
struct Comparison {
    std::unique_ptr<ResultReader> before_file;
    std::unique_ptr<ResultReader> after_file;
    SummaryFacts before;
    SummaryFacts after;
    Causes causes;
    ComparedTable parcel_table;
    ComparedTable roof_table;
    Changes parcels;
    Changes roofs;
    std::vector<RankedParcel> ranking;      // those ranked first after, in their order; then others that were before
    std::vector<std::string> reaches_new;   // ids that only the file after has, in its order
    std::vector<std::string> reaches_gone;  // and only the file before
    std::vector<std::string> cautions;      // what cannot be compared, and why: sentences

    // Whether rows of parcels tell the change; else those of roofs do.
    [[nodiscard]] bool by_parcels() const { return before.of_parcels() && after.of_parcels(); }
    // Whether both cost in one currency, so that costs may be subtracted.
    [[nodiscard]] bool one_currency() const { return before.settings.cost.currency == after.settings.cost.currency; }
};

// Input errors: a file that no screening of this version wrote (read_summary, compared_parcels).
[[nodiscard]] Comparison compared(const std::string& before, const std::string& after, Findings& findings);

// A page of at most 100 columns in the units of the file after.
[[nodiscard]] std::string comparison_text(const Comparison& comparison);

// One object: files, cautions, totals, streams (where either file has any), ranking, causes, counts, then `parcels` and
// `roofs` with an object for every row that changed, one a line, the largest change first. SI; null where nothing is
// known.
void print_comparison_json(std::ostream& out, const Comparison& comparison);

// A line for every row that changed, parcels before roofs, the largest first, in the units of the file after. Written
// whole or not at all.
void write_comparison_csv(const std::string& path, const Comparison& comparison);

// All of it: page or JSON to `out`, the list where one is asked for. Input errors as compared() and require_lists();
// neither of the two files nor an input of theirs is written over.
void compare_screenings(const CompareRequest& request, std::ostream& out, Findings& findings);

}  // namespace eaveshed
