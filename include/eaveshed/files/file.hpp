// The few file operations that must be right: whole writes, whole reads at an offset, publishing by rename.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <utility>

namespace eaveshed {

// A file descriptor that closes itself. Failures throw: no room is a passing error (75), anything else a working error.
class File {
public:
    enum class Mode : std::uint8_t { read, create, create_private };  // private: only the owner may read it
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

// A folder that only this process uses while the object lives. Created when it is missing; what an earlier run that
// ended badly left in it is removed. In use by another process: a passing error. A link, or a folder that holds other
// files and no lock of ours: an input error, and nothing is touched.
class WorkFolder {
public:
    explicit WorkFolder(const std::filesystem::path& path);
    ~WorkFolder();
    WorkFolder(const WorkFolder&) = delete;
    WorkFolder& operator=(const WorkFolder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }

private:
    std::filesystem::path m_path;
    int m_lock = -1;
};

// A new folder among the system's temporary files, removed with all that it holds when the object ends. No folder for
// such files, or no room: a passing error.
class ScratchFolder {
public:
    ScratchFolder();
    ~ScratchFolder();
    ScratchFolder(const ScratchFolder&) = delete;
    ScratchFolder& operator=(const ScratchFolder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }

private:
    std::filesystem::path m_path;
};

// Free bytes where the path lies.
[[nodiscard]] std::uint64_t free_bytes(const std::filesystem::path& path);

}  // namespace eaveshed
