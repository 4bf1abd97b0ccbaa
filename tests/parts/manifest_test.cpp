#include "eaveshed/parts/manifest.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/parts/plan_folder.hpp"
#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using testing::TempFolder;

Identity some_identity() {
    return {{"program.version", "1.2.3"},
            {"setting.siting.max_fill_m", "60"},
            {"setting.basin.name", "B\xC3\xA4r"},
            {"input.001.setting", "terrain.elevation"},
            {"input.001.path", "dem.tif"},
            {"input.001.size_bytes", "77"},
            {"input.001.sha256", "ab"}};
}

TEST(Manifest, ComesBackAsItWasWritten) {
    const TempFolder folder;
    EXPECT_FALSE(read_manifest(folder.path()).has_value());
    Manifest manifest{some_identity(), 125.5, PlanFacts{}};
    manifest.plan->project_file = "/p/basin.toml";
    manifest.plan->rows = {9, 4};
    manifest.plan->parts = {{0, 3, 9, 4, 7, 120}, {3, 0, 0, 0, 1, 90}};
    manifest.plan->findings = {{Severity::warning, {"w", "f", "", "r"}, std::nullopt},
                               {Severity::note, {"x", "y", "z", ""}, CheckCode{}}};
    write_manifest(folder.path(), manifest);
    const Manifest read = read_manifest(folder.path()).value();
    EXPECT_THAT(differences(manifest.identity, read.identity), IsEmpty());
    EXPECT_EQ(fingerprint_of(manifest.identity), fingerprint_of(read.identity));
    EXPECT_EQ(read.tile_side_m, 125.5);
    EXPECT_EQ(read.plan->project_file, "/p/basin.toml");
    EXPECT_EQ(read.plan->rows.parcels, 4U);
    ASSERT_EQ(read.plan->parts.size(), 2U);
    EXPECT_EQ(read.plan->parts[0].memory_mib, 120U);
    EXPECT_EQ(read.plan->parts[1].first_tile, 3U);
    EXPECT_EQ(read.plan->findings.at(0).severity, Severity::warning);
    EXPECT_EQ(read.plan->findings.at(0).trouble.remedy, "r");
    EXPECT_EQ(read.plan->findings.at(1).code, CheckCode{});
}

TEST(Manifest, ComesBackWithoutAnIdentityToo) {
    const TempFolder folder;
    write_manifest(folder.path(), {{}, 125.5, std::nullopt});
    EXPECT_THAT(read_manifest(folder.path()).value().identity, IsEmpty());
}

TEST(Manifest, AnotherFileOfItsNameIsRefused) {
    const TempFolder folder;
    for (const char* const text : {"", "{", "[]", "{\"eaveshed_plan\":99}", "{\"eaveshed_plan\":2}"}) {
        folder.write("plan.json", text);
        testing::expect_error([&] { static_cast<void>(read_manifest(folder.path())); }, Fault::working, {"plan.json"});
    }
    folder.write("plan.json", "{\"eaveshed_plan\":2,\"tile_side_m\":1,\"job\":{}}");
    testing::expect_input_error([&] { static_cast<void>(plan_in_parts(folder.path())); }, {"no plan in parts"});
}

TEST(Manifest, NumbersThatAreNoCountsAreRefused) {
    const TempFolder folder;
    const auto write = [&](const std::string& roofs) {
        folder.write(
            "plan.json",
            R"({"eaveshed_plan":2,"tile_side_m":1,"job":{},"plan":{"project_file":"","strict":false,"roofs":)" + roofs +
                R"(,"parcels":0,"gather_seconds":0,"gather_memory_mib":0,"parts":[],"findings":[]}})");
    };
    write("18446744073709551615");
    EXPECT_EQ(read_manifest(folder.path()).value().plan->rows.roofs, 18446744073709551615U);
    for (const char* const roofs : {"1e300", "-1", "0.5", "true", "null", "18446744073709551616"}) {
        write(roofs);
        testing::expect_error([&] { static_cast<void>(read_manifest(folder.path())); }, Fault::working,
                              {"plan.json", "roofs is no count"});
    }
}

TEST(Identity, DifferencesNameSettingsAndInputs) {
    Identity now = some_identity();
    now[1].value = "80";
    now[5].value = "78";
    now.push_back({"setting.rank.top", "5"});
    now.erase(now.begin());
    EXPECT_THAT(differences(some_identity(), now),
                ElementsAre("siting.max_fill_m: 60 then, 80 now",
                            "input terrain.elevation dem.tif, size_bytes: 77 then, 78 now",
                            "rank.top: absent then, 5 now", "program.version: 1.2.3 then, absent now"));
    testing::expect_input_error([&] { require_same(some_identity(), now, "out.gpkg.work", "begin anew"); },
                                {"out.gpkg.work", "siting.max_fill_m: 60 then, 80 now", "begin anew"});
    EXPECT_NE(fingerprint_of(some_identity()), fingerprint_of(now));
}

TEST(Identity, ADigestThatWasNotTakenIsNoDifference) {
    Identity now = some_identity();
    now[6].value = "";
    EXPECT_EQ(differences(some_identity(), now).size(), 1U);
    EXPECT_THAT(differences(some_identity(), with_digests_of(some_identity(), now)), IsEmpty());
    now[6].value = "cd";
    EXPECT_EQ(differences(some_identity(), with_digests_of(some_identity(), now)).size(), 1U);
}

TEST(PlanFolder, RangesOfPartsAreShort) {
    EXPECT_EQ(ranges_text({3}), "3");
    EXPECT_EQ(ranges_text({1, 2, 3, 7, 9, 10}), "1-3, 7, 9-10");
}

}  // namespace
}  // namespace eaveshed
