// The parcels of a finished file, and what a list for people adds to them from the parcels that were screened: names
// and telephones, which the file never holds.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/result/result_reader.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// Every parcel of the file in its order for which `where`, an SQL expression over the columns of the layer, is true
// (empty: all). Input errors: a file without parcels, with what to do instead; an expression that is not understood.
void each_parcel(const ResultReader& result, const std::string& file, const std::string& where,
                 const std::function<void(ParcelRow&&)>& visit);

// The fields that the project carries into lists, of some parcels.
struct ContactFields {
    std::string file;                               // the parcels that were screened, as found; empty where not asked
    std::vector<std::string> names;                 // parcels.carry
    std::vector<std::vector<std::string>> entries;  // of each parcel asked for, by name; empty texts where not known
};

// `settings` of the finished file; `file` and `project` as recorded_project() has them (result/recorded_run.hpp).
// Nothing where the project carries no fields. Parcels that are not where they were are an input error that says what
// to do. Of equal ids the first stands, as in the screening.
[[nodiscard]] ContactFields contact_fields(const Settings& settings, const std::string& file,
                                           const std::string& project, const std::vector<std::string>& parcel_ids);

}  // namespace eaveshed
