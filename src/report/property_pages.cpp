#include "property_pages.hpp"

#include <algorithm>

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
    SheetReport report{.version = rows.facts.record.text("program.version"),

                       .ranked = rows.can_be_asked().size(),
                       .basin_page = "../index.html"};
    ParcelFileNames names("parcels", ".html");
    for (const std::string& parcel_id : parcel_ids) {
        sheets.push_back({parcel_id, names.next(parcel_id)});
        const auto place = std::ranges::find(rows.places, parcel_id, &PlaceRow::id);
        report.rank = place == rows.places.end() ? std::nullopt : place->rank;
        folder.write(sheets.back().file, property_page(property(run, result, parcel_id), rows.facts.settings, report));
    }
    return sheets;
}

}  // namespace eaveshed
