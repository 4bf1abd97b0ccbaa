#include "property_pages.hpp"

#include <fmt/format.h>

#include <set>

#include "eaveshed/handout/property_page.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/revisit/properties.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

// "parcels/01W-0078.html"; names that differ in nothing but their case count as one.
std::string free_name(const std::string& parcel_id, std::set<std::string>& taken) {
    const std::string plain = file_name_of(parcel_id);
    std::string name = plain;
    for (int number = 2; !taken.insert(lower_case(name)).second; ++number) {
        name = fmt::format("{}-{}", plain, number);
    }
    return "parcels/" + name + ".html";
}

}  // namespace

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
    std::set<std::string> taken;
    for (const std::string& parcel_id : parcel_ids) {
        sheets.push_back({parcel_id, free_name(parcel_id, taken)});
        folder.write(sheets.back().file, property_page(property(run, result, parcel_id), rows.facts.settings, version));
    }
    return sheets;
}

}  // namespace eaveshed
