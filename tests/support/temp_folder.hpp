// A folder of a test's own that goes away with it.
#pragma once

#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>
#include <string_view>

#include <stdlib.h>

namespace eaveshed::testing {

class TempFolder {
public:
    TempFolder() {
        std::string pattern = (std::filesystem::temp_directory_path() / "eaveshed-test-XXXXXX").string();
        if (mkdtemp(pattern.data()) == nullptr) {
            throw std::runtime_error("no folder for the test's files");
        }
        m_path = pattern;
    }
    ~TempFolder() {
        std::error_code fault;
        std::filesystem::remove_all(m_path, fault);
    }
    TempFolder(const TempFolder&) = delete;
    TempFolder& operator=(const TempFolder&) = delete;

    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }
    [[nodiscard]] std::string file(std::string_view name) const { return (m_path / name).string(); }

    // Writes a file and gives its path.
    std::string write(std::string_view name, std::string_view content) const {
        std::ofstream out(m_path / name, std::ios::binary);
        out.write(content.data(), static_cast<std::streamsize>(content.size()));
        return file(name);
    }

private:
    std::filesystem::path m_path;
};

}  // namespace eaveshed::testing
