#include "eaveshed/project/project.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

std::string given(const std::string& file, const std::string& message) {
    return with_given_paths(project_of({}, file), message);
}

TEST(WithGivenPaths, LeavesTheProjectsFolderOutWhereAPathBegins) {
    const std::string message = "terrain.elevation \"/data/mine/dem.tif\": '/data/mine/roads.gpkg', other/data/mine/x";
    EXPECT_EQ(given("/data/mine/basin.toml", message),
              "terrain.elevation \"dem.tif\": 'roads.gpkg', other/data/mine/x");
    EXPECT_EQ(given("/data/mine/basin.toml", "/data/mine/basin.toml:3:1: odd"), "basin.toml:3:1: odd");
    EXPECT_EQ(given("mine/basin.toml", "rain.source \"mine/mine/rain.tif\""), "rain.source \"mine/rain.tif\"");
}

TEST(WithGivenPaths, LeavesOtherPathsAsTheyAre) {
    const std::string message = "terrain.elevation \"/elsewhere/dem.tif\": found \"dem.tif\"";
    EXPECT_EQ(given("/data/mine/basin.toml", message), message);
    EXPECT_EQ(given("basin.toml", message), message);
}

}  // namespace
}  // namespace eaveshed
