#include "fuzz/target.hpp"

#include <array>
#include <filesystem>
#include <fstream>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/file.hpp"

namespace eaveshed::fuzz {

namespace {

constexpr std::array kTargets{
    Target{"calls", fuzz_calls},       Target{"condition", fuzz_condition}, Target{"gauges", fuzz_gauges},
    Target{"manifest", fuzz_manifest}, Target{"measured", fuzz_measured},   Target{"project", fuzz_project},
    Target{"records", fuzz_records},   Target{"predictor", fuzz_predictor}, Target{"result", fuzz_result},
    Target{"rows", fuzz_rows},         Target{"shapefile", fuzz_shapefile}, Target{"text", fuzz_text},
    Target{"tiff", fuzz_tiff},         Target{"vector", fuzz_vector},       Target{"vrt", fuzz_vrt},
    Target{"wkb", fuzz_wkb},
};

}  // namespace

std::span<const Target> targets() {
    return kTargets;
}

void require(bool holds, const std::string& what) {
    if (!holds) {
        throw Broken(what);
    }
}

bool accepts(const std::function<void()>& work) {
    try {
        work();
        return true;
    } catch (const Error& error) {
        require(error.fault() != Fault::internal, std::string("an internal error: ") + error.what());
        require(!error.trouble().where.empty() && !error.trouble().found.empty(),
                std::string("an error that does not say where or what: ") + error.what());
        return false;
    }
}

const std::string& scratch_folder() {
    static const ScratchFolder folder;
    static const std::string path = folder.path().string();
    return path;
}

std::string scratch_file(const std::string& name, Bytes bytes) {
    const std::filesystem::path path = std::filesystem::path(scratch_folder()) / name;
    std::ofstream(path, std::ios::binary)
        .write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
    return path.string();
}

unsigned char take_byte(Bytes& bytes) {
    if (bytes.empty()) {
        return 0;
    }
    const unsigned char first = bytes.front();
    bytes = bytes.subspan(1);
    return first;
}

}  // namespace eaveshed::fuzz
