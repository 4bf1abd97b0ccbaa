// The property sheets of a report. Private to the module.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/page/report_folder.hpp"
#include "eaveshed/report/basin_rows.hpp"
#include "eaveshed/report/report.hpp"
#include "eaveshed/result/result_reader.hpp"

namespace eaveshed {

// Where the sheet of a parcel stands in the report: "properties/01W-0078.html".
[[nodiscard]] std::string property_file(const std::string& parcel_id);

// Writes the sheet of each parcel, recomputed from the inputs, which are opened once. Input errors: a parcel that the
// file does not have, inputs that are not there. Two parcels whose file would have one name get numbers behind it.
// Gives how many were written.
std::size_t write_property_pages(const ReportRequest& request, const ResultReader& result, const BasinRows& rows,
                                 const std::vector<std::string>& parcel_ids, ReportFolder& folder, Findings& findings);

}  // namespace eaveshed
