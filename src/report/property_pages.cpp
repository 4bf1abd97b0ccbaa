#include "property_pages.hpp"

#include "eaveshed/handout/property_page.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/revisit/properties.hpp"
#include "file_names.hpp"

namespace eaveshed {

std::vector<SheetLink> write_property_pages(const ReportRequest& request, const ResultReader& result,
                                            const BasinRows& rows, const std::vector<std::string>& parcel_ids,
                                            ReportFolder& folder, Findings& findings) {
    std::vector<SheetLink> sheets;
    if (parcel_ids.empty()) {
        return sheets;
    }
    Progress progress(ProgressStyle::none);
    Revisit run(result, request.file, request.project, findings, progress);
    const std::string version = rows.facts.record.text("program.version");
    ParcelFileNames names("parcels", ".html");
    for (const std::string& parcel_id : parcel_ids) {
        sheets.push_back({parcel_id, names.next(parcel_id)});
        folder.write(sheets.back().file, property_page(property(run, result, parcel_id), rows.facts.settings, version));
    }
    return sheets;
}

}  // namespace eaveshed
