// The few file operations that must be right: whole writes, whole reads at an offset, publishing by rename.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "eaveshed/stop/stop.hpp"

namespace eaveshed {

// A file descriptor that closes itself. Failures throw: what may pass, such as no room or a stale handle of a shared
// folder, is a passing error (75), anything else a working error. A link is never followed to be written through.
class File {
public:
    enum class Mode : std::uint8_t {
        read,
        create,          // or replaces what is there
        create_private,  // the same; only the owner may read it
        create_new,      // nothing may stand under the name
        update,          // what is there stays; made where there is nothing
    };
    File(const std::filesystem::path& path, Mode mode);
    // Without a name, in the system's folder for such: gone when it is closed, however the process ends.
    [[nodiscard]] static File unnamed();
    ~File();
    File(File&& other) noexcept;
    File& operator=(File&& other) noexcept;
    File(const File&) = delete;
    File& operator=(const File&) = delete;

    void write_at(std::uint64_t offset, std::span<const unsigned char> bytes);
    void read_at(std::uint64_t offset, std::span<unsigned char> bytes) const;
    // As many bytes as the file has there, at most what fits; how many.
    [[nodiscard]] std::size_t read_some(std::uint64_t offset, std::span<unsigned char> bytes) const;
    [[nodiscard]] std::uint64_t size() const;
    // What lies beyond so many bytes is gone.
    void cut(std::uint64_t size);
    void sync();

private:
    File(std::filesystem::path path, int descriptor) : m_path(std::move(path)), m_descriptor(descriptor) {}
    std::filesystem::path m_path;
    int m_descriptor = -1;
};

// Makes `from` the file `to` in one step; an existing `to` is replaced.
void move_into_place(const std::filesystem::path& from, const std::filesystem::path& to);

// The same, and before and after it the bytes and the folder's entry are brought to disk: for what must survive a
// crash.
void publish(const std::filesystem::path& from, const std::filesystem::path& to);

// A folder that only this process uses while the object lives. Created when it is missing, for its owner alone to write
// in. In use by another process: a passing error. Anything but a folder of the same owner with a lock in it that says
// it is ours, or with nothing, and a place where none can be made: an input error, and nothing is touched. It goes with
// all that it holds when the object ends, unless something of it is to be kept then.
class WorkFolder {
public:
    // What an earlier run left in it is removed, but for the files named.
    explicit WorkFolder(const std::filesystem::path& path, std::span<const std::string_view> but_for = {});
    ~WorkFolder();
    WorkFolder(const WorkFolder&) = delete;
    WorkFolder& operator=(const WorkFolder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }
    // These files stay when the object ends, and the folder with them; none: it goes.
    void keep(std::span<const std::string_view> files) { m_kept.assign(files.begin(), files.end()); }
    // What the object's end does, done now, with nothing kept. Whether nothing is left; a later run takes away the
    // rest.
    [[nodiscard]] bool remove();

private:
    void remove_all_but(std::span<const std::string_view> files) const;
    void end();

    std::filesystem::path m_path;
    int m_lock = -1;
    std::vector<std::string_view> m_kept;
};

// Makes one folder; one that is there stays.
void make_folder(const std::filesystem::path& path);

// Removes what a killed run left of a work folder there, if anything; one in use, and anything else, stays.
void remove_dead_work_folder(const std::filesystem::path& path);

// Whether a work folder of ours stands there, in use or not.
[[nodiscard]] bool is_work_folder(const std::filesystem::path& path);

// Removes files of the folder whose names begin with `prefix` and that nobody writes any more: drafts of writers that
// are gone (DraftFile).
void remove_dead_drafts(const std::filesystem::path& folder, const std::string& prefix);

// A name for a file to be written in a folder that several hosts may share: `prefix`, host, process and chance. Whoever
// holds the object has it locked, so that others see that it is not left over.
class DraftFile {
public:
    // The file is made, for its owner alone to read where that is asked for; nothing stood under the name.
    DraftFile(const std::filesystem::path& folder, const std::string& prefix, bool only_owner = false);
    ~DraftFile();
    DraftFile(const DraftFile&) = delete;
    DraftFile& operator=(const DraftFile&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }

private:
    std::filesystem::path m_path;
    int m_descriptor = -1;
    std::optional<GoesWhenStopped> m_goes;  // it may hold what is private
};

// A new folder among the system's temporary files, removed with all that it holds when the object ends or the run is
// stopped. No folder for such files, or no room: a passing error.
class ScratchFolder {
public:
    ScratchFolder();
    ~ScratchFolder();
    ScratchFolder(const ScratchFolder&) = delete;
    ScratchFolder& operator=(const ScratchFolder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }

private:
    std::filesystem::path m_path;
    std::optional<GoesWhenStopped> m_goes;
};

}  // namespace eaveshed
