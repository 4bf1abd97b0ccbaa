// A run in parts, and a run taken up again: the result is that of one run, to the byte.
#include <gtest/gtest.h>

#include <chrono>
#include <csignal>
#include <filesystem>
#include <future>
#include <initializer_list>
#include <string>

#include "eaveshed/files/file.hpp"
#include "eaveshed/run/split.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::bytes_of;
using testing::TempFolder;
namespace fs = std::filesystem;

PlanInParts planned(const std::string& project, const std::string& folder, std::size_t parts, bool overwrite = false) {
    Findings findings;
    Progress progress(ProgressStyle::none);
    return split(load_project(project, findings), {.folder = folder, .parts = parts, .overwrite = overwrite}, findings,
                 progress);
}

PartResult computed(const std::string& folder, std::uint64_t part, unsigned threads = 1) {
    Progress progress(ProgressStyle::none);
    return screen_part({.folder = folder, .part = part, .project = {}, .threads = threads}, progress);
}

std::string gathered(const std::string& folder, const std::string& output) {
    Findings findings;
    Progress progress(ProgressStyle::none);
    return gather_parts({.folder = folder, .output = output, .project = {}, .overwrite = true}, findings, progress)
        .output;
}

// Splits, computes the parts, the last first, and gathers.
std::string in_parts(const TempFolder& folder, const std::string& project, std::size_t parts) {
    const std::string plan = folder.file("plan");
    planned(project, plan, parts, true);
    for (std::size_t part = parts; part > 0; --part) {
        computed(plan, part, part % 2 == 0 ? 2 : 1);
    }
    return bytes_of(gathered(plan, folder.file("parts.gpkg")));
}

void expect_same_in_parts(const TempFolder& folder, const std::string& project,
                          std::initializer_list<std::size_t> numbers) {
    screened(project, folder.file("one.gpkg"));
    const std::string one = bytes_of(folder.file("one.gpkg"));
    for (const std::size_t parts : numbers) {
        EXPECT_TRUE(in_parts(folder, project, parts) == one) << parts << " parts";
    }
}

TEST(Parts, TheDemoInAnyNumberOfPartsIsTheDemoOfOneRun) {
    const TempFolder folder;
    expect_same_in_parts(folder, demo_project(), {1, 2, 5, 40});
}

TEST(Parts, StreamsScenariosExclusionsAndNoParcelsComeThrough) {
    const TempFolder folder;
    SmallBasin basin;
    basin.settings =
        "[streams]\nderive = true\nstream_area_km2 = 0.2\n[[scenarios]]\nname = \"drier\"\nrain_factor = 0.8\n";
    expect_same_in_parts(folder, write_basin(folder, basin), {1, 3});
    const TempFolder without;
    SmallBasin no_parcels;
    no_parcels.parcels_crs = "";
    no_parcels.settings = "[output]\nunits = \"us\"\ncrs = \"EPSG:4326\"\n";
    expect_same_in_parts(without, write_basin(without, no_parcels), {2});
}

std::string basin_with_measured(const TempFolder& folder) {
    SmallBasin basin;
    basin.settings = "[overrides]\nsource = \"measured.csv\"\n";
    folder.write("measured.csv", "roof_id,parcel_id,eave_height_m,people\nR02,,4.5,\n,PR03,,7\nnobody,,3,\n");
    return write_basin(folder, basin);
}

TEST(Parts, MeasuredValuesComeThrough) {
    const TempFolder folder;
    expect_same_in_parts(folder, basin_with_measured(folder), {1, 4});
}

// What a file is given away with tells nothing of the machine, and warnings name inputs as the project does.
TEST(Parts, WhereTheProjectIsCalledFromDoesNotShow) {
    const TempFolder folder;
    const std::string project = basin_with_measured(folder);
    const std::string from_here = fs::relative(project).string();
    ASSERT_NE(from_here, project);
    screened(from_here, folder.file("one.gpkg"));
    const std::string one = bytes_of(folder.file("one.gpkg"));
    EXPECT_NE(one.find("overrides.source \"measured.csv\""), std::string::npos);  // a warning
    EXPECT_EQ(one.find(folder.path().filename().string()), std::string::npos);
    screened(project, folder.file("other.gpkg"));
    EXPECT_TRUE(bytes_of(folder.file("other.gpkg")) == one);
    EXPECT_TRUE(in_parts(folder, project, 2) == one);
    EXPECT_TRUE(in_parts(folder, from_here, 2) == one);
}

TEST(Parts, APartThatStandsIsLeftAloneAndOneThatIsDamagedIsComputedAgain) {
    const TempFolder folder;
    const std::string plan = folder.file("plan");
    planned(write_basin(folder, {}), plan, 2);
    const PartResult first = computed(plan, 1);
    EXPECT_FALSE(first.stood_before);
    const std::string rows = bytes_of(first.rows);
    EXPECT_TRUE(computed(plan, 1).stood_before);
    std::string damaged = rows;
    damaged[damaged.size() / 2] = static_cast<char>(damaged[damaged.size() / 2] ^ 1);
    folder.write("plan/rows/000001.rows", damaged);
    computed(plan, 2);
    testing::expect_error([&] { gathered(plan, folder.file("out.gpkg")); }, Fault::working,
                          {"000001.rows", "checksum"});
    EXPECT_FALSE(fs::exists(folder.file("out.gpkg")));
    EXPECT_FALSE(computed(plan, 1).stood_before);
    EXPECT_TRUE(bytes_of(first.rows) == rows);
}

TEST(Parts, TwoAtOnceOnOnePartLeaveTheSameFileAndNothingElse) {
    const TempFolder folder;
    const std::string plan = folder.file("plan");
    planned(write_basin(folder, {}), plan, 2);
    auto other = std::async(std::launch::async, [&] { return computed(plan, 1).rows; });
    const std::string rows = computed(plan, 1).rows;
    EXPECT_EQ(other.get(), rows);
    folder.write("plan/rows/000001.draft-elsewhere-1-0", "of one that was killed");
    EXPECT_TRUE(computed(plan, 1).stood_before);
    EXPECT_EQ(std::distance(fs::directory_iterator(folder.path() / "plan" / "rows"), {}), 1);
}

TEST(Parts, MissingPartsAreNamedWithTheCommandThatMakesThem) {
    const TempFolder folder;
    const std::string plan = folder.file("plan");
    planned(write_basin(folder, {}), plan, 5);
    computed(plan, 2);
    testing::expect_input_error([&] { gathered(plan, folder.file("out.gpkg")); },
                                {"4 of 5 parts: 1, 3-5", "eaveshed screen --part", "plan 1"});
    for (const std::uint64_t part : {0U, 6U}) {
        testing::expect_input_error([&] { computed(plan, part); }, {"no part", "from 1 to 5"});
    }
}

TEST(Parts, ThePartsOfAnotherPlanAreRefused) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    planned(project, folder.file("plan"), 1);
    folder.write("basin.toml", project_text({}) + "[siting]\nmax_fill_m = 31\n");
    planned(project, folder.file("other"), 1);
    const std::string rows = computed(folder.file("other"), 1).rows;
    folder.write("plan/rows/000001.rows", bytes_of(rows));
    testing::expect_error([&] { gathered(folder.file("plan"), folder.file("out.gpkg")); }, Fault::working,
                          {"000001.rows", "other inputs, settings or program"});
}

TEST(Parts, InputsThatChangedAreShown) {
    const TempFolder folder;
    const std::string plan = folder.file("plan");
    planned(write_basin(folder, {}), plan, 1);
    SmallBasin changed;
    changed.roofs.resize(23);
    write_footprints(changed, folder.file("buildings.gpkg"));
    fs::last_write_time(folder.file("buildings.gpkg"), fs::file_time_type::clock::now() + std::chrono::seconds(10));
    testing::expect_input_error([&] { computed(plan, 1); },
                                {"input footprints.source buildings.gpkg", "then", "split again"});
}

TEST(Parts, APlanThatStandsIsNotReplacedUnasked) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    planned(project, folder.file("plan"), 2);
    testing::expect_input_error([&] { planned(project, folder.file("plan"), 3); },
                                {"a plan that stands", "--overwrite"});
    EXPECT_EQ(planned(project, folder.file("plan"), 3, true).facts().parts.size(), 3U);
    fs::create_directory(folder.path() / "mine");
    folder.write("mine/letter.txt", "dear");
    testing::expect_input_error([&] { planned(project, folder.file("mine"), 3, true); }, {"mine", "not a run's"});
    EXPECT_EQ(bytes_of(folder.file("mine/letter.txt")), "dear");
}

ScreenResult resumed(const std::string& project_file, const std::string& output, bool overwrite = false) {
    Findings findings;
    const Project project = load_project(project_file, findings);
    ScreenOptions options{.output = output, .overwrite = overwrite, .resume = true};
    options.plan.tile_side_m = 400.0;
    Progress progress(ProgressStyle::none);
    return screen(project, options, findings, progress);
}

// A run that is stopped before its first tile is done keeps its work folder.
void stop_at_work(const std::string& project_file, const std::string& output) {
    Findings findings;
    const Project project = load_project(project_file, findings);
    ScreenOptions options{.output = output};
    options.plan.tile_side_m = 400.0;
    options.before_work = [](const Findings&) { request_stop(SIGTERM); };
    Progress progress(ProgressStyle::none);
    EXPECT_THROW(static_cast<void>(screen(project, options, findings, progress)), Stopped);
    request_stop(0);
}

TEST(Resume, ARunThatWasStoppedIsTakenUpAndGivesTheSameBytes) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    screened(project, folder.file("one.gpkg"));
    const std::string output = folder.file("out.gpkg");
    stop_at_work(project, output);
    EXPECT_TRUE(fs::exists(output + ".work/plan.json"));
    EXPECT_FALSE(fs::exists(output + ".work/footprints.records"));
    EXPECT_FALSE(fs::exists(output));
    resumed(project, output);
    EXPECT_TRUE(bytes_of(output) == bytes_of(folder.file("one.gpkg")));
    EXPECT_FALSE(fs::exists(output + ".work"));
}

TEST(Resume, AFinishedRunIsLeftAlone) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    const std::string output = folder.file("out.gpkg");
    EXPECT_FALSE(resumed(project, output).stood_before);  // nothing to take up: a run like any other
    const auto written = fs::last_write_time(output);
    EXPECT_TRUE(resumed(project, output).stood_before);
    EXPECT_EQ(fs::last_write_time(output), written);
    folder.write("basin.toml", project_text({}) + "[siting]\nmax_fill_m = 31\n");
    testing::expect_input_error([&] { resumed(project, output); }, {"a file that exists", "--overwrite"});
    EXPECT_FALSE(resumed(project, output, true).stood_before);
}

TEST(Resume, RowsOfOtherSettingsAreRefusedAndClearedByARunAnew) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    const std::string output = folder.file("out.gpkg");
    stop_at_work(project, output);
    folder.write("basin.toml", project_text({}) + "[siting]\nmax_fill_m = 31\n");
    testing::expect_input_error([&] { resumed(project, output); },
                                {"out.gpkg.work", "siting.max_fill_m:", "31 now", "without --resume"});
    EXPECT_TRUE(fs::exists(output + ".work/rows"));  // what was done for the others stays
    screened(project, output);
    EXPECT_FALSE(fs::exists(output + ".work"));
}

TEST(Resume, AWorkFolderInUseIsAPassingTrouble) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    const WorkFolder other(folder.path() / "out.gpkg.work");
    testing::expect_error([&] { resumed(project, folder.file("out.gpkg")); }, Fault::passing, {"another run"});
}

}  // namespace
}  // namespace eaveshed
