// The demo basin drawn by a packaged open map server from the descriptors that `styles` writes. Skipped where none is.
#include <gdal_priv.h>
#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <memory>
#include <tuple>

#include "eaveshed/core/error.hpp"
#include "eaveshed/result/style_files.hpp"
#include "run/run_project.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

namespace fs = std::filesystem;
using testing::OutputFile;
using testing::TempFolder;

constexpr const char* kServer = "/usr/lib/cgi-bin/mapserv";

struct Rgb {
    int red;
    int green;
    int blue;
    bool operator<(const Rgb& other) const {
        return std::tie(red, green, blue) < std::tie(other.red, other.green, other.blue);
    }
};

std::string text_of(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

// How many pixels of each colour a drawing has.
std::map<Rgb, int> colours(const std::vector<unsigned char>& tiff) {
    const std::string name = "/vsimem/map_server_test.tif";
    VSILFILE* const file = VSIFOpenL(name.c_str(), "wb");
    VSIFWriteL(tiff.data(), 1, tiff.size(), file);
    VSIFCloseL(file);
    const std::unique_ptr<GDALDataset> image(GDALDataset::Open(name.c_str(), GDAL_OF_RASTER));
    std::map<Rgb, int> counts;
    if (image && image->GetRasterCount() >= 3) {
        const int width = image->GetRasterXSize();
        const int height = image->GetRasterYSize();
        std::array<std::vector<unsigned char>, 3> bands;
        for (int band = 0; band < 3; ++band) {
            auto& values = bands.at(static_cast<std::size_t>(band));
            values.resize(static_cast<std::size_t>(width) * static_cast<std::size_t>(height));
            EXPECT_EQ(image->GetRasterBand(band + 1)->RasterIO(GF_Read, 0, 0, width, height, values.data(), width,
                                                               height, GDT_Byte, 0, 0),
                      CE_None);
        }
        for (std::size_t i = 0; i < bands[0].size(); ++i) {
            ++counts[{bands[0][i], bands[1][i], bands[2][i]}];
        }
    }
    VSIUnlink(name.c_str());
    return counts;
}

class MapServer : public ::testing::Test {
protected:
    void SetUp() override {
        if (!fs::exists(kServer)) {
            GTEST_SKIP() << "no map server here: package cgi-mapserver";
        }
        screened(demo_project(), m_folder.file("demo.gpkg"));
        Findings findings;
        for (const fs::path& file :
             write_style_files(m_folder.file("demo.gpkg"), m_folder.file("styles"), false, findings)) {
            m_styles[file.stem().string()] = text_of(file);
        }
    }

    // The layers from the lowest to the highest, in a box of the demo's CRS; the layers' own look would be magenta.
    std::map<Rgb, int> drawn(const std::vector<std::pair<std::string, std::string>>& layers, const std::string& box) {
        std::string map =
            "MAP NAME demo SIZE 800 600 EXTENT 500000 4428000 502000 4431000 IMAGECOLOR 255 255 255 "
            "PROJECTION \"init=epsg:32627\" END WEB METADATA \"wms_title\" \"demo\" \"wms_enable_request\" \"*\" "
            "\"wms_srs\" \"EPSG:32627\" END END OUTPUTFORMAT NAME \"tif\" DRIVER \"GDAL/GTiff\" MIMETYPE "
            "\"image/tiff\" "
            "IMAGEMODE RGB EXTENSION \"tif\" END\n";
        std::string names;
        std::string body =
            "<StyledLayerDescriptor version=\"1.1.0\" xmlns=\"http://www.opengis.net/sld\" "
            "xmlns:se=\"http://www.opengis.net/se\" xmlns:ogc=\"http://www.opengis.net/ogc\">";
        for (const auto& [name, type] : layers) {
            map += "LAYER NAME " + name + " TYPE " + type + " STATUS ON CONNECTIONTYPE OGR CONNECTION \"" +
                   m_folder.file("demo.gpkg") + "\" DATA \"" + name +
                   "\" PROJECTION \"init=epsg:32627\" END METADATA " + "\"wms_title\" \"" + name +
                   "\" END CLASS STYLE COLOR 255 0 255 END END END\n";
            names += (names.empty() ? "" : ",") + name;
            const std::string& style = m_styles.at(name);
            const std::size_t begin = style.find("<NamedLayer>");
            body += style.substr(begin, style.find("</StyledLayerDescriptor>") - begin);
        }
        std::ofstream(m_folder.file("demo.map")) << map << "END\n";
        std::ofstream(m_folder.file("server.conf")) << "CONFIG\nENV\n\"MS_MAP_PATTERN\" \".\"\nEND\nMAPS\n\"DEMO\" \""
                                                    << m_folder.file("demo.map") << "\"\nEND\nEND\n";
        char* const escaped = CPLEscapeString((body + "</StyledLayerDescriptor>").c_str(), -1, CPLES_URL);
        std::ofstream(m_folder.file("query"))
            << "map=DEMO&SERVICE=WMS&VERSION=1.1.1&REQUEST=GetMap&LAYERS=" << names
            << "&STYLES=&SRS=EPSG:32627&BBOX=" << box << "&WIDTH=800&HEIGHT=600&FORMAT=image/tiff&SLD_BODY=" << escaped;
        CPLFree(escaped);
        const std::string command =
            "REQUEST_METHOD=POST CONTENT_TYPE=application/x-www-form-urlencoded CONTENT_LENGTH=" +
            std::to_string(fs::file_size(m_folder.file("query"))) + " MAPSERVER_CONFIG_FILE='" +
            m_folder.file("server.conf") + "' " + kServer + " < '" + m_folder.file("query") + "' > '" +
            m_folder.file("answer") + "'";
        EXPECT_EQ(std::system(command.c_str()), 0);
        const std::string answer = text_of(m_folder.file("answer"));
        const std::size_t begin = answer.find("\r\n\r\n");
        EXPECT_NE(begin, std::string::npos) << answer.substr(0, 400);
        return begin == std::string::npos
                   ? std::map<Rgb, int>{}
                   : colours({answer.begin() + static_cast<std::ptrdiff_t>(begin) + 4, answer.end()});
    }

    TempFolder m_folder;
    std::map<std::string, std::string> m_styles;
};

TEST_F(MapServer, DrawsPadsWithTheirFourMarksAndNothingInItsOwnLook) {
    const auto seen = drawn({{"pads", "POINT"}}, "500600,4429000,501200,4429450");
    for (const Rgb& fill : {Rgb{0x56, 0xb4, 0xe9}, Rgb{0xe6, 0x9f, 0x00}, Rgb{0xd5, 0x5e, 0x00}}) {
        EXPECT_GT(seen.count(fill) > 0 ? seen.at(fill) : 0, 20) << fill.red;
    }
    EXPECT_EQ(seen.count({255, 0, 255}), 0U);
}

TEST_F(MapServer, PadsAreLeftOutWhereTheyWouldHideTheRoofs) {
    const auto seen = drawn({{"pads", "POINT"}}, "495000,4424000,507000,4433000");  // about 1 : 54 000
    EXPECT_EQ(seen.size(), 1U);
}

// Parcels by rank, most first: the pale half-transparent fills of the four classes and of those enrolled.
TEST_F(MapServer, DrawsParcelsByTheirRank) {
    const auto seen = drawn({{"parcels", "POLYGON"}}, "500519,4428100,501515,4430200");
    const OutputFile file(m_folder.file("demo.gpkg"));
    const auto mixed = [](int value, int over, double opacity) {
        return static_cast<int>(std::lround(opacity * value + (1.0 - opacity) * over));
    };
    // Over the grey of every parcel (#bdbdbd at 0.25 on white: 238.5).
    const auto pixels = [&](int red, int green, int blue) {
        int sum = 0;
        for (const auto& [colour, count] : seen) {
            if (std::abs(colour.red - mixed(red, 238, 0.45)) <= 3 &&
                std::abs(colour.green - mixed(green, 238, 0.45)) <= 3 &&
                std::abs(colour.blue - mixed(blue, 238, 0.45)) <= 3) {
                sum += count;
            }
        }
        return sum;
    };
    EXPECT_GT(pixels(0x99, 0x34, 0x04), 100);  // 1 to 10
    EXPECT_GT(pixels(0xd9, 0x5f, 0x0e), 100);  // to 25
    EXPECT_GT(pixels(0xfe, 0x99, 0x29), 100);  // to 100
    EXPECT_GT(pixels(0xfe, 0xd9, 0x8e), 100);  // and on
    EXPECT_GT(pixels(0x00, 0x72, 0xb2), 100);  // enrolled
    EXPECT_EQ(seen.count({255, 0, 255}), 0U);
    EXPECT_GT(file.count("SELECT COUNT(*) FROM parcels WHERE rank <= 10"), 9);
}

TEST_F(MapServer, DrawsPipesAndGroundNearBy) {
    const auto seen = drawn({{"pad_ground", "POLYGON"}, {"pipes", "LINE"}}, "500600,4429000,501200,4429450");
    EXPECT_GT(seen.count({0x00, 0x72, 0xb2}) > 0 ? seen.at({0x00, 0x72, 0xb2}) : 0, 50);
    EXPECT_GT(seen.count({0x11, 0x77, 0x33}) > 0 ? seen.at({0x11, 0x77, 0x33}) : 0, 50);
    EXPECT_EQ(seen.count({255, 0, 255}), 0U);
}

TEST_F(MapServer, ADescriptorThatExistsIsKept) {
    Findings findings;
    EXPECT_THROW((void)write_style_files(m_folder.file("demo.gpkg"), m_folder.file("styles"), false, findings), Error);
    EXPECT_EQ(write_style_files(m_folder.file("demo.gpkg"), m_folder.file("styles"), true, findings).size(), 8U);
}

}  // namespace
}  // namespace eaveshed
