#include "eaveshed/page/report_folder.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <span>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/files/place.hpp"
#include "eaveshed/words/safe_output.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

constexpr std::string_view kFirstPage = "index.html";
constexpr std::string_view kLetters = "letters";
constexpr std::string_view kSheets = "parcels";

bool begins_with_mark(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    std::string begin(kReportMark.size(), '\0');
    in.read(begin.data(), static_cast<std::streamsize>(begin.size()));
    return in.gcount() == static_cast<std::streamsize>(begin.size()) && begin == kReportMark;
}

// Whether a folder holds files of one ending and nothing else.
bool holds_only(const fs::path& folder, const std::string& ending) {
    return std::ranges::all_of(fs::directory_iterator(folder), [&ending](const fs::directory_entry& entry) {
        return fs::is_regular_file(entry.symlink_status()) && entry.path().extension() == ending;
    });
}

// Whether it is the folder of letters or of sheets, with nothing else in it.
bool is_pages_folder(const fs::path& path, const fs::file_status& status) {
    const std::string name = path.filename().string();
    return fs::is_directory(status) &&
           ((name == kLetters && holds_only(path, ".txt")) || (name == kSheets && holds_only(path, ".html")));
}

// The first name that is none of a report; empty for a folder that is a report of ours, or holds nothing.
std::string foreign_name(const fs::path& folder) {
    std::string first;
    bool marked = false;
    for (const auto& entry : fs::directory_iterator(folder)) {
        std::string name = entry.path().filename().string();
        first = first.empty() ? name : first;
        const fs::file_status status = entry.symlink_status();
        if (name == kFirstPage && fs::is_regular_file(status) && begins_with_mark(entry.path())) {
            marked = true;
        } else if (!is_pages_folder(entry.path(), status)) {
            return name;
        }
    }
    return marked ? std::string() : first;
}

void require_place(const fs::path& place, bool overwrite) {
    std::error_code fault;
    require_place_for_folder(place, "-o " + printable(place.string()));
    const fs::file_status status = fs::symlink_status(place, fault);
    if (!fs::exists(status)) {
        return;
    }
    if (!overwrite) {
        throw input_error("-o " + printable(place.string()), "something that exists", "a new name",
                          "name another folder, or give --overwrite to replace a report");
    }
    if (!fs::is_directory(status)) {  // a link to one
        throw input_error("-o " + printable(place.string()), "something that is no folder", "a report's folder",
                          "name another folder");
    }
    if (const std::string name = foreign_name(place); !name.empty()) {
        throw input_error("-o " + printable(place.string()),
                          "a folder with \"" + printable(name) + "\", which is not a report's", "a report's folder",
                          "name another folder; only a report that this program wrote is replaced");
    }
}

[[noreturn]] void fail_at(const fs::path& path, const char* what) {
    const int fault = errno;
    throw Error(fault == ENOSPC || fault == EDQUOT ? Fault::passing : Fault::working,
                {printable(path.string()), std::string(what) + ": " + std::strerror(fault), "",
                 "check room and permissions of the folder"});
}

// Without a slash at its end, which would make its name empty.
fs::path place_of(const std::string& folder) {
    fs::path path = fs::path(folder).lexically_normal();
    return path.has_filename() ? path : path.parent_path();
}

constexpr std::string_view kPart = ".part-";
constexpr std::size_t kChance = 6;  // letters that mkdtemp chooses

fs::path folder_beside(const fs::path& place) {
    std::string name = place.string() + std::string(kPart) + std::string(kChance, 'X');
    if (::mkdtemp(name.data()) == nullptr) {
        fail_at(place, "a folder that cannot be made");
    }
    return name;
}

// Twice where it has to be; what is left even then goes with the next report of that name.
void remove_folder(const fs::path& folder) {
    std::error_code fault;
    for (int i = 0; i < 2 && fs::exists(folder, fault); ++i) {
        fs::remove_all(folder, fault);
    }
}

// So that others see that it is not left over; -1 where it cannot be.
int locked(const fs::path& folder) {
    const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
    if (descriptor >= 0 && ::flock(descriptor, LOCK_EX | LOCK_NB) != 0) {
        ::close(descriptor);
        return -1;
    }
    return descriptor;
}

// Whether a folder holds nothing but what a report holds, perhaps not all of it.
bool holds_part_of_a_report(const fs::path& folder) {
    return std::ranges::all_of(fs::directory_iterator(folder), [](const fs::directory_entry& entry) {
        const fs::file_status status = entry.symlink_status();
        return is_pages_folder(entry.path(), status) ||
               (entry.path().filename() == kFirstPage && fs::is_regular_file(status));
    });
}

// Takes away the drafts of this report whose writers were killed.
void remove_dead_drafts_of(const fs::path& place) {
    const std::string prefix = place.filename().string() + std::string(kPart);
    const fs::path parent = place.has_parent_path() ? place.parent_path() : fs::path(".");
    std::vector<fs::path> drafts;
    std::error_code fault;
    for (const auto& entry : fs::directory_iterator(parent, fault)) {
        const std::string name = entry.path().filename().string();
        if (name.starts_with(prefix) && name.size() == prefix.size() + kChance &&
            fs::is_directory(entry.symlink_status(fault))) {
            drafts.push_back(entry.path());
        }
    }
    for (const fs::path& draft : drafts) {
        const int lock = locked(draft);
        if (lock >= 0 && holds_part_of_a_report(draft)) {
            fs::remove_all(draft, fault);
        }
        if (lock >= 0) {
            ::close(lock);
        }
    }
}

}  // namespace

ReportFolder::ReportFolder(const std::string& folder, bool overwrite) : m_place(place_of(folder)) {
    if (m_place.empty() || m_place == "." || m_place == ".." || m_place == m_place.root_path()) {
        throw input_error("-o " + printable(folder), "a folder that is there already and holds other things",
                          "a folder of the report's own", "name one, such as -o report");
    }
    require_place(m_place, overwrite);
    remove_dead_drafts_of(m_place);
    m_work = folder_beside(m_place);
    m_lock = locked(m_work);
    m_goes.emplace(m_work);
}

ReportFolder::~ReportFolder() {
    if (!m_published) {
        remove_folder(m_work);
    }
    if (m_lock >= 0) {
        ::close(m_lock);
    }
}

void ReportFolder::write(const std::string& name, std::string_view content, bool only_owner) {
    // A letter is its writer's own text, with his own marks of direction: its values are made safe when it is filled.
    const bool page = name.ends_with(".html") || name.ends_with(".svg");
    const std::string safe = page ? without_controls(content) : std::string();
    const std::string_view text = page ? std::string_view(safe) : content;
    const fs::path path = m_work / name;
    const fs::path folder = path.parent_path();
    if (::mkdir(folder.c_str(), only_owner ? 0700 : 0755) != 0 && errno != EEXIST) {
        fail_at(folder, "a folder that cannot be made");
    }
    File file(path, only_owner ? File::Mode::create_private : File::Mode::create);
    file.write_at(0, std::span(reinterpret_cast<const unsigned char*>(text.data()), text.size()));
}

void ReportFolder::publish() {
    if (::chmod(m_work.c_str(), 0755) != 0) {
        fail_at(m_work, "a folder whose permissions cannot be set");
    }
    std::error_code fault;
    if (!fs::exists(fs::symlink_status(m_place, fault))) {
        move_into_place(m_work, m_place);
        m_published = true;
        return;
    }
    // Looked at once more: files may have been put into it meanwhile.
    require_place(m_place, true);
    if (::renameat2(AT_FDCWD, m_work.c_str(), AT_FDCWD, m_place.c_str(), RENAME_EXCHANGE) == 0) {
        m_published = true;
        remove_folder(m_work);  // the former report
        return;
    }
    if (errno != EINVAL && errno != ENOSYS) {
        fail_at(m_place, "cannot be put in place");
    }
    replace_in_two_steps();
}

// Where the file system cannot let two folders change places.
void ReportFolder::replace_in_two_steps() {
    std::error_code fault;
    const fs::path former = folder_beside(m_place);
    if (::rename(m_place.c_str(), former.c_str()) != 0) {  // takes the place of an empty folder
        const int why = errno;
        fs::remove(former, fault);
        errno = why;
        fail_at(m_place, "cannot be put aside");
    }
    if (::rename(m_work.c_str(), m_place.c_str()) != 0) {
        const int why = errno;
        move_into_place(former, m_place);
        errno = why;
        fail_at(m_place, "cannot be put in place");
    }
    m_published = true;
    remove_folder(former);
}

namespace {

// Whether Windows takes the name for a device, whatever ending it has (Microsoft, Naming Files, Paths, and Namespaces:
// CON, PRN, AUX, NUL, COM1 to COM9, LPT1 to LPT9).
bool is_device(std::string_view name) {
    const std::string stem = lower_case(std::string(name.substr(0, name.find('.'))));
    constexpr std::array<std::string_view, 4> kWhole{"con", "prn", "aux", "nul"};
    const bool is_port =
        stem.size() == 4 && (stem.starts_with("com") || stem.starts_with("lpt")) && stem[3] >= '1' && stem[3] <= '9';
    return is_port || std::ranges::find(kWhole, stem) != kWhole.end();
}

}  // namespace

std::string file_name_of(std::string_view text) {
    constexpr std::string_view kPlain = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.";
    constexpr std::size_t kMost = 80;
    std::string name;
    for (const char letter : text.substr(0, kMost)) {
        name += kPlain.find(letter) != std::string_view::npos ? letter : '_';
    }
    if (name.empty() || name.front() == '.' || is_device(name)) {
        name.insert(0, "_");
    }
    return name.substr(0, kMost);
}

}  // namespace eaveshed
