#include "property_pages.hpp"

#include <fmt/format.h>

#include <set>

#include "eaveshed/handout/property_page.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/revisit/properties.hpp"

namespace eaveshed {

std::string property_file(const std::string& parcel_id) {
    return "properties/" + file_name_of(parcel_id) + ".html";
}

std::size_t write_property_pages(const ReportRequest& request, const ResultReader& result, const BasinRows& rows,
                                 const std::vector<std::string>& parcel_ids, ReportFolder& folder, Findings& findings) {
    if (parcel_ids.empty()) {
        return 0;
    }
    Progress progress(ProgressStyle::none);
    Revisit run(result, request.file, request.project, findings, progress);
    const std::string version = rows.facts.record.text("program.version");
    std::set<std::string> taken;
    for (const std::string& parcel_id : parcel_ids) {
        std::string file = property_file(parcel_id);
        for (int number = 2; !taken.insert(file).second; ++number) {
            file = fmt::format("properties/{}-{}.html", file_name_of(parcel_id), number);
        }
        folder.write(file, property_page(property(run, result, parcel_id), rows.facts.settings, version));
    }
    return parcel_ids.size();
}

}  // namespace eaveshed
