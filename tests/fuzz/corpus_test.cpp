// Every file of testdata/fuzz through its target: seeds, and all that ever broke something.
#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/file.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {
namespace {

namespace fs = std::filesystem;

const fs::path kCorpus = fs::path(EAVESHED_SOURCE_DIR) / "testdata" / "fuzz";

std::vector<unsigned char> content(const fs::path& path) {
    const File file(path, File::Mode::read);
    std::vector<unsigned char> bytes(file.size());
    file.read_at(0, bytes);
    return bytes;
}

std::vector<fs::path> files_of(std::string_view target) {
    std::vector<fs::path> files;
    for (const auto& entry : fs::directory_iterator(kCorpus / target)) {
        files.push_back(entry.path());
    }
    std::ranges::sort(files);
    return files;
}

class FuzzCorpus : public ::testing::TestWithParam<Target> {};

TEST_P(FuzzCorpus, HoldsWhatItsTargetAsks) {
    const std::vector<fs::path> files = files_of(GetParam().name);
    EXPECT_FALSE(files.empty());
    for (const fs::path& file : files) {
        const std::vector<unsigned char> bytes = content(file);
        EXPECT_NO_THROW(GetParam().run(bytes)) << file;
        // Cut short it breaks nothing either.
        EXPECT_NO_THROW(GetParam().run(Bytes(bytes).first(bytes.size() / 2))) << file << ", its first half";
    }
}

INSTANTIATE_TEST_SUITE_P(Targets, FuzzCorpus, ::testing::ValuesIn(targets().begin(), targets().end()),
                         [](const auto& target) { return std::string(target.param.name); });

TEST(FuzzFolders, HasAFolderForEachTargetAndNoOther) {
    for (const auto& entry : fs::directory_iterator(kCorpus)) {
        const std::string name = entry.path().filename().string();
        EXPECT_TRUE(std::ranges::any_of(targets(), [&](const Target& target) { return target.name == name; })) << name;
    }
}

TEST(FuzzFolders, StaySmall) {
    std::uintmax_t bytes = 0;
    for (const auto& entry : fs::recursive_directory_iterator(kCorpus)) {
        bytes += entry.is_regular_file() ? entry.file_size() : 0;
    }
    EXPECT_LT(bytes, 500'000U);
}

TEST(FuzzTarget, AsksThatAnErrorSaysWhereAndWhat) {
    EXPECT_TRUE(accepts([] {}));
    EXPECT_FALSE(accepts([] { throw input_error("a.csv", "nothing", "something", "write it"); }));
    EXPECT_THROW(accepts([] { throw input_error("", "", "something", ""); }), Broken);
    EXPECT_THROW(accepts([] { internal_error("a rule"); }), Broken);
    EXPECT_THROW(require(false, "it holds"), Broken);
}

}  // namespace
}  // namespace eaveshed::fuzz
