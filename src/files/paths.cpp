#include "eaveshed/files/paths.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdint>
#include <filesystem>
#include <span>
#include <string_view>
#include <system_error>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/network/address.hpp"
#include "eaveshed/network/remote_file.hpp"
#include "eaveshed/words/wording.hpp"
#include "system_failure.hpp"
#include "zip_list.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 6> kVectorEndings{".gpkg", ".fgb", ".geojson", ".json", ".shp", ".csv"};
constexpr std::array<std::string_view, 1> kResultEndings{".gpkg"};
constexpr std::array<std::string_view, 6> kRasterEndings{".tif", ".tiff", ".vrt", ".asc", ".img", ".nc"};
constexpr std::array<std::string_view, 2> kRemoteRasterEndings{".tif", ".tiff"};
constexpr std::array<std::string_view, 1> kRemoteVectorEndings{".fgb"};
constexpr std::array<std::string_view, 6> kArchiveEndings{".zip", ".kmz", ".gz", ".tgz", ".tar", ".7z"};

std::span<const std::string_view> endings_of(FileKind kind) {
    switch (kind) {
        case FileKind::vector: return kVectorEndings;
        case FileKind::raster: return kRasterEndings;
        case FileKind::result: return kResultEndings;
    }
    internal_error("a kind of file that does not exist");
}

bool has_ending(const std::string& name, std::span<const std::string_view> endings) {
    const std::string ending = lower_case(fs::path(name).extension().string());
    return std::find(endings.begin(), endings.end(), ending) != endings.end();
}

std::string wanted_of(FileKind kind) {
    switch (kind) {
        case FileKind::vector: return "a GeoPackage, FlatGeobuf, GeoJSON, shapefile or CSV file";
        case FileKind::raster: return "a raster file (GeoTIFF, VRT, ASCII grid, HFA or netCDF)";
        case FileKind::result: return "a GeoPackage that `eaveshed screen` wrote";
    }
    internal_error("a kind of file that does not exist");
}

const char* check_of(FileKind kind) {
    return kind == FileKind::result ? "check the path; a relative one counts from the folder in which you are"
                                    : "check the path; a relative one counts from the project file's folder";
}

// Sorted, so that a message does not depend on the order of the folder.
std::vector<std::string> names_in(const fs::path& folder) {
    std::vector<std::string> names;
    std::error_code fault;
    for (fs::directory_iterator entry(folder, fault); !fault && entry != fs::directory_iterator();
         entry.increment(fault)) {
        names.push_back(entry->path().filename().string());
    }
    std::sort(names.begin(), names.end());
    return names;
}

// The path in full, where that says more than the path as given.
std::string in_full(const std::string& path) {
    std::error_code fault;
    const std::string full = fs::absolute(path, fault).lexically_normal().string();
    return fault || full == path ? std::string() : fmt::format(" ({})", printable(full));
}

void refuse_unless_local(const std::string& where, const std::string& path, FileKind kind) {
    const std::string lower = lower_case(path);
    if (path.empty()) {
        throw input_error(where, "an empty path", wanted_of(kind), "");
    }
    if (path.find('\0') != std::string::npos) {
        throw input_error(where, "a path with a NUL character", wanted_of(kind), "");
    }
    if (lower.rfind("/vsi", 0) == 0) {
        throw input_error(where, "a virtual path", "a file on this machine", "unpack or download it first");
    }
    if (lower.find("://") != std::string::npos) {
        throw input_error(where, "an address of a kind that is not read",
                          "a file on this machine, or an address that begins with https:// or http://",
                          "download it first; for a file in an object store give its public or signed https address");
    }
}

// Of what lies behind an address only what can be read by ranges, and is one file: what else a format asks for beside
// it (an index, a log, columns) would be missed without a word.
void require_readable_there(const std::string& where, const std::string& path, FileKind kind) {
    const bool fits = kind == FileKind::raster   ? has_ending(path, kRemoteRasterEndings)
                      : kind == FileKind::vector ? has_ending(path, kRemoteVectorEndings)
                                                 : false;
    if (!fits) {
        throw input_error(where, "an address of a file that is not read over the network",
                          kind == FileKind::result   ? "a result on this machine"
                          : kind == FileKind::raster ? "a GeoTIFF (.tif), of rasters"
                                                     : "a FlatGeobuf (.fgb), of layers",
                          kind == FileKind::vector ? "download it, or put it there as one: ogr2ogr NEW.fgb OLD"
                                                   : "download it, or put it there as one: gdal_translate -of COG");
    }
    static_cast<void>(remote_file(where, path));
}

[[noreturn]] void report_missing(const std::string& where, const std::string& path, FileKind kind) {
    fs::path folder = fs::absolute(path).lexically_normal();
    std::string missing;
    std::error_code fault;
    while (folder.has_relative_path() && !fs::is_directory(folder, fault)) {
        missing = folder.filename().string();
        folder = folder.parent_path();
    }
    const bool is_the_file = missing == fs::path(path).filename().string();
    const std::string found = is_the_file ? "no such file" + in_full(path)
                                          : fmt::format("no such file{}: '{}' holds no folder '{}'", in_full(path),
                                                        printable(folder.string()), printable(missing));
    throw input_error(where, found, wanted_of(kind), did_you_mean(missing, names_in(folder), check_of(kind)));
}

[[noreturn]] void report_folder(const std::string& where, const std::string& path, FileKind kind) {
    std::vector<std::string> fitting = names_in(path);
    std::erase_if(fitting, [kind](const std::string& name) { return !has_ending(name, endings_of(kind)); });
    throw input_error(
        where, "a folder" + in_full(path), wanted_of(kind),
        fitting.empty() ? "no such file is in it" : fmt::format("name one of the files in it: {}", listed(fitting)));
}

[[noreturn]] void report_unreadable(const std::string& where, const std::string& path, int reason) {
    if (reason == EIO || may_pass(reason)) {
        errno = reason;
        fail_by_errno(where, "a file that cannot be opened" + in_full(path));
    }
    struct stat status {};
    std::string found = "a file that cannot be opened: " + std::generic_category().message(reason) + in_full(path);
    if (reason == EACCES && ::stat(path.c_str(), &status) == 0) {
        found += fmt::format(" (owner {}, mode {:04o})", status.st_uid, status.st_mode & 07777U);
    }
    throw input_error(where, found, "a file that this user may read", "change its permissions or make a copy");
}

// Nothing is unpacked: what is inside is listed, and what an archive must not do is told before anybody unpacks it.
[[noreturn]] void report_archive(const std::string& where, const std::string& path, FileKind kind,
                                 std::uint64_t bytes) {
    constexpr std::uint64_t kMostTimes = 200;  // real data pack to a hundredth at best
    constexpr std::uint64_t kMebibyte = 1U << 20U;
    ZipList list = zip_list(path);
    if (!list.leading_out.empty()) {
        throw input_error(
            where,
            fmt::format("an archive with an entry that leads out of its folder ('{}')", printable(list.leading_out)),
            wanted_of(kind), "do not unpack it; get the data from a source that you trust");
    }
    if (list.unpacked_bytes > kMostTimes * bytes && list.unpacked_bytes > kMebibyte) {
        throw input_error(where,
                          fmt::format("an archive of {} bytes that says it unpacks to {} MiB", bytes,
                                      list.unpacked_bytes / kMebibyte),
                          wanted_of(kind), "do not unpack it; get the data from a source that you trust");
    }
    std::erase_if(list.names, [kind](const std::string& name) { return !has_ending(name, endings_of(kind)); });
    throw input_error(where,
                      list.names.empty() ? "an archive" : fmt::format("an archive, which holds {}", listed(list.names)),
                      wanted_of(kind), "unpack it and name the file inside");
}

}  // namespace

void require_readable(const std::string& setting, const std::string& path, FileKind kind) {
    const std::string where = setting_and_path(setting, path);
    if (is_address(path)) {
        require_readable_there(where, path, kind);
        return;
    }
    refuse_unless_local(where, path, kind);
    struct stat status {};
    if (::stat(path.c_str(), &status) != 0) {
        if (errno == ENOENT || errno == ENOTDIR) {
            report_missing(where, path, kind);
        }
        report_unreadable(where, path, errno);
    }
    if (S_ISDIR(status.st_mode)) {
        report_folder(where, path, kind);
    }
    if (!S_ISREG(status.st_mode)) {
        throw input_error(where, "a device or pipe", wanted_of(kind), "name a plain file");
    }
    const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (descriptor < 0) {
        report_unreadable(where, path, errno);
    }
    ::close(descriptor);
    if (status.st_size == 0) {
        throw input_error(where, "an empty file (0 bytes)" + in_full(path), wanted_of(kind),
                          "restore it or make it again: its writer was probably interrupted");
    }
    if (has_ending(path, kArchiveEndings)) {
        report_archive(where, path, kind, static_cast<std::uint64_t>(status.st_size));
    }
}

bool is_zarr_store(const std::string& path) {
    constexpr std::array<std::string_view, 4> kSigns{".zgroup", ".zmetadata", ".zarray", "zarr.json"};
    std::error_code fault;
    return fs::is_directory(path, fault) && std::any_of(kSigns.begin(), kSigns.end(), [&](std::string_view sign) {
               return fs::is_regular_file(fs::path(path) / sign, fault);
           });
}

namespace {

// One request each: what a raster's own file leaves to them changes what is read. A signed address signs no other.
std::vector<std::string> companions_there(const std::string& path) {
    std::vector<std::string> found;
    const Address address = kept_address(path, path);
    for (const char* const suffix : {".aux.xml", ".msk"}) {
        const std::string beside = path + suffix;
        if (address.full == address.shown && has_ending(path, kRemoteRasterEndings) &&
            remote_file_if_there(beside, beside) != nullptr) {
            found.push_back(beside);
        }
    }
    return found;
}

}  // namespace

std::vector<std::string> companion_files(const std::string& path) {
    if (is_address(path)) {
        return companions_there(path);
    }
    const fs::path file(path);
    const std::string ending = lower_case(file.extension().string());
    std::vector<std::string> endings;   // in place of the file's own
    std::vector<std::string> suffixes;  // after the file's name
    if (ending == ".shp") {
        endings = {".shx", ".dbf", ".prj", ".cpg"};
    } else if (ending == ".gpkg") {
        suffixes = {"-wal", "-journal"};
    } else if (ending == ".csv") {
        endings = {".csvt", ".prj"};
    } else if (has_ending(path, kRasterEndings)) {
        endings = {".prj", ".tfw", ".wld", ".ige"};
        suffixes = {".aux.xml", ".msk"};
    }
    std::vector<std::string> found;
    for (const std::string& name : names_in(file.has_parent_path() ? file.parent_path() : fs::path("."))) {
        const fs::path other(name);
        const bool sibling =
            other.stem() == file.stem() &&
            std::find(endings.begin(), endings.end(), lower_case(other.extension().string())) != endings.end();
        const bool attached = std::any_of(suffixes.begin(), suffixes.end(), [&](const std::string& suffix) {
            return name == file.filename().string() + suffix;
        });
        if (sibling || attached) {
            found.push_back((file.parent_path() / other).string());
        }
    }
    return found;
}

}  // namespace eaveshed
