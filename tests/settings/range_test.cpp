// Every number of the table at and beyond both ends of its range.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <map>
#include <string>

#include "project/project_text.hpp"

namespace eaveshed {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();

// Further lines that keep other rules from refusing a value at the end of its range.
const std::map<std::string_view, std::string>& companions() {
    static const std::map<std::string_view, std::string> kLines{
        {"outlet_height_m", "[[tanks]]\nvolume_m3 = 100\ndiameter_m = 5\nheight_m = 20\n"},
        {"minimum_kpa", "required_kpa = 1000\n"},
        {"required_kpa", "minimum_kpa = 0\n"},
        {"reserve_m3", "[[tanks]]\nvolume_m3 = 1e6\ndiameter_m = 5\nheight_m = 20\ncount = 1000\n"},
        {"transmissivity_m2_day", "storage_coefficient = 0.1\n"},
        {"storage_coefficient", "transmissivity_m2_day = 10\n"},
        {"volume_m3", "diameter_m = 3\nheight_m = 3\n"},
        {"diameter_m", "volume_m3 = 3\nheight_m = 3\n"},
        {"height_m", "volume_m3 = 3\ndiameter_m = 3\n[siting]\noutlet_height_m = 0\n"},
        {"count", "volume_m3 = 3\ndiameter_m = 3\nheight_m = 3\n"},
        {"cost", "volume_m3 = 3\ndiameter_m = 3\nheight_m = 3\n"},
        {"setback_m", "source = \"a.gpkg\"\n"},
        {"rain_factor", "name = \"a\"\n"},
        {"et0_factor", "name = \"a\"\n"},
    };
    return kLines;
}

std::string project_of(const Setting& setting, double value) {
    std::string lines(setting.key);
    if (setting.kind == Kind::coefficients) {
        lines += ".slate";
    }
    lines += " = " + number_text(value) + "\n";
    const auto found = companions().find(setting.key);
    return testing::project_with(setting.section, found == companions().end() ? lines : lines + found->second);
}

std::string label(const Setting& setting, double value) {
    std::string text(setting.section);
    text += '.';
    text += setting.key;
    return text + " = " + number_text(value);
}

void expect_taken(const Setting& setting, double value) {
    EXPECT_EQ(testing::error_text(project_of(setting, value)), "") << label(setting, value);
}

void expect_refused(const Setting& setting, double value) {
    const std::string error = testing::error_text(project_of(setting, value));
    EXPECT_NE(error.find(setting.key), std::string::npos) << label(setting, value) << ": " << error;
    EXPECT_NE(error.find(to_text(setting.range)), std::string::npos) << label(setting, value) << ": " << error;
}

double next_up(const Setting& setting, double value) {
    return setting.kind == Kind::whole_number ? value + 1.0 : std::nextafter(value, kInfinity);
}

double next_down(const Setting& setting, double value) {
    return setting.kind == Kind::whole_number ? value - 1.0 : std::nextafter(value, -kInfinity);
}

TEST(Ranges, AreEnforcedAtBothEnds) {
    int ends = 0;
    for (const Setting& setting : settings_table()) {
        if (std::isfinite(setting.range.low)) {
            ++ends;
            const double least = setting.range.low_open ? next_up(setting, setting.range.low) : setting.range.low;
            expect_taken(setting, least);
            expect_refused(setting, setting.range.low_open ? setting.range.low : next_down(setting, least));
        }
        if (std::isfinite(setting.range.high)) {
            ++ends;
            expect_taken(setting, setting.range.high);
            expect_refused(setting, next_up(setting, setting.range.high));
        }
    }
    EXPECT_GT(ends, 120);
}

TEST(Ranges, RefuseWhatIsNoFiniteNumber) {
    for (const Setting& setting : settings_table()) {
        if (setting.range.limited() && setting.kind != Kind::coefficients) {
            for (const char* value : {"nan", "inf", "-inf", "true", "\"\"", "\"much\"", "{}", "[]", "1979-05-27"}) {
                std::string lines(setting.key);
                lines += " = ";
                lines += value;
                const std::string error = testing::error_text(testing::project_with(setting.section, lines));
                EXPECT_NE(error.find("wanted "), std::string::npos) << setting.key << value;
                EXPECT_NE(error.find(setting.key), std::string::npos) << error;
            }
        }
    }
}

TEST(Ranges, RefuseFractionsOfWholeNumbers) {
    for (const Setting& setting : settings_table()) {
        if (setting.kind == Kind::whole_number) {
            const std::string error = testing::error_text(project_of(setting, 1.5));
            EXPECT_NE(error.find("whole number"), std::string::npos) << setting.key << error;
        }
    }
}

}  // namespace
}  // namespace eaveshed
