#include "eaveshed/files/new_file.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

fs::path folder_of(const fs::path& output) {
    return output.has_parent_path() ? output.parent_path() : fs::path(".");
}

// Hidden, and short enough where the output's name is as long as a name may be.
std::string prefix_of(const fs::path& output) {
    constexpr std::size_t kMost = 100;
    return "." + output.filename().string().substr(0, kMost) + ".part-";
}

const fs::path& cleared(const fs::path& output) {
    remove_dead_drafts(folder_of(output), prefix_of(output));
    return output;
}

}  // namespace

NewFile::NewFile(const fs::path& output, Readers readers)
    : m_output(cleared(output)),
      m_draft(folder_of(output), prefix_of(output), readers == Readers::owner),
      m_file(m_draft.path(), File::Mode::update) {}

void NewFile::append(std::string_view text) {
    m_file.write_at(m_written, std::span(reinterpret_cast<const unsigned char*>(text.data()), text.size()));
    m_written += text.size();
}

void NewFile::publish() {
    eaveshed::publish(m_draft.path(), m_output);
}

void write_new_file(const fs::path& output, std::string_view text, NewFile::Readers readers) {
    NewFile file(output, readers);
    file.append(text);
    file.publish();
}

}  // namespace eaveshed
