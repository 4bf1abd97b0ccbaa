// What surrounds a run and is none of its business: the locale, clocks that are wrong, inputs that someone writes to.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <locale>
#include <thread>

#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;
namespace fs = std::filesystem;

std::string bytes_at(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

// Numbers as much of the world writes them.
class CommaNumbers : public std::numpunct<char> {
protected:
    [[nodiscard]] char do_decimal_point() const override { return ','; }
    [[nodiscard]] char do_thousands_sep() const override { return '.'; }
    [[nodiscard]] std::string do_grouping() const override { return "\3"; }
};

class WithCommas {
public:
    WithCommas() : m_before(std::locale::global(std::locale(std::locale::classic(), new CommaNumbers))) {}
    ~WithCommas() { std::locale::global(m_before); }
    WithCommas(const WithCommas&) = delete;
    WithCommas& operator=(const WithCommas&) = delete;

private:
    std::locale m_before;
};

TEST(Surroundings, ALocaleWithDecimalCommasChangesNoByte) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    screened(project, folder.file("plain.gpkg"));
    {
        const WithCommas commas;
        screened(project, folder.file("commas.gpkg"));
    }
    EXPECT_TRUE(bytes_at(folder.file("plain.gpkg")) == bytes_at(folder.file("commas.gpkg")));
}

TEST(Surroundings, InputsFromBeforeTheClockBeganAreReadLikeOthers) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    const auto then = fs::file_time_type::clock::now() - std::chrono::hours(24 * 365 * 60);
    for (const char* const name : {"buildings.gpkg", "parcels.gpkg", "dem.tif", "rain.tif"}) {
        fs::last_write_time(folder.file(name), then);
    }
    const ScreenResult result = screened(project, folder.file("out.gpkg"));
    EXPECT_EQ(result.counts.rows(), small_roofs().size());
}

// Touches a file for as long as it lives.
class Toucher {
public:
    explicit Toucher(const std::string& path)
        : m_thread([this, path] {
              auto time = fs::last_write_time(path);
              while (!m_stop) {
                  time += std::chrono::seconds(1);
                  fs::last_write_time(path, time);
                  std::this_thread::sleep_for(std::chrono::milliseconds(1));
              }
          }) {}
    ~Toucher() {
        m_stop = true;
        m_thread.join();
    }
    Toucher(const Toucher&) = delete;
    Toucher& operator=(const Toucher&) = delete;

private:
    std::atomic<bool> m_stop{false};
    std::thread m_thread;
};

TEST(Surroundings, AnInputThatIsWrittenToMeanwhileStopsTheRunAndNothingIsPublished) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    {
        const Toucher toucher(folder.file("dem.tif"));
        testing::expect_error([&] { screened(project, folder.file("out.gpkg")); }, Fault::working,
                              {"terrain.elevation", "dem.tif", "changed while it was being read"});
    }
    EXPECT_FALSE(fs::exists(folder.file("out.gpkg")));
    EXPECT_FALSE(fs::exists(folder.file("out.gpkg.work")));
}

}  // namespace
}  // namespace eaveshed
