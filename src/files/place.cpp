#include "eaveshed/files/place.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

void require_folder_of(const fs::path& path, const std::string& where) {
    const fs::path folder = path.has_parent_path() ? path.parent_path() : fs::path(".");
    std::error_code fault;
    if (!fs::is_directory(folder, fault)) {
        throw input_error(where, "no folder " + folder.string(), "a folder that exists", "make it, or name another");
    }
    if (::access(folder.c_str(), W_OK | X_OK) != 0) {
        throw input_error(
            where, errno == EROFS ? "a folder on a disk that is only read" : "a folder that may not be written to",
            "write permission", "choose another folder");
    }
    struct stat status {};
    if (::lstat(path.c_str(), &status) != 0 && errno == ENAMETOOLONG) {
        throw input_error(where, "a name that is too long for its folder", "a shorter name", "name another");
    }
}

}  // namespace

void require_place_for_file(const fs::path& path, const std::string& where) {
    require_folder_of(path, where);
    std::error_code fault;
    if (fs::is_directory(path, fault)) {
        throw input_error(where, "a folder of that name", "a file", "name another");
    }
}

void require_place_for_folder(const fs::path& path, const std::string& where) {
    const fs::path plain = path.has_filename() ? path : path.parent_path();  // without a slash at its end
    require_folder_of(plain, where);
    std::error_code fault;
    if (!fs::is_directory(plain, fault)) {
        if (fs::exists(fs::symlink_status(plain, fault))) {
            throw input_error(where, "something that is no folder", "a folder", "name another");
        }
        return;
    }
    if (::access(plain.c_str(), W_OK | X_OK) != 0) {
        throw input_error(where, "a folder that may not be written to", "write permission", "choose another folder");
    }
}

}  // namespace eaveshed
