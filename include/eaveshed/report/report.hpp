// `eaveshed report`: pages and letters from a finished file, for people who have no GIS.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"

namespace eaveshed {

struct ReportRequest {
    std::string file;                       // the GeoPackage
    std::string folder;                     // of the report
    std::string project = {};               // as recorded_project() has it
    std::vector<std::string> parcels = {};  // chosen by identifier
    int top = 0;                            // and these first of the ranking
    std::string letter = {};                // a template; empty: no letters
    bool open_to_all = false;               // sums alone: for people who may not see single parcels
    bool overwrite = false;
};

struct ReportDone {
    std::vector<std::string> files;  // what was written, as paths
    std::size_t sheets = 0;          // of single properties, in the folder's folder parcels
    std::size_t letters = 0;
};

// Writes the whole report, or nothing. Input errors: a file that is none of ours or of an older version, a folder that
// may not be written (report_folder.hpp), an unknown parcel, a template's unknown field, words that contradict each
// other. What of a map cannot be read is left out, with a warning.
[[nodiscard]] ReportDone write_report(const ReportRequest& request, Findings& findings);

}  // namespace eaveshed
