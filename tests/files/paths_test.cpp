#include "eaveshed/files/paths.hpp"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "eaveshed/core/error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using testing::TempFolder;

// The error that a path brings up; fails when there is none.
Trouble trouble_of(const std::string& path, FileKind kind = FileKind::vector) {
    try {
        require_readable("footprints.source", path, kind);
    } catch (const Error& error) {
        EXPECT_EQ(error.fault(), Fault::input);
        EXPECT_EQ(error.exit_code(), 2);
        return error.trouble();
    }
    ADD_FAILURE() << "no error for " << path;
    return {};
}

TEST(Paths, AReadableFileIsAccepted) {
    const TempFolder folder;
    EXPECT_NO_THROW(require_readable("footprints.source", folder.write("a.gpkg", "x"), FileKind::vector));
    EXPECT_NO_THROW(require_readable("footprints.source",
                                     folder.write("d\xC3\xA4"
                                                  "cher 2.csv",
                                                  "x"),
                                     FileKind::vector));
}

// What the machine refuses now is not the file's fault: a run that is asked again gets it.
TEST(Paths, AFileThatAMachineOutOfHandlesCannotOpenIsAPassingTrouble) {
    const TempFolder folder;
    const std::string path = folder.write("a.gpkg", "x");
    rlimit before{};
    ASSERT_EQ(getrlimit(RLIMIT_NOFILE, &before), 0);
    const rlimit none{0, before.rlim_max};
    ASSERT_EQ(setrlimit(RLIMIT_NOFILE, &none), 0);
    std::optional<Error> told;
    try {
        require_readable("footprints.source", path, FileKind::vector);
    } catch (const Error& error) {
        told = error;
    }
    ASSERT_EQ(setrlimit(RLIMIT_NOFILE, &before), 0);
    ASSERT_TRUE(told.has_value());
    EXPECT_EQ(told->fault(), Fault::passing);
    EXPECT_THAT(told->what(), AllOf(HasSubstr("footprints.source"), HasSubstr("cannot be opened")));
}

TEST(Paths, AMissingFileIsNamedAsGivenAndInFullWithTheNearestName) {
    const TempFolder folder;
    folder.write("buildings.gpkg", "x");
    folder.write("roads.gpkg", "x");
    const Trouble trouble = trouble_of(folder.file("bulidings.gpkg"));
    EXPECT_THAT(trouble.where, HasSubstr("footprints.source"));
    EXPECT_THAT(trouble.where, HasSubstr("bulidings.gpkg"));
    EXPECT_THAT(trouble.found, HasSubstr("no such file"));
    EXPECT_EQ(trouble.remedy, "did you mean 'buildings.gpkg'?");
}

TEST(Paths, AMissingResultCountsFromWhereOneIsAndIsAFileOfThisProgram) {
    const TempFolder folder;
    const Trouble trouble = trouble_of(folder.file("basin.gpkg"), FileKind::result);
    EXPECT_EQ(trouble.wanted, "a GeoPackage that `eaveshed screen` wrote");
    EXPECT_THAT(trouble.remedy, HasSubstr("the folder in which you are"));
    EXPECT_THAT(trouble_of(folder.file("basin.gpkg")).remedy, HasSubstr("the project file's folder"));
}

TEST(Paths, ARelativePathIsShownInFullToo) {
    const Trouble trouble = trouble_of("no-such-folder/a.gpkg");
    EXPECT_THAT(trouble.found, HasSubstr((std::filesystem::current_path() / "no-such-folder/a.gpkg").string()));
    EXPECT_THAT(trouble.found, HasSubstr("holds no folder 'no-such-folder'"));
}

TEST(Paths, TheFirstMissingFolderIsTheOneThatIsNamed) {
    const TempFolder folder;
    std::filesystem::create_directory(folder.path() / "data");
    const Trouble trouble = trouble_of(folder.file("dtaa/2024/a.gpkg"));
    EXPECT_THAT(trouble.found, HasSubstr("holds no folder 'dtaa'"));
    EXPECT_EQ(trouble.remedy, "did you mean 'data'?");
}

TEST(Paths, AFileUsedAsAFolderIsAMissingFile) {
    const TempFolder folder;
    folder.write("a.gpkg", "x");
    EXPECT_THAT(trouble_of(folder.file("a.gpkg/b.gpkg")).found, HasSubstr("no such file"));
}

TEST(Paths, AFolderListsTheFilesOfTheKindInside) {
    const TempFolder folder;
    for (const char* name : {"b.gpkg", "a.SHP", "a.dbf", "dem.tif", "notes.txt"}) {
        folder.write(name, "x");
    }
    EXPECT_THAT(trouble_of(folder.path().string()).remedy, HasSubstr("a.SHP, b.gpkg"));
    EXPECT_THAT(trouble_of(folder.path().string(), FileKind::raster).remedy, HasSubstr("it: dem.tif"));
    const TempFolder empty;
    EXPECT_EQ(trouble_of(empty.path().string()).remedy, "no such file is in it");
}

TEST(Paths, AFileOfZeroBytesIsCalledEmpty) {
    const TempFolder folder;
    EXPECT_THAT(trouble_of(folder.write("a.gpkg", "")).found, HasSubstr("an empty file (0 bytes)"));
}

TEST(Paths, AddressesVirtualPathsAndArchivesAreRefusedWithoutOpeningAnything) {
    const TempFolder folder;
    EXPECT_THAT(trouble_of("http://127.0.0.1:9/a.gpkg").found, HasSubstr("network"));
    EXPECT_THAT(trouble_of("/vsicurl/http://127.0.0.1:9/a.gpkg").found, HasSubstr("virtual"));
    EXPECT_THAT(trouble_of("/vsis3/bucket/a.gpkg").found, HasSubstr("virtual"));
    EXPECT_THAT(trouble_of("/VSIZIP/a.zip/a.gpkg").found, HasSubstr("virtual"));
    EXPECT_THAT(trouble_of(folder.write("a.zip", "PK")).found, HasSubstr("archive"));
    EXPECT_THAT(trouble_of("").found, HasSubstr("empty path"));
    EXPECT_THAT(trouble_of(std::string("a.gpkg\0.csv", 11)).found, HasSubstr("NUL"));
}

// An archive's directory by PKWARE's APPNOTE.TXT 4.3.12 and 4.3.16: no content, only what it says of it.
std::string archive_of(const std::vector<std::pair<std::string, std::uint32_t>>& entries) {
    const auto number = [](std::uint32_t value, int width) {
        std::string bytes;
        for (int i = 0; i < width; ++i) {
            bytes.push_back(static_cast<char>(value >> (8 * i) & 0xFFU));
        }
        return bytes;
    };
    std::string directory;
    for (const auto& [name, bytes] : entries) {
        directory += "PK\x01\x02" + std::string(20, '\0') + number(bytes, 4) +
                     number(static_cast<std::uint32_t>(name.size()), 2) + std::string(16, '\0') + name;
    }
    const std::string front(100, 'x');
    return front + directory + "PK\x05\x06" + std::string(8, '\0') +
           number(static_cast<std::uint32_t>(directory.size()), 4) + number(100, 4) + std::string(2, '\0');
}

Trouble trouble_of_raster(const std::string& path) {
    return trouble_of(path, FileKind::raster);
}

TEST(Paths, AnArchiveListsWhatItHolds) {
    const TempFolder folder;
    const std::string path = folder.write(
        "dem.zip", archive_of({{"readme.txt", 10}, {"dem.tif", 1000}, {"more/", 0}, {"more/dsm.tif", 1000}}));
    EXPECT_EQ(trouble_of_raster(path).found, "an archive, which holds dem.tif, more/dsm.tif");
    EXPECT_THAT(trouble_of_raster(path).remedy, HasSubstr("unpack it"));
    EXPECT_EQ(trouble_of_raster(folder.write("none.zip", archive_of({{"readme.txt", 10}}))).found, "an archive");
}

TEST(Paths, AnArchiveThatMeansHarmIsToldOf) {
    const TempFolder folder;
    for (const char* const name : {"../../dem.tif", "/dem.tif", "a/../../dem.tif", "a\\dem.tif"}) {
        EXPECT_THAT(trouble_of_raster(folder.write("out.zip", archive_of({{name, 10}}))).found,
                    AllOf(HasSubstr("leads out of its folder"), HasSubstr("dem.tif")))
            << name;
    }
    const std::string bomb = folder.write("bomb.zip", archive_of({{"dem.tif", 4000000000U}, {"b.tif", 4000000000U}}));
    EXPECT_THAT(trouble_of_raster(bomb).found, HasSubstr("unpacks to 7629 MiB"));
    // Cut short in its directory.
    EXPECT_EQ(trouble_of_raster(folder.write("cut.zip", archive_of({{"dem.tif", 10}}).substr(0, 130))).found,
              "an archive");
}

TEST(Paths, ADeviceAndAPipeAreRefusedWithoutWaitingForThem) {
    const TempFolder folder;
    EXPECT_THAT(trouble_of("/dev/zero").found, HasSubstr("device"));
    ASSERT_EQ(mkfifo(folder.file("pipe.gpkg").c_str(), 0600), 0);
    EXPECT_THAT(trouble_of(folder.file("pipe.gpkg")).found, HasSubstr("pipe"));
}

TEST(Paths, AFileWithoutPermissionTellsItsOwnerAndMode) {
    const TempFolder folder;
    const std::string path = folder.write("a.gpkg", "x");
    ASSERT_EQ(chmod(folder.path().c_str(), 0755), 0);
    ASSERT_EQ(chmod(path.c_str(), 0000), 0);
    const uid_t self = geteuid();
    if (self == 0) {
        ASSERT_EQ(seteuid(65534), 0);  // root may read anything
    }
    const Trouble trouble = trouble_of(path);
    if (self == 0) {
        ASSERT_EQ(seteuid(0), 0);
    }
    EXPECT_THAT(trouble.found, HasSubstr("Permission denied"));
    EXPECT_THAT(trouble.found, HasSubstr("mode 0000"));
}

TEST(Paths, AnOverlongNameIsAnErrorLikeAnyOther) {
    EXPECT_THAT(trouble_of("/" + std::string(5000, 'a')).found, HasSubstr("cannot be opened"));
}

TEST(Paths, NamesInMessagesCannotControlTheTerminal) {
    const TempFolder folder;
    folder.write("a\x1b[2Jb.gpkg", "x");
    const Trouble trouble = trouble_of(folder.file("a\x1b[2Jc.gpkg"));
    EXPECT_EQ(to_text(trouble).find('\x1b'), std::string::npos);
}

TEST(Paths, CompanionsAreThePartsThatExist) {
    const TempFolder folder;
    for (const char* name : {"a.shp", "a.SHX", "a.dbf", "a.qix", "b.dbf", "a.gpkg", "a.gpkg-wal", "ab.gpkg-wal",
                             "a.csv", "a.csvt", "a.prj", "dem.tif", "dem.tif.aux.xml", "dem.tfw"}) {
        folder.write(name, "x");
    }
    EXPECT_THAT(companion_files(folder.file("a.shp")),
                ElementsAre(folder.file("a.SHX"), folder.file("a.dbf"), folder.file("a.prj")));
    EXPECT_THAT(companion_files(folder.file("a.gpkg")), ElementsAre(folder.file("a.gpkg-wal")));
    EXPECT_THAT(companion_files(folder.file("a.csv")), ElementsAre(folder.file("a.csvt"), folder.file("a.prj")));
    EXPECT_THAT(companion_files(folder.file("dem.tif")),
                ElementsAre(folder.file("dem.tfw"), folder.file("dem.tif.aux.xml")));
    EXPECT_THAT(companion_files(folder.file("a.geojson")), IsEmpty());
}

TEST(Paths, AZarrStoreIsAFolderWithItsSigns) {
    const TempFolder folder;
    EXPECT_FALSE(is_zarr_store(folder.path().string()));
    folder.write("rain.zarr", "x");
    EXPECT_FALSE(is_zarr_store(folder.file("rain.zarr")));
    folder.write(".zgroup", "{}");
    EXPECT_TRUE(is_zarr_store(folder.path().string()));
    EXPECT_FALSE(is_zarr_store(folder.file("absent")));
}

}  // namespace
}  // namespace eaveshed
