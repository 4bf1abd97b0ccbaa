// The same of the commands beside `screen`: a run in parts, lists, a report, styles, a drafted project file.
#include "faults/sweep.hpp"

namespace eaveshed::testing {
namespace {

// What lies in a folder after these commands.
Files after(const Files& before, const std::vector<Words>& commands) {
    const TempFolder folder;
    write_files(before, folder.path());
    for (const Words& words : commands) {
        Words all{program()};
        all.insert(all.end(), words.begin(), words.end());
        const Ended ended = Running(all, folder.path(), {}).wait();
        EXPECT_EQ(ended.code, 0) << words.front() << ": " << ended.errors;
    }
    return files_in(folder.path());
}

const Files& screened() {
    static const Files files = after(basin_files(), {{"screen", "basin.toml", "-o", "out.gpkg", "--quiet"}});
    return files;
}

const Files& planned() {
    static const Files files = after(basin_files(), {{"split", "basin.toml", "--parts", "2", "-o", "plan", "--quiet"}});
    return files;
}

Words part(const char* number) {
    return {"screen", "--part", "plan", number, "--project", "basin.toml", "--progress", "none"};
}

struct Command {
    const char* name;
    Work (*work)();
};
void PrintTo(const Command& command, std::ostream* out) {
    *out << command.name;
}

Work splitting() {
    Work work;
    work.words = {"split", "basin.toml", "--parts", "2", "-o", "plan", "--progress", "none"};
    work.again = work.words;
    work.before = basin_files();
    work.of_dead = {"plan/"};
    work.unlike = {"plan/plan.json"};  // it says where the project file lies
    return work;
}

Work one_part() {
    Work work;
    work.words = part("1");
    work.again = work.words;
    work.before = planned();
    work.of_dead = {"plan/rows/"};
    return work;
}

Work gathering() {
    Work work;
    work.words = {"gather", "plan", "-o", "out.gpkg", "--project", "basin.toml", "--overwrite", "--progress", "none"};
    work.again = work.words;
    work.before = after(planned(), {part("1"), part("2")});
    work.before["out.gpkg"] = "what stood there before";
    work.of_dead = {"out.gpkg.work/"};
    return work;
}

Work listing() {
    Work work;
    work.words = {"rank", "out.gpkg", "--csv", "calls.csv", "--xlsx", "calls.xlsx", "--overwrite"};
    work.again = work.words;
    work.before = screened();
    work.before["calls.csv"] = "an earlier list";
    work.before["calls.xlsx"] = "an earlier sheet";
    work.of_dead = {".calls."};
    return work;
}

Work reporting() {
    Work work;
    work.words = {"report", "out.gpkg", "-o", "report", "--top", "2", "--overwrite"};
    work.again = work.words;
    work.before = after(screened(), {{"report", "out.gpkg", "-o", "report", "--top", "1"}});
    work.of_dead = {"report.part-"};
    work.whole_folder = "report";
    return work;
}

Work describing_styles() {
    Work work;
    work.words = {"styles", "out.gpkg", "-o", "styles", "--overwrite"};
    work.again = work.words;
    work.before = screened();
    work.of_dead = {"styles/."};
    return work;
}

Work drafting() {
    Work work;
    work.words = {"check", "--new", "buildings.gpkg", "dem.tif", "rain.tif", "-o", "new.toml"};
    work.again = work.words;
    work.before = basin_files();
    work.of_dead = {".new.toml.part-"};
    return work;
}

constexpr Command kCommands[]{{"split", splitting},   {"part", one_part},    {"gather", gathering},
                              {"rank", listing},      {"report", reporting}, {"styles", describing_styles},
                              {"check_new", drafting}};

const std::vector<Fault>& kinds() {
    static const std::vector<Fault> all{{.call = "write", .action = kEio},
                                        {.call = "write", .action = kNoRoom, .bytes = 0},
                                        {.call = "rename", .action = kEio},
                                        {.call = "write", .action = "kill"},
                                        {.call = "open", .action = kEio, .under = "*"},
                                        {.call = "rename", .action = "kill"},
                                        {.call = "sync", .action = kEio},
                                        {.call = "read", .action = kEio},
                                        {.call = "unlink", .action = kEio},
                                        {.call = "folder", .action = kReadOnly},
                                        {.call = "write", .action = kNoRoom, .under = "tmp", .bytes = 0},
                                        {.call = "allocate", .action = kNoMemory, .under = "*", .least = 65536}};
    return all;
}

class Commands : public ::testing::TestWithParam<Command> {};

TEST_P(Commands, LoseNothingAndSayWhy) {
    if (kSanitized) {
        GTEST_SKIP() << "a sanitizer replaces the calls that are to fail: test skipped";
    }
    constexpr std::size_t kOfCi = 4;  // kinds
    constexpr long kPlacesOfCi = 2;
    const Trial trial = trial_of(GetParam().work());
    ASSERT_EQ(trial.trouble(), "");
    const std::size_t most = whole_sweep() ? kinds().size() : kOfCi;
    for (std::size_t i = 0; i < most; ++i) {
        if (trial.count(kinds()[i]) > 0) {
            sweep(trial, kinds()[i], kPlacesOfCi, GetParam().name);
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Faults, Commands, ::testing::ValuesIn(kCommands),
                         [](const ::testing::TestParamInfo<Command>& command) {
                             return std::string(command.param.name);
                         });

}  // namespace
}  // namespace eaveshed::testing
