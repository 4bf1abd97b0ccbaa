// Which parcel each row of a call list means, and what it says of the talks with the owner.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/fieldbook/call_table.hpp"

namespace eaveshed {

// By position among the parcels; none where the list says nothing of a parcel. Ids are compared as they are; an id that
// no parcel has, yet is a number, is that of the one parcel whose id is the same number ("123" and "1.0" for "00123"
// and "1"): spreadsheets make numbers of ids. Of rows for one parcel with different words the later dated one holds;
// without two dates one that leaves the owner out, else the later row. Parcels with the same id have the same owner, as
// far as the list goes. Told: rows matched as numbers, rows for no parcel, rows that disagree, words that are not known
// (they leave the owner out). method.md 8.16.
[[nodiscard]] std::vector<std::optional<ContactStatus>> match_calls(const CallTable& calls,
                                                                    const std::vector<std::string>& parcel_ids,
                                                                    Findings& findings);

// "120 rows, 35 with a status", for what was understood.
[[nodiscard]] std::string calls_line(const CallTable& calls);

}  // namespace eaveshed
