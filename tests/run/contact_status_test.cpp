// Nobody is called who said no, however it was written down.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/edit_file.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using testing::OutputFile;
using testing::TempFolder;

TEST(ContactStatus, IsReadWhateverItsCaseAndAWordThatIsNotUnderstoodLeavesTheOwnerOut) {
    const TempFolder folder;
    SmallBasin basin;
    basin.settings = "status = \"talks\"\n";  // still under [parcels]
    const std::string project = write_basin(folder, basin);
    testing::edit_file(
        folder.file("parcels.gpkg"),
        {"ALTER TABLE parcels ADD COLUMN talks TEXT",
         "UPDATE parcels SET talks = CASE fid WHEN 1 THEN 'Declined' WHEN 2 THEN 'do-not-contact' WHEN 3 "
         "THEN 'ENROLLED' WHEN 4 THEN 'never again' WHEN 5 THEN 'candidate' WHEN 6 THEN '' END"});
    Findings findings;
    Progress progress(ProgressStyle::none);
    ScreenOptions options;
    options.output = folder.file("out.gpkg");
    static_cast<void>(screen(load_project(project, findings), options, findings, progress));
    const OutputFile file(folder.file("out.gpkg"));
    EXPECT_EQ(file.text("SELECT group_concat(contact_status) FROM (SELECT contact_status FROM parcels ORDER BY fid "
                        "LIMIT 7)"),
              "declined,do_not_contact,enrolled,do_not_contact,candidate,candidate,candidate");
    EXPECT_EQ(file.text("SELECT COUNT(*) FROM parcels WHERE fid <= 4 AND rank IS NOT NULL"), "0");
    std::string told;
    for (const Finding& finding : findings.list()) {
        told += finding.severity == Severity::warning ? to_text(finding.trouble) : "";
    }
    EXPECT_THAT(told, HasSubstr("1 status word that is not known: \"never again\""));
}

}  // namespace
}  // namespace eaveshed
