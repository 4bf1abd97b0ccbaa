// A file that stands under its name whole or not at all.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <string_view>

#include "eaveshed/files/file.hpp"

namespace eaveshed {

// Written beside its place under a name that nobody else has and that no link leads away from; `publish` puts it in
// place in one step, over what stood there. Without that the object takes it away, and what a killed writer of the same
// name left goes first. Failures as of File.
class NewFile {
public:
    enum class Readers : std::uint8_t { all, owner };
    NewFile(const std::filesystem::path& output, Readers readers);
    NewFile(const NewFile&) = delete;
    NewFile& operator=(const NewFile&) = delete;

    void append(std::string_view text);
    void publish();

private:
    std::filesystem::path m_output;
    DraftFile m_draft;
    File m_file;
    std::uint64_t m_written = 0;
};

// All of it at once.
void write_new_file(const std::filesystem::path& output, std::string_view text, NewFile::Readers readers);

}  // namespace eaveshed
