// The folder of a report: made beside its place under a name of its own and moved there whole, or not at all.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "eaveshed/stop/stop.hpp"

namespace eaveshed {

// What the page of a report begins with: by it a folder is known to be one.
inline constexpr std::string_view kReportMark = "<!DOCTYPE html>\n<!-- a report of eaveshed -->\n";

// Nothing is written before it is clear that it may be; what stands there before is replaced in the last step.
class ReportFolder {
public:
    // Input errors: a place whose own folder is not there; something that exists without `overwrite`; with it,
    // something that is no folder, or a folder that holds anything but a report. What killed writers left of drafts of
    // this report goes.
    ReportFolder(const std::string& folder, bool overwrite);
    // What was not published is removed.
    ~ReportFolder();
    ReportFolder(const ReportFolder&) = delete;
    ReportFolder& operator=(const ReportFolder&) = delete;

    // A file of the report: "index.html", "letters/12.txt". `only_owner`: nobody else may read it, nor look into its
    // folder.
    void write(const std::string& name, std::string_view content, bool only_owner = false);
    // Puts the report in its place, in one step where the file system can.
    void publish();

private:
    void replace_in_two_steps();

    std::filesystem::path m_place;
    std::filesystem::path m_work;
    int m_lock = -1;                        // on the draft, while it is one
    std::optional<GoesWhenStopped> m_goes;  // it may hold what is private
    bool m_published = false;
};

// A name for a file, from any text: letters and digits of ASCII, dots inside, "-" and "_"; all else becomes "_". Never
// empty, never longer than 80 bytes, never beginning with a dot, and no name that Windows keeps for a device.
[[nodiscard]] std::string file_name_of(std::string_view text);

}  // namespace eaveshed
