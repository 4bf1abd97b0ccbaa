#include "eaveshed/outside/remote_names.hpp"

#include <cstdio>
#include <memory>

#include <cpl_error.h>
#include <cpl_vsi.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/network/address.hpp"
#include "eaveshed/network/remote_file.hpp"

namespace eaveshed {

namespace {

constexpr const char* kPrefix = "/vsieaveshed/";

struct OpenFile {
    std::shared_ptr<RemoteFile> file;
    std::uint64_t at = 0;
    bool past_end = false;
};

OpenFile& open_file(void* handle) {
    return *static_cast<OpenFile*>(handle);
}

int stat_file(void* /*user*/, const char* name, VSIStatBufL* status, int /*flags*/) {
    const std::shared_ptr<RemoteFile> file = opened_remote_file(name);
    if (file == nullptr) {
        return -1;
    }
    *status = {};
    status->st_size = static_cast<decltype(status->st_size)>(file->facts().size);
    status->st_mode = S_IFREG;
    status->st_mtime = file->facts().modified.value_or(0);
    return 0;
}

void* open_for_reading(void* /*user*/, const char* name, const char* access) {
    std::shared_ptr<RemoteFile> file = opened_remote_file(name);
    const bool reading = access != nullptr && access[0] == 'r' && std::string(access).find('+') == std::string::npos;
    return file == nullptr || !reading ? nullptr : new OpenFile{std::move(file)};
}

vsi_l_offset tell(void* handle) {
    return open_file(handle).at;
}

int seek(void* handle, vsi_l_offset offset, int whence) {
    OpenFile& file = open_file(handle);
    const std::uint64_t from = whence == SEEK_SET ? 0 : whence == SEEK_CUR ? file.at : file.file->facts().size;
    file.at = from + offset;
    file.past_end = false;
    return 0;
}

// No error goes through GDAL: it is kept for whoever asked GDAL, and GDAL sees a read that failed.
std::size_t read(void* handle, void* buffer, std::size_t size, std::size_t count) {
    OpenFile& file = open_file(handle);
    if (size == 0 || count == 0) {
        return 0;
    }
    try {
        const std::size_t wanted = size * count;
        const std::size_t got = file.file->read_at(file.at, {static_cast<unsigned char*>(buffer), wanted});
        file.at += got;
        file.past_end = file.past_end || got < wanted;
        return got / size;
    } catch (const Error& error) {
        keep_network_fault(error);
        CPLError(CE_Failure, CPLE_FileIO, "%s", error.what());
        return 0;
    }
}

int at_end(void* handle) {
    return open_file(handle).past_end ? 1 : 0;
}

int close_file(void* handle) {
    const std::unique_ptr<OpenFile> closing(static_cast<OpenFile*>(handle));
    return 0;
}

}  // namespace

void install_remote_files() {
    VSIFilesystemPluginCallbacksStruct* const calls = VSIAllocFilesystemPluginCallbacksStruct();
    calls->stat = stat_file;
    calls->open = open_for_reading;
    calls->tell = tell;
    calls->seek = seek;
    calls->read = read;
    calls->eof = at_end;
    calls->close = close_file;
    VSIInstallPluginHandler(kPrefix, calls);
    VSIFreeFilesystemPluginCallbacksStruct(calls);
}

std::string gdal_name(const std::string& path) {
    return is_address(path) ? kPrefix + path : path;
}

}  // namespace eaveshed
