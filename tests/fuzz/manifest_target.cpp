// plan.json. What is understood writes, and reads back, as the same.
#include <filesystem>

#include "eaveshed/files/file.hpp"
#include "eaveshed/parts/manifest.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {

namespace {

std::string content(const std::string& path) {
    const File file(path, File::Mode::read);
    std::string text(file.size(), '\0');
    file.read_at(0, {reinterpret_cast<unsigned char*>(text.data()), text.size()});
    return text;
}

}  // namespace

void fuzz_manifest(Bytes bytes) {
    const std::string path = scratch_file(std::string(kManifestName), bytes);
    std::optional<Manifest> read;
    if (!accepts([&] { read = read_manifest(scratch_folder()); })) {
        return;
    }
    require(read.has_value(), "a file that is there and is not");
    write_manifest(scratch_folder(), *read);
    const std::string once = content(path);
    const std::optional<Manifest> again = read_manifest(scratch_folder());
    require(again.has_value(), "a plan that does not read back");
    write_manifest(scratch_folder(), *again);
    require(content(path) == once, "a plan that reads back as another");
}

}  // namespace eaveshed::fuzz
