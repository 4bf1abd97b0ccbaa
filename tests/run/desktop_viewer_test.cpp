// The demo basin opened by a packaged open desktop viewer as it is. Skipped where none is: packages qgis, python3-qgis.
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <map>
#include <sstream>

#include "run/run_project.hpp"
#include "support/output_file.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;

class DesktopViewer : public ::testing::Test {
protected:
    void SetUp() override {
        if (std::system("/usr/bin/python3 -c 'import qgis.core' > /dev/null 2>&1") != 0) {
            GTEST_SKIP() << "no desktop viewer here: packages qgis, python3-qgis, qgis-providers";
        }
        screened(demo_project(), m_folder.file("demo.gpkg"));
    }

    void open(int size_m) {
        const std::string command = "HOME='" + m_folder.file("") + "' XDG_RUNTIME_DIR='" + m_folder.file("") +
                                    "' /usr/bin/python3 " EAVESHED_SOURCE_DIR "/tests/run/desktop_viewer.py '" +
                                    m_folder.file("demo.gpkg") + "' " + std::to_string(size_m) + " > '" +
                                    m_folder.file("seen") + "' 2> /dev/null";
        ASSERT_EQ(std::system(command.c_str()), 0);
        std::ifstream in(m_folder.file("seen"));
        for (std::string line; std::getline(in, line);) {
            std::istringstream words(line);
            std::string kind;
            std::string name;
            words >> kind >> name;
            if (kind == "layer") {
                std::getline(words >> std::ws, m_layers[name]);
            } else if (kind == "told" || kind == "table") {
                std::getline(words >> std::ws, m_told[name]);
            } else {
                words >> m_pixels[name];
            }
        }
    }

    TempFolder m_folder;
    std::map<std::string, std::string> m_layers;
    std::map<std::string, std::string> m_told;
    std::map<std::string, int> m_pixels;
};

TEST_F(DesktopViewer, TakesTheStylesAndNamesOfTheFileUnasked) {
    open(400);  // about 1 : 1 900
    EXPECT_EQ(m_layers["parcels"], "RuleRenderer 7 1 Parcel");
    EXPECT_EQ(m_layers["roofs"].substr(0, 16), "RuleRenderer 3 0");
    EXPECT_EQ(m_layers["pads"].substr(0, 17), "RuleRenderer 10 1");
    EXPECT_EQ(m_layers["pipes"].substr(0, 16), "RuleRenderer 4 0");
    EXPECT_EQ(m_layers["pad_ground"].substr(0, 16), "RuleRenderer 3 1");
    EXPECT_EQ(m_layers["use_points"].substr(0, 16), "RuleRenderer 2 0");
    for (const char* const drawn : {"#56b4e9", "#e69f00", "#ffffff"}) {  // marks of pads, plain roofs
        EXPECT_GT(m_pixels[drawn], 50) << drawn;
    }
    EXPECT_GT(m_pixels["#0072b2"], 50);  // pipes
}

// Title and tip of a feature, and the columns' names of tables that have no geometry.
TEST_F(DesktopViewer, NamesAFeatureAndTellsWhatDecides) {
    open(400);
    const testing::OutputFile file(m_folder.file("demo.gpkg"));
    const std::string parcel = file.text("SELECT parcel_id FROM parcels WHERE rank = 1");
    EXPECT_EQ(m_told["parcels"].substr(0, parcel.size() + 3), parcel + " | ");
    for (const std::string& part : {"Parcel " + parcel, std::string("<br/>Rank 1<br/>"), std::string("Replaces "),
                                    std::string("What limits it: "), std::string("<br/>Ask ")}) {
        EXPECT_NE(m_told["parcels"].find(part), std::string::npos) << part << " in " << m_told["parcels"];
    }
    EXPECT_EQ(m_told["parcels"].find(" Ask "), std::string::npos);  // the first question alone
    EXPECT_NE(m_told["roofs"].find("Roof "), std::string::npos);
    EXPECT_NE(m_told["pads"].find("Water: "), std::string::npos);
    EXPECT_EQ(m_told["storage_curve"], "Storage (m3)");
    EXPECT_EQ(m_told["parcel_options"].empty(), false);
}

TEST_F(DesktopViewer, FarOutDrawsParcelsAndNoPads) {
    open(3000);  // about 1 : 14 000
    EXPECT_EQ(m_pixels["#56b4e9"], 0);
    EXPECT_EQ(m_pixels["#e69f00"], 0);
    int parcels = 0;
    for (const auto& [colour, count] : m_pixels) {
        parcels += colour != "#ffffff" ? count : 0;
    }
    EXPECT_GT(parcels, 10'000);
}

}  // namespace
}  // namespace eaveshed
