#include "eaveshed/climate/climate_source.hpp"
#include "eaveshed/outside/gdal_crs.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <limits>
#include <numeric>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/expect_error.hpp"
#include "support/raster_file.hpp"
#include "support/shared_data.hpp"
#include "support/sparse_raster.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::DoubleEq;
using ::testing::DoubleNear;
using ::testing::Each;
using ::testing::ElementsAre;
using testing::expect_error;
using testing::expect_input_error;
using ::testing::HasSubstr;
using ::testing::IsNan;
using testing::NetcdfSpec;
using testing::RasterSpec;
using testing::TempFolder;

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

Season season() {
    constexpr std::array kFill{11, 12, 1, 2, 3, 4, 5};
    constexpr std::array kForbear{8, 9, 10};
    return {MonthSet(kFill), MonthSet(kForbear), MonthSet(kForbear), 11};
}

std::vector<double> flat(int bands, int cells, double value) {
    return std::vector<double>(static_cast<std::size_t>(bands * cells), value);
}

// Of rain in memory.
const StepField& cells_of(const RainData& data) {
    return std::get<StepField>(data.field);
}

class ClimateTest : public ::testing::Test {
protected:
    // Bands of 2 x 3 cells of 0.5 degrees from 20 E, 33 S; band b has the value b (from 1) everywhere but in the last
    // cell, whose values go up and down as those of rain do.
    static RasterSpec bands(int count) {
        RasterSpec spec;
        spec.rows = 2;
        spec.cols = 3;
        spec.crs = "EPSG:4326";
        spec.transform = {20.0, 0.5, 0.0, -33.0, 0.0, -0.5};
        for (int i = 1; i <= count; ++i) {
            spec.bands.push_back(flat(1, 6, i));
            spec.bands.back()[5] = 1.0 + i % 2;
        }
        return spec;
    }
    static std::vector<std::string> months(int first_year, int count) {
        std::vector<std::string> names;
        for (int i = 0; i < count; ++i) {
            names.push_back(fmt::format("{:04}-{:02}", first_year + i / 12, i % 12 + 1));
        }
        return names;
    }
    std::string write(const RasterSpec& spec, const std::string& name = "rain.tif") const {
        testing::write_raster(m_folder.file(name), spec);
        return m_folder.file(name);
    }
    std::string write(const NetcdfSpec& spec, const std::string& name = "rain.nc") const {
        std::filesystem::remove(m_folder.file(name));
        testing::write_netcdf(m_folder.file(name), spec);
        return m_folder.file(name);
    }
    static RainSettings rain(const std::vector<std::string>& paths, RainKind kind,
                             RainUnit unit = RainUnit::from_file) {
        RainSettings settings;
        settings.source = paths;
        settings.kind = kind;
        settings.unit = unit;
        return settings;
    }
    // The whole of the grid's first cell's series.
    std::vector<double> series(const RainSettings& settings, Cell cell = {0, 0}) {
        const RainSource source = RainSource::open(settings, season(), m_findings);
        m_data = source.read(source.info().grid.extent(), m_findings);
        expect_the_same_in_a_file(source);
        const auto span = cells_of(m_data).series(cell);
        return {span.begin(), span.end()};
    }
    std::size_t warnings() const { return m_findings.count(Severity::warning); }

    // Whatever a test reads: with no room in memory, the file has it to the bit.
    void expect_the_same_in_a_file(const RainSource& source) const {
        Findings findings;
        const RainData data = source.read(source.info().grid.extent(), findings,
                                          {.most_bytes = 0, .beyond = m_folder.path() / "rain.series"});
        ASSERT_TRUE(std::holds_alternative<FieldInFile>(data.field));
        const FieldFrame frame = frame_of(data.field);
        EXPECT_EQ(frame.grid, cells_of(m_data).grid);
        ASSERT_EQ(frame.window, cells_of(m_data).window);
        ASSERT_EQ(frame.steps, cells_of(m_data).steps);
        std::size_t at = 0;
        visit_series(data.field, [&](std::span<const double> found) {
            for (const double value : found) {
                ASSERT_LT(at, cells_of(m_data).values.size());
                ASSERT_EQ(std::bit_cast<std::uint64_t>(value),
                          std::bit_cast<std::uint64_t>(cells_of(m_data).values[at++]));
            }
        });
        EXPECT_EQ(at, cells_of(m_data).values.size());
        for (const Finding& finding : findings.list()) {  // what the values gave rise to is said in the same words
            EXPECT_TRUE(std::ranges::any_of(m_findings.list(), [&](const Finding& other) {
                return other.severity == finding.severity && other.trouble.found == finding.trouble.found;
            })) << finding.trouble.found;
        }
    }

    TempFolder m_folder;
    Findings m_findings;
    RainData m_data;
};

TEST_F(ClimateTest, NormalsAreReorderedToBeginWithTheTankYear) {
    RasterSpec spec = bands(12);
    spec.unit = "mm";
    const std::vector<double> found = series(rain({write(spec)}, RainKind::monthly_normals));
    EXPECT_THAT(found, ElementsAre(11, 12, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10));
    EXPECT_EQ(m_data.info.timeline.steps.front().month, 11);
    EXPECT_EQ(m_data.info.unit, RainUnit::mm);
    EXPECT_EQ(cells_of(m_data).grid, (Grid{20.0, -33.0, 0.5, 0.5, 2, 3}));
    EXPECT_EQ(cells_of(m_data).window, (CellRange{0, 2, 0, 3}));
}

TEST_F(ClimateTest, NormalsFollowTheMonthsThatTheBandsName) {
    RasterSpec spec = bands(12);
    spec.unit = "mm";
    spec.descriptions = {"July", "Aug", "Sep", "Oct", "Nov", "Dec", "Jan", "Feb", "Mar", "Apr", "May", "Jun"};
    EXPECT_THAT(series(rain({write(spec)}, RainKind::monthly_normals)),
                ElementsAre(5, 6, 7, 8, 9, 10, 11, 12, 1, 2, 3, 4));
    spec.descriptions[3] = "Aug";
    expect_input_error([&] { (void)series(rain({write(spec)}, RainKind::monthly_normals)); },
                       {"rain.source", "11 different months"});
}

TEST_F(ClimateTest, TwelveFilesAreTheMonthsInOrder) {
    std::vector<std::string> paths;
    for (int month = 1; month <= 12; ++month) {
        RasterSpec spec = bands(1);
        spec.bands[0] = flat(1, 6, 10.0 * month);
        spec.bands[0][5] = 10.0 + month % 2;
        spec.driver = month % 2 == 0 ? "AAIGrid" : "GTiff";
        spec.type = GDT_Int32;
        paths.push_back(write(spec, fmt::format("rain_{:02}.{}", month, month % 2 == 0 ? "asc" : "tif")));
    }
    const std::vector<double> found = series(rain(paths, RainKind::monthly_normals, RainUnit::mm));
    EXPECT_THAT(found, ElementsAre(110, 120, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100));
    EXPECT_EQ(m_data.info.files, paths);
    const std::string odd_months = m_folder.file("rain_??.tif");
    expect_input_error([&] { (void)series(rain({odd_months}, RainKind::monthly_normals, RainUnit::mm)); },
                       {"6 files", "6 bands", "twelve"});
}

TEST_F(ClimateTest, FilesOfAnotherGridAreRefused) {
    RasterSpec odd = bands(11);
    odd.transform[0] = 20.1;
    expect_input_error(
        [&] {
            (void)series(rain({write(bands(1), "a.tif"), write(odd, "b.tif")}, RainKind::monthly_normals));
        },
        {"b.tif", "a.tif", "20.1"});
}

// R8.4 (CF conventions, read): 1 kg m-2 s-1 is 86,400 mm/day; 3e-5 over 28, 30 and 31 days is 72.576, 77.76 and
// 80.352 mm.
TEST_F(ClimateTest, RatesAreTimesTheDaysOfTheMonth) {
    RasterSpec spec = bands(12);
    spec.type = GDT_Float64;
    spec.bands.assign(12, flat(1, 6, 3e-5));
    spec.unit = "kg m-2 s-1";
    const std::vector<double> mean_year = series(rain({write(spec)}, RainKind::monthly_normals));
    EXPECT_THAT(mean_year[0], DoubleNear(77.76, 1e-9));   // November
    EXPECT_THAT(mean_year[1], DoubleNear(80.352, 1e-9));  // December
    EXPECT_THAT(mean_year[3], DoubleNear(72.576, 1e-9));  // February

    RasterSpec leap = bands(36);
    leap.type = GDT_Float64;
    leap.bands.assign(36, flat(1, 6, 3e-5));
    leap.unit = "kg m-2 s-1";
    leap.descriptions = months(1991, 36);
    const std::vector<double> series_found = series(rain({write(leap)}, RainKind::monthly));
    EXPECT_THAT(series_found[1], DoubleNear(72.576, 1e-9));   // February 1991
    EXPECT_THAT(series_found[13], DoubleNear(75.168, 1e-9));  // February 1992
}

TEST_F(ClimateTest, EveryUnitBecomesMillimetresInAStep) {
    struct Case {
        const char* text;
        RainUnit unit;
        double november;  // of a stored 0.01, 30 days
    };
    for (const Case& entry :
         {Case{"mm", RainUnit::mm, 0.01}, Case{"cm", RainUnit::cm, 0.1}, Case{"m", RainUnit::m, 10.0},
          Case{"in", RainUnit::inch, 0.254}, Case{"mm/day", RainUnit::mm_per_day, 0.3},
          Case{"m day-1", RainUnit::m_per_day, 300.0}, Case{"kg m-2 s-1", RainUnit::kg_per_m2_s, 0.01 * 86400 * 30},
          Case{"m s-1", RainUnit::m_per_s, 0.01 * 86400 * 30 * 1000}}) {
        RasterSpec spec = bands(12);
        spec.type = GDT_Float64;
        spec.bands.assign(12, flat(1, 6, 0.01));
        // By the setting, by the file, by both.
        EXPECT_THAT(series(rain({write(spec)}, RainKind::monthly_normals, entry.unit))[0],
                    DoubleNear(entry.november, 1e-9 * entry.november))
            << entry.text;
        spec.unit = entry.text;
        EXPECT_THAT(series(rain({write(spec)}, RainKind::monthly_normals))[0],
                    DoubleNear(entry.november, 1e-9 * entry.november))
            << entry.text;
        EXPECT_EQ(m_data.info.unit, entry.unit);
        EXPECT_NO_THROW((void)series(rain({write(spec)}, RainKind::monthly_normals, entry.unit)));
    }
}

TEST_F(ClimateTest, UnitsThatAreMissingUnknownOrContradictedAreErrors) {
    RasterSpec spec = bands(12);
    const auto normals = [&](RainUnit unit) { (void)series(rain({write(spec)}, RainKind::monthly_normals, unit)); };
    expect_input_error([&] { normals(RainUnit::from_file); }, {"no unit", "kg m-2 s-1", "rain.unit"});
    spec.unit = "furlong";
    expect_input_error([&] { normals(RainUnit::from_file); }, {"furlong", "rain.unit"});
    EXPECT_NO_THROW(normals(RainUnit::mm));
    spec.unit = "kg m-2 s-1";
    expect_input_error([&] { normals(RainUnit::mm); }, {"kg m-2 s-1", "rain.unit = \"mm\""});
    spec.unit = "mm";
    expect_input_error([&] { normals(RainUnit::mm_per_day); }, {"rain.unit = \"mm day-1\""});
    spec.unit.clear();
    spec.metadata = {{"UNITS", "cm"}};  // of the file, where the bands say nothing
    normals(RainUnit::from_file);
    EXPECT_EQ(m_data.info.unit, RainUnit::cm);
}

TEST_F(ClimateTest, InADayMillimetresAndMillimetresPerDayAreOne) {
    RasterSpec spec = bands(800);
    spec.unit = "mm/day";
    RainSettings settings = rain({write(spec)}, RainKind::daily, RainUnit::mm);
    settings.start = "1991-10-01";
    EXPECT_EQ(series(settings)[799], 800.0);
    spec.unit = "mm/month";
    write(spec);
    expect_input_error([&] { (void)series(settings); }, {"mm/month", "steps of a day"});
}

TEST_F(ClimateTest, ASeriesTakesItsDatesFromTheDescriptions) {
    RasterSpec spec = bands(36);
    spec.unit = "mm";
    spec.descriptions = months(1991, 36);
    RainSettings settings = rain({write(spec)}, RainKind::monthly);
    const std::vector<double> found = series(settings);
    EXPECT_EQ(found.size(), 36U);
    EXPECT_EQ(found[35], 36.0);
    EXPECT_EQ(m_data.info.timeline.first, (Date{1991, 1, 1}));
    ASSERT_EQ(m_data.info.timeline.years.size(), 2U);
    EXPECT_EQ(m_data.info.timeline.years[0].name, 1992);
    settings.start = "1991-01";
    EXPECT_NO_THROW((void)series(settings));
    settings.start = "1991-02-01";
    expect_input_error([&] { (void)series(settings); }, {"1991-01", "1991-02-01", "rain.start"});
}

TEST_F(ClimateTest, ASeriesOutOfOrderIsSortedAndAHoleIsMissing) {
    RasterSpec spec = bands(36);
    spec.unit = "mm";
    spec.descriptions = months(1991, 36);
    std::swap(spec.descriptions[0], spec.descriptions[35]);
    EXPECT_THAT(series(rain({write(spec)}, RainKind::monthly))[0], DoubleEq(36.0));
    EXPECT_EQ(warnings(), 0U);

    spec.descriptions = months(1991, 36);
    spec.descriptions.erase(spec.descriptions.begin() + 5);
    spec.bands.erase(spec.bands.begin() + 5);
    const std::vector<double> found = series(rain({write(spec)}, RainKind::monthly));
    ASSERT_EQ(found.size(), 36U);
    EXPECT_THAT(found[5], IsNan());
    EXPECT_EQ(found[6], 7.0);
    ASSERT_EQ(warnings(), 1U);
    const auto warned = std::find_if(m_findings.list().begin(), m_findings.list().end(),
                                     [](const Finding& finding) { return finding.severity == Severity::warning; });
    EXPECT_THAT(warned->trouble.found, HasSubstr("1991-06"));

    spec.descriptions[7] = spec.descriptions[8];
    expect_input_error([&] { (void)series(rain({write(spec)}, RainKind::monthly)); }, {"two bands", "1991-10"});
    spec.descriptions[7] = "what";
    expect_input_error([&] { (void)series(rain({write(spec)}, RainKind::monthly)); }, {"band 8", "no date"});
    spec.descriptions = months(1991, 35);
    expect_input_error([&] { (void)series(rain({write(spec)}, RainKind::daily)); }, {"rain.kind = \"monthly\""});
}

TEST_F(ClimateTest, WithoutDatesTheStartIsAsked) {
    RasterSpec spec = bands(36);
    spec.unit = "mm";
    RainSettings settings = rain({write(spec)}, RainKind::monthly);
    expect_input_error([&] { (void)series(settings); }, {"dates", "rain.start"});
    settings.start = "1991-10-01";
    (void)series(settings);
    EXPECT_EQ(m_data.info.timeline.first, (Date{1991, 10, 1}));
    settings.start = "yesterday";
    expect_input_error([&] { (void)series(settings); }, {"yesterday"});
}

TEST_F(ClimateTest, ARecordWithoutACompleteTankYearIsRefused) {
    RasterSpec spec = bands(14);
    spec.unit = "mm";
    spec.descriptions = months(1991, 14);
    expect_input_error([&] { (void)series(rain({write(spec)}, RainKind::monthly)); },
                       {"complete tank year", "month 11"});
}

TEST_F(ClimateTest, SeveralFilesAreOneSeriesByTheirDates) {
    std::vector<std::string> paths;
    for (int year = 1993; year >= 1991; --year) {
        RasterSpec spec = bands(12);
        spec.unit = "mm";
        spec.descriptions = months(year, 12);
        spec.bands.assign(12, flat(1, 6, year));
        paths.push_back(write(spec, fmt::format("{}.tif", year)));
    }
    const std::vector<double> found = series(rain(paths, RainKind::monthly));
    EXPECT_EQ(found.front(), 1991.0);
    EXPECT_EQ(found[12], 1992.0);
    EXPECT_EQ(found.back(), 1993.0);
}

TEST_F(ClimateTest, WithoutAFileARecordLargerThanItsRoomIsRefused) {
    RasterSpec spec = bands(12);
    spec.unit = "mm";
    const RainSettings settings = rain({write(spec)}, RainKind::monthly_normals);
    const RainSource source = RainSource::open(settings, season(), m_findings);
    const auto read = [&](std::uint64_t most_bytes) {
        return source.read(source.info().grid.extent(), m_findings, {.most_bytes = most_bytes});
    };
    EXPECT_EQ(cells_of(read(6 * 12 * 8)).values.size(), 72U);
    expect_input_error([&] { (void)read(6 * 12 * 8 - 1); }, {"6 cells of 12 steps", "at most 71 values", "coarser"});
}

TEST_F(ClimateTest, EachCellKeepsItsOwnSeriesWhateverTheInterleaving) {
    for (const char* const interleave : {"INTERLEAVE=PIXEL", "INTERLEAVE=BAND"}) {
        RasterSpec spec = bands(24);
        spec.unit = "mm";
        spec.options = {interleave};
        spec.descriptions = months(1991, 24);
        for (std::size_t i = 0; i < 24; ++i) {
            for (std::size_t cell = 0; cell < 6; ++cell) {
                spec.bands[i][cell] = 10.0 * static_cast<double>(7 * i % 24) + static_cast<double>(cell);
            }
        }
        EXPECT_EQ(series(rain({write(spec)}, RainKind::monthly), {1, 2})[23], 175.0) << interleave;
        EXPECT_EQ(cells_of(m_data).series({1, 0})[0], 3.0);
        spec.transform = {20.0, 0.5, 0.0, -34.0, 0.0, 0.5};  // from south to north
        EXPECT_EQ(series(rain({write(spec)}, RainKind::monthly), {0, 2})[23], 175.0) << interleave;
        EXPECT_EQ(cells_of(m_data).grid.y_max, -33.0);
    }
}

TEST_F(ClimateTest, MissingValuesAreNan) {
    RasterSpec spec = bands(12);
    spec.unit = "mm";
    spec.nodata = -9999.0;
    spec.bands[10][0] = -9999.0;  // November
    spec.bands[11][0] = kNaN;
    EXPECT_THAT(series(rain({write(spec)}, RainKind::monthly_normals)),
                ElementsAre(IsNan(), IsNan(), 1, 2, 3, 4, 5, 6, 7, 8, 9, 10));
    spec.mask = {255, 0, 255, 255, 255, 255};
    EXPECT_THAT(series(rain({write(spec)}, RainKind::monthly_normals), {0, 1}), Each(IsNan()));
}

TEST_F(ClimateTest, NegativeRainIsRefusedAndALittleOfItIsRounding) {
    RasterSpec spec = bands(12);
    spec.unit = "mm";
    spec.bands[4][0] = -9999.0;
    expect_input_error([&] { (void)series(rain({write(spec)}, RainKind::monthly_normals)); },
                       {"band 5", "-9999", "nodata"});
    spec.bands[4][0] = -0.01;
    EXPECT_EQ(series(rain({write(spec)}, RainKind::monthly_normals))[6], 0.0);
    EXPECT_THAT(m_findings.list().back().trouble.found, HasSubstr("1 values a little below 0"));
}

TEST_F(ClimateTest, TotalsOfNoClimateAreWarnedOf) {
    RasterSpec spec = bands(12);
    spec.unit = "mm";
    spec.bands.assign(12, flat(1, 6, 0.05));  // metres read as mm
    (void)series(rain({write(spec)}, RainKind::monthly_normals));
    EXPECT_EQ(warnings(), 1U);
    EXPECT_THAT(m_findings.list().back().trouble.remedy, HasSubstr("metres"));
    spec.bands.assign(12, flat(1, 6, 3500.0));
    (void)series(rain({write(spec)}, RainKind::monthly_normals));
    EXPECT_EQ(warnings(), 2U);
    EXPECT_THAT(m_findings.list().back().trouble.remedy, HasSubstr("tenths"));
}

TEST_F(ClimateTest, OnlyTheCellsAroundTheAreaAreRead) {
    RasterSpec spec = bands(12);
    spec.rows = 40;
    spec.cols = 60;
    spec.unit = "mm";
    for (auto& band : spec.bands) {
        band.resize(40 * 60);
        std::iota(band.begin(), band.end(), 0.0);
    }
    const RainSettings settings = rain({write(spec)}, RainKind::monthly_normals);
    const RainSource source = RainSource::open(settings, season(), m_findings);
    // Inside cell (20, 30): its neighbours for bilinear weights, and four more.
    const Box area{35.1, -43.4, 35.2, -43.2};
    const RainData data = source.read(area, m_findings);
    EXPECT_TRUE(cells_of(data).holds({20, 30}));
    EXPECT_TRUE(cells_of(data).holds({16, 26}));
    EXPECT_TRUE(cells_of(data).holds({24, 34}));
    EXPECT_FALSE(cells_of(data).holds({13, 30}));
    EXPECT_FALSE(cells_of(data).holds({20, 37}));
    EXPECT_EQ(cells_of(data).series({20, 30})[0], 20.0 * 60 + 30);
    EXPECT_EQ(cells_of(data).series({24, 26})[5], 24.0 * 60 + 26);
    expect_input_error(
        [&] {
            (void)source.read({0.0, 0.0, 1.0, 1.0}, m_findings);
        },
        {"rain.source", "covers the footprints"});
}

TEST_F(ClimateTest, AFileCutShortIsAWorkingError) {
    RasterSpec spec = bands(24);
    spec.unit = "mm";
    spec.descriptions = months(1991, 24);
    spec.rows = 64;
    spec.cols = 64;
    for (auto& band : spec.bands) {
        band.assign(64 * 64, 1.0);
    }
    const std::string path = write(spec);
    const RainSettings settings = rain({path}, RainKind::monthly);
    const RainSource source = RainSource::open(settings, season(), m_findings);
    std::filesystem::resize_file(path, std::filesystem::file_size(path) / 2);
    expect_error([&] { (void)source.read(source.info().grid.extent(), m_findings); }, Fault::working, {"rain.source"});
}

// ---- netCDF ----

NetcdfSpec monthly_netcdf(int count) {
    NetcdfSpec spec;
    spec.longitudes = {235.25, 235.75, 236.25};
    spec.latitudes = {38.25, 38.75};
    spec.time_units = "days since 1990-01-01";
    spec.calendar = "noleap";
    spec.units = "mm";
    for (int i = 0; i < count; ++i) {
        constexpr std::array kMiddles{15, 45, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349};
        spec.times.push_back(365.0 * (i / 12) + kMiddles.at(static_cast<std::size_t>(i % 12)));
        for (int cell = 0; cell < 6; ++cell) {
            spec.stored.push_back(100.0 * cell + (cell == 4 ? 7 * i % 36 : i));
        }
    }
    return spec;
}

TEST_F(ClimateTest, ANetcdfSeriesGivesDatesCalendarAndUnit) {
    const std::vector<double> found = series(rain({write(monthly_netcdf(36))}, RainKind::monthly), {1, 2});
    EXPECT_EQ(m_data.info.timeline.calendar, Calendar::noleap);
    EXPECT_EQ(m_data.info.timeline.first, (Date{1990, 1, 16}));
    EXPECT_EQ(m_data.info.timeline.years.size(), 2U);
    EXPECT_EQ(m_data.info.crs.name(), "EPSG:4326 (WGS 84)");
    // The file's rows run from south to north and its longitudes beyond 180: row 1 is the southern one, its first.
    EXPECT_EQ(cells_of(m_data).grid, (Grid{-125.0, 39.0, 0.5, 0.5, 2, 3}));
    EXPECT_EQ(found[35], 235.0);
    EXPECT_EQ(cells_of(m_data).series({0, 0})[0], 300.0);
}

// F14: RasterIO gives the packed numbers.
TEST_F(ClimateTest, PackedNumbersAreUnpackedOnce) {
    NetcdfSpec spec = monthly_netcdf(24);
    spec.type = GDT_Int16;
    spec.scale = 0.1;
    spec.offset = 5.0;
    spec.fill = -32768.0;
    spec.stored[6] = -32768.0;  // February, the southern row's first cell
    const std::vector<double> found = series(rain({write(spec)}, RainKind::monthly), {1, 0});
    EXPECT_THAT(found[0], DoubleNear(5.0, 1e-12));
    EXPECT_THAT(found[1], IsNan());
    EXPECT_THAT(found[2], DoubleNear(5.2, 1e-12));
}

TEST_F(ClimateTest, CalendarsOfTheFileAndTheSettingsMustAgree) {
    NetcdfSpec spec = monthly_netcdf(24);
    RainSettings settings = rain({write(spec)}, RainKind::monthly);
    settings.calendar = "365_day";
    EXPECT_NO_THROW((void)series(settings));
    settings.calendar = "360_day";
    expect_input_error([&] { (void)series(settings); }, {"noleap", "360_day", "rain.calendar"});
    spec.calendar = "";
    write(spec);
    EXPECT_NO_THROW((void)series(settings));
    EXPECT_EQ(m_data.info.timeline.calendar, Calendar::days_360);
    spec.calendar = "all_leap";
    write(spec);
    settings.calendar = "";
    expect_input_error([&] { (void)series(settings); }, {"all_leap", "noleap"});
}

TEST_F(ClimateTest, RatesUseTheCalendarsOwnDays) {
    NetcdfSpec spec = monthly_netcdf(24);
    spec.units = "mm day-1";
    spec.calendar = "360_day";
    spec.times.clear();
    for (int i = 0; i < 24; ++i) {
        spec.times.push_back(30.0 * i + 15.0);
    }
    const std::vector<double> found = series(rain({write(spec)}, RainKind::monthly), {1, 0});
    EXPECT_EQ(found[1], 30.0);  // February has thirty days
    EXPECT_EQ(found[23], 23.0 * 30.0);
    EXPECT_EQ(m_data.info.timeline.years.at(0).days, 360);
}

TEST_F(ClimateTest, BoundsSayWhereAStepBelongs) {
    // Stamped at the end of each month: without bounds the first would be February.
    NetcdfSpec spec = monthly_netcdf(24);
    constexpr std::array kEnds{31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365};
    double begin = 0.0;
    for (std::size_t i = 0; i < 24; ++i) {
        const double end = 365.0 * static_cast<double>(i / 12) + kEnds.at(i % 12);
        spec.times[i] = end;
        spec.time_bounds.insert(spec.time_bounds.end(), {begin, end});
        begin = end;
    }
    (void)series(rain({write(spec)}, RainKind::monthly));
    EXPECT_EQ(m_data.info.timeline.first.month, 1);
    spec.time_bounds.clear();
    (void)series(rain({write(spec)}, RainKind::monthly));
    EXPECT_EQ(m_data.info.timeline.first.month, 2);
}

TEST_F(ClimateTest, TimeAxesWithoutFixedLengthsAreRefused) {
    NetcdfSpec spec = monthly_netcdf(24);
    spec.time_units = "months since 1990-01-01";
    RainSettings settings = rain({write(spec)}, RainKind::monthly);
    expect_input_error([&] { (void)series(settings); }, {"months since 1990-01-01", "rain.start"});
    settings.start = "1990-01-01";
    EXPECT_NO_THROW((void)series(settings));
}

TEST_F(ClimateTest, DailyNetcdfSeriesCountEveryDay) {
    NetcdfSpec spec = monthly_netcdf(0);
    spec.time_units = "hours since 1991-10-01 00:00:00";
    spec.calendar = "proleptic_gregorian";
    for (int i = 0; i < 430; ++i) {
        spec.times.push_back(24.0 * i + 12.0);
        spec.stored.insert(spec.stored.end(), 5, i * 0.1);
        spec.stored.push_back(i % 3);
    }
    const std::vector<double> found = series(rain({write(spec)}, RainKind::daily));
    EXPECT_EQ(found.size(), 430U);
    EXPECT_EQ(m_data.info.timeline.first, (Date{1991, 10, 1}));
    EXPECT_EQ(m_data.info.timeline.years.at(0).days, 366);  // 29 February 1992
    spec.times[9] -= 20.0;
    expect_input_error([&] { (void)series(rain({write(spec)}, RainKind::daily)); }, {"two bands", "1991-10-09"});
}

TEST_F(ClimateTest, OneVariableOfSeveralIsTakenByItsStandardName) {
    NetcdfSpec spec = monthly_netcdf(24);
    spec.other_variable = "tas";
    EXPECT_EQ(series(rain({write(spec)}, RainKind::monthly), {1, 0})[3], 3.0);
    spec.standard_name = "";
    expect_input_error([&] { (void)series(rain({write(spec)}, RainKind::monthly)); },
                       {"several variables", "pr", "tas", "rain.variable"});
}

TEST_F(ClimateTest, ALevelDimensionIsRefused) {
    NetcdfSpec spec = monthly_netcdf(24);
    spec.levels = 2;
    std::vector<double> twice = spec.stored;
    spec.stored.insert(spec.stored.end(), twice.begin(), twice.end());
    expect_input_error([&] { (void)series(rain({write(spec)}, RainKind::monthly)); }, {"lev", "time"});
}

TEST_F(ClimateTest, UnevenRowsAreRefused) {
    for (const double middle : {39.0, 38.78}) {  // far off, and so little that GDAL takes the axis for even
        NetcdfSpec spec = monthly_netcdf(24);
        spec.latitudes = {38.25, middle, 39.25};
        spec.stored.resize(24 * 9, 1.0);
        expect_input_error([&] { (void)series(rain({write(spec)}, RainKind::monthly)); }, {"regular grid", "gdalwarp"});
    }
}

TEST_F(ClimateTest, LongitudesFollowTheFootprints) {
    // Round the Earth from 0 to 360, 10 degrees a cell; the value is the longitude of the cell's western edge.
    RasterSpec spec = bands(12);
    spec.rows = 3;
    spec.cols = 36;
    spec.unit = "mm";
    spec.transform = {0.0, 10.0, 0.0, 60.0, 0.0, -10.0};
    for (auto& band : spec.bands) {
        band.clear();
        for (int i = 0; i < 3 * 36; ++i) {
            band.push_back(10.0 * (i % 36));
        }
    }
    const RainSettings settings = rain({write(spec)}, RainKind::monthly_normals);
    const RainSource source = RainSource::open(settings, season(), m_findings);
    const auto at = [&](const RainData& data, double x) {
        const auto cell = static_cast<std::int64_t>(std::floor((x - cells_of(data).grid.x_min) / 10.0));
        return cells_of(data).series({1, cell})[0];
    };
    const RainData california = source.read({-124.0, 40.0, -123.0, 41.0}, m_findings);
    EXPECT_TRUE(cells_of(california).grid.holds(Point{-123.5, 40.5}));
    EXPECT_EQ(california.info.grid, cells_of(california).grid);
    EXPECT_EQ(at(california, -123.5), 230.0);
    const RainData cape = source.read({20.0, 40.0, 21.0, 41.0}, m_findings);
    EXPECT_EQ(at(cape, 20.5), 20.0);
    // Across the meridian where the file begins and ends.
    const RainData greenwich = source.read({-1.0, 50.0, 1.0, 51.0}, m_findings);
    EXPECT_EQ(at(greenwich, -0.5), 350.0);
    EXPECT_EQ(at(greenwich, 0.5), 0.0);
    EXPECT_EQ(at(greenwich, -35.0), 320.0);
    EXPECT_EQ(at(greenwich, 39.0), 30.0);
    // An area as wide as the Earth is read from the grid as it is.
    const RainData all = source.read({0.5, 50.0, 359.5, 51.0}, m_findings);
    EXPECT_EQ(cells_of(all).grid, source.info().grid);
    EXPECT_EQ(at(all, 359.0), 350.0);
    EXPECT_EQ(at(all, 1.0), 0.0);
    // No footprint, no cell.
    const RainData none = source.read(Box{}, m_findings);
    EXPECT_TRUE(cells_of(none).window.empty());
    EXPECT_TRUE(cells_of(none).values.empty());
    EXPECT_EQ(cells_of(none).steps, 12U);
    // A grid of part of the Earth beyond 180.
    spec.cols = 10;
    spec.transform[0] = 200.0;
    for (auto& band : spec.bands) {
        band.assign(30, 1.0);
        band[15] = 7.0;
    }
    write(spec);
    const RainSource part = RainSource::open(settings, season(), m_findings);
    const RainData shifted = part.read({-104.0, 40.0, -103.0, 41.0}, m_findings);
    EXPECT_EQ(at(shifted, -103.5), 7.0);
    EXPECT_EQ(cells_of(shifted).grid.x_min, -160.0);
}

// ---- evapotranspiration and temperature ----

class MonthFieldTest : public ClimateTest {
protected:
    MonthField et0(const RasterSpec& spec, EvapotranspirationUnit unit = EvapotranspirationUnit::from_file) {
        EvapotranspirationSettings settings;
        settings.source = {write(spec)};
        settings.unit = unit;
        return looked_at(MonthSource::open_et0(settings, m_findings), "EPSG:32734", {300000, 6200000, 310000, 6210000});
    }
    MonthField temperature(const RasterSpec& spec) {
        return looked_at(MonthSource::open_temperature("temperature.minimum", {write(spec)}, m_findings), "EPSG:4326",
                         {20.6, -33.4, 20.7, -33.3});
    }
    MonthField looked_at(const MonthSource& source, const std::string& crs, const Box& area) {
        MonthField field = source.read(crs_from_text(crs, "x"), area);
        source.look_at(field, m_findings);
        return field;
    }
};

// The mean year's months have 31, 28, 31, 30, ... days.
TEST_F(MonthFieldTest, Et0OfAMonthIsDividedByItsDays) {
    RasterSpec spec = bands(12);
    spec.unit = "mm month-1";
    const MonthField field = et0(spec);
    EXPECT_EQ(field.field.steps, 12U);
    EXPECT_THAT(field.field.series({1, 1})[0], DoubleEq(1.0 / 31.0));
    EXPECT_THAT(field.field.series({1, 1})[1], DoubleEq(2.0 / 28.0));
    EXPECT_THAT(field.field.series({1, 1})[10], DoubleEq(11.0 / 30.0));
    EXPECT_EQ(field.crs.name(), "EPSG:4326 (WGS 84)");
    spec.unit = "mm/day";
    EXPECT_EQ(et0(spec).field.series({1, 1})[3], 4.0);
}

// A file of a few kilobytes may say that it has a thousand million cells: nothing is taken on its word.
TEST_F(MonthFieldTest, AGridThatSaysItIsFarFinerThanClimateIsRefusedBeforeItIsRead) {
    const std::string path = m_folder.file("fine.tif");
    testing::write_sparse(
        path, {.cols = 30'000, .rows = 30'000, .bands = 12, .transform = {20.0, 0.0001, 0.0, -32.0, 0.0, -0.0001}});
    EXPECT_LT(std::filesystem::file_size(path), 1'000'000U);
    EvapotranspirationSettings settings;
    settings.source = {path};
    settings.unit = EvapotranspirationUnit::mm_per_day;
    const MonthSource source = MonthSource::open_et0(settings, m_findings);
    expect_input_error(
        [&] {
            (void)source.read(crs_from_text("EPSG:4326", "x"), {20.1, -34.9, 22.9, -32.1});
        },
        {"of 12 steps over the footprints", "coarser grid"});
}

TEST_F(MonthFieldTest, TheUnitOfEt0IsNeverGuessed) {
    RasterSpec spec = bands(12);
    expect_input_error([&] { (void)et0(spec); }, {"evapotranspiration.source", "no unit", "mm month-1"});
    EXPECT_EQ(et0(spec, EvapotranspirationUnit::mm_per_day).field.series({1, 1})[3], 4.0);
    spec.unit = "mm";  // a depth, of what time it does not say
    expect_input_error([&] { (void)et0(spec); }, {"\"mm\""});
    EXPECT_THAT(et0(spec, EvapotranspirationUnit::mm_per_month).field.series({1, 1})[3], DoubleEq(4.0 / 30.0));
    spec.unit = "mm/day";
    expect_input_error([&] { (void)et0(spec, EvapotranspirationUnit::mm_per_month); }, {"mm/day", "mm month-1"});
    spec.unit = "kg m-2 s-1";
    expect_input_error([&] { (void)et0(spec, EvapotranspirationUnit::mm_per_day); }, {"kg m-2 s-1", "convert"});
}

TEST_F(MonthFieldTest, Et0IsTwelveBandsOfPlausibleValues) {
    RasterSpec spec = bands(11);
    spec.unit = "mm/day";
    expect_input_error([&] { (void)et0(spec); }, {"11 bands"});
    spec = bands(12);
    spec.unit = "mm/day";
    spec.bands[2][4] = -3.0;
    expect_input_error([&] { (void)et0(spec); }, {"band 3", "-3"});
    spec.bands[2][4] = 150.0;
    (void)et0(spec);
    EXPECT_EQ(warnings(), 1U);
}

TEST_F(MonthFieldTest, KelvinBecomesCelsius) {
    RasterSpec spec = bands(12);
    spec.unit = "degC";
    EXPECT_EQ(temperature(spec).field.series({0, 1})[3], 4.0);
    spec.unit = "K";
    spec.type = GDT_Float64;
    spec.bands[3].assign(6, 280.0);
    expect_input_error([&] { (void)temperature(spec); }, {"temperature.minimum", "band 1"});
    spec.bands.assign(12, flat(1, 6, 280.0));
    EXPECT_THAT(temperature(spec).field.series({0, 1})[3], DoubleNear(6.85, 1e-12));
    spec.unit = "";
    expect_input_error([&] { (void)temperature(spec); }, {"280", "kelvin"});
    spec.unit = "degF";
    expect_input_error([&] { (void)temperature(spec); }, {"degF", "degrees C"});
}

// ---- the real files ----

TEST_F(ClimateTest, RealNormalsGiveTheDocumentedYear) {
    EAVESHED_SHARED_OR_SKIP(file, "data/swellendam_za/precip_normals_1981_2010_mm.tif");
    const RainSettings settings = rain({file.string()}, RainKind::monthly_normals);
    const RainSource source = RainSource::open(settings, season(), m_findings);
    const RainData data = source.read({20.3605, -34.0765, 20.5889, -33.9924}, m_findings);
    // Its README: the town's cell (20.25 E, 34.25 S) has 530.6 mm a year, the next one north 322 mm.
    const auto total = [&](double x, double y) {
        const Cell cell{static_cast<std::int64_t>(std::round(cells_of(data).grid.row_position(y))),
                        static_cast<std::int64_t>(std::round(cells_of(data).grid.col_position(x)))};
        const auto steps = cells_of(data).series(cell);
        return std::accumulate(steps.begin(), steps.end(), 0.0);
    };
    EXPECT_NEAR(total(20.25, -34.25), 530.6, 0.05);
    EXPECT_NEAR(total(20.25, -33.75), 322.0, 1.0);
    EXPECT_EQ(warnings(), 0U);
}

TEST_F(ClimateTest, ARealSeriesAveragesToItsNormals) {
    EAVESHED_SHARED_OR_SKIP(file, "data/swellendam_za/precip_monthly_1950_2010_mm.tif");
    const RainSettings settings = rain({file.string()}, RainKind::monthly);
    const RainSource source = RainSource::open(settings, season(), m_findings);
    const RainInfo& info = source.info();
    EXPECT_EQ(info.timeline.steps.size(), 732U);
    EXPECT_EQ(info.timeline.first, (Date{1950, 1, 1}));
    EXPECT_EQ(info.timeline.years.size(), 60U);
    EXPECT_EQ(info.timeline.years.front().name, 1951);
    const RainData data = source.read({20.3605, -34.0765, 20.5889, -33.9924}, m_findings);
    const auto steps = cells_of(data).series({6, 8});  // the town's cell
    double sum = 0.0;
    for (std::size_t i = std::size_t{31} * 12; i < steps.size(); ++i) {  // 1981 to 2010, as the normals
        sum += steps[i];
    }
    EXPECT_NEAR(sum / 30.0, 530.6, 0.05);
}

TEST_F(MonthFieldTest, RealTemperaturesAreRead) {
    EAVESHED_SHARED_OR_SKIP(file, "data/swellendam_za/tmean_normals_1981_2010_degC.tif");
    const MonthField field =
        looked_at(MonthSource::open_temperature("temperature.maximum", {file.string()}, m_findings), "EPSG:4326",
                  {20.3605, -34.0765, 20.5889, -33.9924});
    const auto months_found = field.field.series({6, 8});
    EXPECT_GT(months_found[0], months_found[6]);  // January is summer there
    EXPECT_GT(months_found[6], 5.0);
    EXPECT_LT(months_found[0], 30.0);
}

}  // namespace
}  // namespace eaveshed
