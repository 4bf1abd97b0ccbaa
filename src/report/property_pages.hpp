// The property sheets of a report. Private to the module.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/page/report_folder.hpp"
#include "eaveshed/report/basin_page.hpp"
#include "eaveshed/report/basin_rows.hpp"
#include "eaveshed/report/report.hpp"
#include "eaveshed/result/result_reader.hpp"

namespace eaveshed {

// Writes the sheet of each parcel, recomputed from the inputs, which are opened once. Input errors: a parcel that the
// file does not have, inputs that are not there. Two parcels whose file would have one name get numbers behind it.
// Gives how many were written.
std::vector<SheetLink> write_property_pages(const ReportRequest& request, const ResultReader& result,
                                            const BasinRows& rows, const std::vector<std::string>& parcel_ids,
                                            ReportFolder& folder, Findings& findings);

}  // namespace eaveshed
