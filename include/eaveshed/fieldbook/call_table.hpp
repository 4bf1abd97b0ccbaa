// A call list that people have filled in: how far talks are, by parcel.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/source/feature_source.hpp"

namespace eaveshed {

// The columns that lists have for people to fill in, as `rank` heads them and as they are found again: case, blanks,
// underscores and hyphens in a heading count nothing.
struct CallHeadings {
    static constexpr std::string_view kParcel = "Parcel id";
    static constexpr std::string_view kStatus = "Status";
    static constexpr std::string_view kDate = "Date";
    static constexpr std::string_view kOutcome = "Outcome";
    static constexpr std::string_view kNextStep = "Next step";
    static constexpr std::array<std::string_view, 5> kAll{kParcel, kStatus, kDate, kOutcome, kNextStep};
};

// Whether two headings are one to the reader of lists.
[[nodiscard]] bool same_heading(std::string_view a, std::string_view b);

// A row that says something.
struct CallEntry {
    std::int64_t row_number = 0;  // from 1, below the headings
    std::string parcel_id = {};   // without blanks around it, nor the apostrophe that lists put before formulas
    std::string status = {};      // as written; never empty
    std::string date = {};        // 2026-11-25; empty where there is none, or none that is written so
};

struct CallTable {
    VectorInfo info;
    std::vector<CallEntry> entries;
    std::size_t rows = 0;                  // all of them, also those without a status
    std::size_t without_id = 0;            // with a status
    std::size_t dates_not_understood = 0;  // of rows with a status
};

inline constexpr std::size_t kMostCallRows = 1'000'000;

// Input errors: no column of parcel ids or none of status, more than kMostCallRows rows, and what reading tells. A
// heading that stands twice is a warning: the first is used. Names, telephones, outcomes and next steps are not read.
// method.md 8.16.
[[nodiscard]] CallTable read_call_table(FeatureSource& source, Findings& findings);

}  // namespace eaveshed
