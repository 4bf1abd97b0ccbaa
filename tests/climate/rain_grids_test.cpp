// Gridded rain as people have it: one record told in many ways, and records that cannot be meant (docs/bad-input.md).
#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <functional>
#include <limits>
#include <map>
#include <numeric>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/climate/climate_source.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "support/expect_error.hpp"
#include "support/raster_file.hpp"
#include "support/shared_data.hpp"
#include "support/temp_folder.hpp"
#include "support/zarr_store.hpp"

namespace eaveshed {
namespace {

using testing::expect_input_error;
using ::testing::HasSubstr;
using testing::NetcdfSpec;
using testing::RasterSpec;

constexpr int kFirstYear = 1990;
constexpr int kMonths = 36;
constexpr double kWest = 20.0;  // of the grid: 4 x 3 cells of half a degree
constexpr double kSouth = 40.0;
constexpr double kCell = 0.5;
constexpr std::size_t kCols = 4;
constexpr std::size_t kRows = 3;

int month_days(int step, Calendar calendar) {
    return days_in_month(calendar, kFirstYear + step / 12, step % 12 + 1);
}

// Tenths of a millimetre, so that every way of packing holds them; wet winters; no two cells alike.
double depth_mm(int step, double longitude, double latitude) {
    constexpr std::array kOfMonth{110, 150, 160, 130, 105, 60, 25, 5, 1, 2, 12, 55};
    const int place = static_cast<int>(std::lround((longitude - kWest) * 10.0 + (latitude - kSouth) * 100.0));
    return 0.1 * (10 * kOfMonth.at(static_cast<std::size_t>(step % 12)) + 7 * (step / 12) + place);
}

Season winter_season() {
    constexpr std::array kFill{11, 12, 1, 2, 3, 4, 5};
    constexpr std::array kForbear{8, 9, 10};
    return {MonthSet(kFill), MonthSet(kForbear), MonthSet(kForbear), 11};
}

// The record as a netCDF file has it: rows from south to north, stamps in the middle of each month.
NetcdfSpec record(Calendar calendar = Calendar::standard) {
    NetcdfSpec spec;
    for (std::size_t i = 0; i < kCols; ++i) {
        spec.longitudes.push_back(kWest + kCell * (static_cast<double>(i) + 0.5));
    }
    for (std::size_t i = 0; i < kRows; ++i) {
        spec.latitudes.push_back(kSouth + kCell * (static_cast<double>(i) + 0.5));
    }
    spec.time_units = "days since 1990-01-01";
    spec.calendar = to_text(calendar);
    spec.units = "mm";
    spec.standard_name = "precipitation_amount";
    double begin = 0.0;
    for (int step = 0; step < kMonths; ++step) {
        const double end = begin + month_days(step, calendar);
        spec.times.push_back(0.5 * (begin + end));
        begin = end;
        for (const double latitude : spec.latitudes) {
            for (const double longitude : spec.longitudes) {
                spec.stored.push_back(depth_mm(step, longitude, latitude));
            }
        }
    }
    return spec;
}

// The same as rows from north to south for the steps [from, to).
RasterSpec stack(int from, int to) {
    RasterSpec spec;
    spec.rows = static_cast<int>(kRows);
    spec.cols = static_cast<int>(kCols);
    spec.crs = "EPSG:4326";
    spec.transform = {kWest, kCell, 0.0, kSouth + kCell * static_cast<double>(kRows), 0.0, -kCell};
    spec.type = GDT_Float64;
    spec.unit = "mm";
    for (int step = from; step < to; ++step) {
        std::vector<double>& band = spec.bands.emplace_back();
        for (std::size_t row = 0; row < kRows; ++row) {
            for (std::size_t col = 0; col < kCols; ++col) {
                band.push_back(depth_mm(step, kWest + kCell * (static_cast<double>(col) + 0.5),
                                        kSouth + kCell * (static_cast<double>(kRows - row) - 0.5)));
            }
        }
    }
    return spec;
}

std::string month_text(int step, const char* mark = "-") {
    return fmt::format("{:04}{}{:02}", kFirstYear + step / 12, mark, step % 12 + 1);
}

class RainGridsTest : public ::testing::Test {
protected:
    std::string netcdf(const NetcdfSpec& spec, const std::string& name = "rain.nc") const {
        std::filesystem::remove(m_folder.file(name));
        testing::write_netcdf(m_folder.file(name), spec);
        return m_folder.file(name);
    }
    std::string zarr(const NetcdfSpec& spec, const std::string& fill = "null") const {
        testing::write_zarr(m_folder.file("rain.zarr"), spec, fill);
        return m_folder.file("rain.zarr");
    }
    std::string geotiff(const RasterSpec& spec, const std::string& name = "rain.tif") const {
        testing::write_raster(m_folder.file(name), spec);
        return m_folder.file(name);
    }
    // A file a month.
    std::vector<std::string> months(const std::function<std::string(int)>& name_of, int count = kMonths) const {
        std::vector<std::string> paths;
        for (int step = 0; step < count; ++step) {
            paths.push_back(geotiff(stack(step, step + 1), name_of(step)));
        }
        return paths;
    }
    static RainSettings settings(const std::vector<std::string>& paths, RainKind kind = RainKind::monthly) {
        RainSettings rain;
        rain.source = paths;
        rain.kind = kind;
        return rain;
    }
    RainData read(const RainSettings& rain) {
        m_findings = {};
        const RainSource source = RainSource::open(rain, winter_season(), m_findings);
        return source.read(
            {kWest, kSouth, kWest + kCell * static_cast<double>(kCols), kSouth + kCell * static_cast<double>(kRows)},
            m_findings);
    }
    RainData read(const std::string& path, RainKind kind = RainKind::monthly) { return read(settings({path}, kind)); }

    static std::span<const double> at(const RainData& data, double longitude, double latitude) {
        const StepField& field = std::get<StepField>(data.field);
        return field.series({static_cast<std::int64_t>(std::lround(field.grid.row_position(latitude))),
                             static_cast<std::int64_t>(std::lround(field.grid.col_position(longitude)))});
    }
    // Each cell has its own series, by its place on the Earth; `within` mm.
    static void expect_the_record(const RainData& data, double within = 1e-9) {
        ASSERT_EQ(data.info.timeline.steps.size(), std::size_t{kMonths});
        EXPECT_EQ(data.info.timeline.first.year, kFirstYear);
        EXPECT_EQ(data.info.timeline.first.month, 1);
        for (const double longitude : record().longitudes) {
            for (const double latitude : record().latitudes) {
                const auto series = at(data, longitude, latitude);
                for (int step = 0; step < kMonths; ++step) {
                    ASSERT_NEAR(series[static_cast<std::size_t>(step)], depth_mm(step, longitude, latitude), within)
                        << "step " << step << " at " << longitude << " " << latitude;
                }
            }
        }
    }
    void expect_refused(const RainSettings& rain, const std::vector<std::string>& words) {
        expect_input_error([&] { (void)read(rain); }, words);
    }
    // The text of the findings, one a line.
    [[nodiscard]] std::string told() const {
        std::string text;
        for (const Finding& finding : m_findings.list()) {
            text += fmt::format("{}: {}: {}\n", finding.severity == Severity::warning ? "warning" : "note",
                                finding.trouble.found, finding.trouble.remedy);
        }
        return text;
    }

    testing::TempFolder m_folder;
    Findings m_findings;
};

// ---- one record told in many ways ----

TEST_F(RainGridsTest, RowsMayRunEitherWay) {
    NetcdfSpec spec = record();
    expect_the_record(read(netcdf(spec)));
    std::reverse(spec.latitudes.begin(), spec.latitudes.end());
    std::vector<double> turned;
    for (std::size_t map = 0; map < spec.stored.size(); map += kRows * kCols) {
        for (std::size_t row = kRows; row-- > 0;) {
            const auto from = spec.stored.begin() + static_cast<std::ptrdiff_t>(map + row * kCols);
            turned.insert(turned.end(), from, from + static_cast<std::ptrdiff_t>(kCols));
        }
    }
    spec.stored = turned;
    expect_the_record(read(netcdf(spec)));
}

TEST_F(RainGridsTest, ColumnsMayRunFromEastToWest) {
    NetcdfSpec spec = record();
    std::reverse(spec.longitudes.begin(), spec.longitudes.end());
    for (std::size_t row = 0; row < spec.stored.size(); row += kCols) {
        const auto from = spec.stored.begin() + static_cast<std::ptrdiff_t>(row);
        std::reverse(from, from + static_cast<std::ptrdiff_t>(kCols));
    }
    expect_the_record(read(netcdf(spec)));
}

TEST_F(RainGridsTest, DimensionsMayStandInAnyOrder) {
    for (const char* const order : {"tyx", "txy", "ytx", "yxt", "xty", "xyt"}) {
        NetcdfSpec spec = record();
        spec.order = order;
        SCOPED_TRACE(order);
        expect_the_record(read(netcdf(spec)));
    }
}

TEST_F(RainGridsTest, LongitudesMayCountTo360) {
    NetcdfSpec spec = record();
    for (double& longitude : spec.longitudes) {
        longitude += 360.0;
    }
    expect_the_record(read(netcdf(spec)));
}

TEST_F(RainGridsTest, NumbersMayBePackedOrSingle) {
    NetcdfSpec spec = record();
    spec.type = GDT_Float32;
    expect_the_record(read(netcdf(spec)), 2e-5);
    spec.type = GDT_Int16;
    spec.scale = 0.1;
    spec.offset = 50.0;
    for (double& value : spec.stored) {
        value = std::round((value - 50.0) / 0.1);
    }
    expect_the_record(read(netcdf(spec)));
}

TEST_F(RainGridsTest, UnitsMayBeAnyOfThoseKnown) {
    struct Case {
        const char* unit;
        std::function<double(int days)> per_mm;
    };
    const std::array cases{
        Case{"kg m-2", [](int) { return 1.0; }},
        Case{"cm", [](int) { return 0.1; }},
        Case{"m", [](int) { return 1e-3; }},
        Case{"inches", [](int) { return 1.0 / 25.4; }},
        Case{"0.1 mm", [](int) { return 10.0; }},
        Case{"tenths of mm", [](int) { return 10.0; }},
        Case{"mm/day", [](int days) { return 1.0 / days; }},
        Case{"mm/hr", [](int days) { return 1.0 / days / 24.0; }},
        Case{"kg m-2 s-1", [](int days) { return 1.0 / days / 86400.0; }},
        Case{"m s-1", [](int days) { return 1e-3 / days / 86400.0; }},
    };
    for (const Case& entry : cases) {
        SCOPED_TRACE(entry.unit);
        NetcdfSpec spec = record();
        spec.units = entry.unit;
        for (std::size_t i = 0; i < spec.stored.size(); ++i) {
            const int step = static_cast<int>(i / (kRows * kCols));
            spec.stored[i] *= entry.per_mm(month_days(step, Calendar::standard));
        }
        expect_the_record(read(netcdf(spec)));
    }
}

TEST_F(RainGridsTest, CalendarsOfModelsGiveTheSameMonths) {
    for (const Calendar calendar : {Calendar::standard, Calendar::noleap, Calendar::days_360}) {
        const RainData data = read(netcdf(record(calendar)));
        expect_the_record(data);
        EXPECT_EQ(data.info.timeline.calendar, calendar);
        EXPECT_EQ(data.info.timeline.steps[25].days, calendar == Calendar::standard ? 29
                                                     : calendar == Calendar::noleap ? 28
                                                                                    : 30);  // February 1992
    }
}

TEST_F(RainGridsTest, AStackAFileAMonthAndAStoreAreTheSameRecord) {
    RasterSpec spec = stack(0, kMonths);
    for (int step = 0; step < kMonths; ++step) {
        spec.descriptions.push_back(month_text(step));
    }
    expect_the_record(read(geotiff(spec)));
    (void)months([](int step) { return "r_" + month_text(step, "_") + ".tif"; });
    expect_the_record(read(m_folder.file("r_*.tif")));
    expect_the_record(read(zarr(record())));
    EXPECT_EQ(m_findings.count(Severity::warning), 0U);
    // A netCDF file a year, each with its own axis.
    const NetcdfSpec whole = record();
    for (int year = 0; year < 3; ++year) {
        NetcdfSpec part = whole;
        const auto cells = static_cast<std::ptrdiff_t>(12 * kRows * kCols);
        part.times.assign(whole.times.begin() + 12 * year, whole.times.begin() + 12 * (year + 1));
        part.stored.assign(whole.stored.begin() + cells * year, whole.stored.begin() + cells * (year + 1));
        (void)netcdf(part, fmt::format("y{}.nc", 9 - year));  // their names are in the wrong order
    }
    expect_the_record(read(m_folder.file("y?.nc")));
}

TEST_F(RainGridsTest, DatesMayBeWrittenAsNumbers) {
    NetcdfSpec spec = record();
    spec.time_units = "day as %Y%m%d.%f";
    for (int step = 0; step < kMonths; ++step) {
        spec.times[static_cast<std::size_t>(step)] = (kFirstYear + step / 12) * 10000 + (step % 12 + 1) * 100 + 15.5;
    }
    expect_the_record(read(netcdf(spec)));
}

TEST_F(RainGridsTest, NamesSayWhichAxisIsWhichWhereUnitsDoNot) {
    NetcdfSpec spec = record();
    spec.x_units.clear();
    spec.y_units.clear();
    expect_the_record(read(netcdf(spec)));
    EXPECT_THAT(told(), HasSubstr("WGS 84 is taken"));
    spec.names = {"time", "row", "col"};
    expect_refused(settings({netcdf(spec)}), {"rain.nc", "no variable over rows and columns", "gdalmdiminfo"});
    spec.x_standard_name = "projection_x_coordinate";
    spec.y_standard_name = "projection_y_coordinate";
    expect_refused(settings({netcdf(spec)}), {"rain.nc", "no coordinate reference system", "degrees_east"});
}

TEST_F(RainGridsTest, AGridMappingSaysWhereMetresOrKilometresCount) {
    for (const double unit_m : {1.0, 1000.0}) {
        NetcdfSpec spec = record();
        spec.names = {"time", "y", "x"};
        spec.x_units = unit_m == 1.0 ? "m" : "km";
        spec.y_units = spec.x_units;
        spec.x_standard_name = "projection_x_coordinate";
        spec.y_standard_name = "projection_y_coordinate";
        spec.crs_wkt = crs_from_text("EPSG:32634", "test").wkt();
        for (std::size_t i = 0; i < kCols; ++i) {
            spec.longitudes[i] = (500000.0 + 1000.0 * static_cast<double>(i)) / unit_m;
        }
        for (std::size_t i = 0; i < kRows; ++i) {
            spec.latitudes[i] = (4400000.0 + 1000.0 * static_cast<double>(i)) / unit_m;
        }
        const RainSource source = RainSource::open(settings({netcdf(spec)}), winter_season(), m_findings);
        EXPECT_EQ(source.info().grid, (Grid{499500.0, 4402500.0, 1000.0, 1000.0, 3, 4})) << unit_m;
        EXPECT_TRUE(source.info().crs.same_as(crs_from_text("EPSG:32634", "test")));
    }
}

TEST_F(RainGridsTest, AChoiceThatChoosesNothingIsTold) {
    RasterSpec spec = stack(0, 12);
    RainSettings rain = settings({geotiff(spec)}, RainKind::monthly_normals);
    rain.select = "member=3";
    (void)read(rain);
    EXPECT_THAT(told(), HasSubstr("warning: a choice of variable or dimension for files that have none"));
}

// ---- missing values ----

TEST_F(RainGridsTest, EachWayToSayMissingIsMissing) {
    NetcdfSpec spec = record();
    spec.fill = -9999.0;
    spec.numbers = {{"missing_value", -8888.0}, {"valid_max", 400.0}};
    spec.stored[0] = -9999.0;
    spec.stored[1] = -8888.0;
    spec.stored[2] = 5000.0;
    const auto data = read(netcdf(spec));
    for (std::size_t col = 0; col < 3; ++col) {
        EXPECT_TRUE(std::isnan(at(data, record().longitudes[col], kSouth + 0.5 * kCell)[0])) << col;
    }
    EXPECT_FALSE(std::isnan(at(data, record().longitudes[3], kSouth + 0.5 * kCell)[0]));
}

TEST_F(RainGridsTest, AChunkThatIsNotInTheStoreIsMissingAndTold) {
    const std::string path = zarr(record(), "-9999.0");
    std::filesystem::remove(std::filesystem::path(path) / "pr" / "5.0.0");
    const RainData data = read(path);
    EXPECT_TRUE(std::isnan(at(data, 20.25, 40.25)[5]));
    EXPECT_NEAR(at(data, 20.25, 40.25)[6], depth_mm(6, 20.25, 40.25), 1e-9);
    EXPECT_THAT(told(), HasSubstr("warning: 1 of 36 chunks of pr"));
    // Nothing says what stands for it.
    testing::write_zarr(path, record());
    std::filesystem::remove(std::filesystem::path(path) / "pr" / "5.0.0");
    expect_refused(settings({path}), {"rain.zarr", "1 of 36 chunks", "fill value", "copy"});
    // A fill value of 0 is the number 0.
    NetcdfSpec dry = record();
    std::fill_n(dry.stored.begin() + 7 * kRows * kCols, kRows * kCols, 0.0);
    const RainData zeros = read(zarr(dry, "0.0"));
    EXPECT_EQ(at(zeros, 20.25, 40.25)[7], 0.0);
    EXPECT_EQ(m_findings.count(Severity::warning), 0U) << told();
}

TEST_F(RainGridsTest, AStoreThatCannotBeReadIsNamed) {
    const std::string path = zarr(record());
    std::ofstream(std::filesystem::path(path) / "pr" / ".zarray") << "{";
    expect_refused(settings({path}), {"rain.zarr", "Zarr store", "get it again"});
    std::ofstream(std::filesystem::path(path) / "zarr.json") << "{\"zarr_format\": 3}";
    expect_refused(settings({path}), {"rain.zarr", "version 3", "zarr_format=2"});
}

// ---- what is asked ----

TEST_F(RainGridsTest, OfSeveralVariablesOneIsNamed) {
    NetcdfSpec spec = record();
    spec.standard_name = "";
    spec.other_variable = "tas";
    expect_refused(settings({netcdf(spec)}), {"several variables", "pr (mm)", "tas", "rain.variable = \"pr\""});
    RainSettings rain = settings({m_folder.file("rain.nc")});
    rain.variable = "pr";
    expect_the_record(read(rain));
    rain.variable = "rainfall";
    expect_refused(rain, {"no variable \"rainfall\"", "pr", "tas"});
}

TEST_F(RainGridsTest, OfAnotherDimensionAPlaceIsNamed) {
    NetcdfSpec spec = record();
    const std::vector<double> own = spec.stored;
    spec.levels = 3;
    spec.level_values = {10.0, 20.0, 30.0};
    spec.stored.clear();
    for (std::size_t step = 0; step < kMonths; ++step) {
        for (int level = 1; level <= 3; ++level) {
            for (std::size_t cell = 0; cell < kRows * kCols; ++cell) {
                spec.stored.push_back(own[step * kRows * kCols + cell] * (level == 2 ? 1.0 : 0.5));
            }
        }
    }
    RainSettings rain = settings({netcdf(spec)});
    expect_refused(rain,
                   {"a dimension beside time, rows and columns: lev (3: 10, 20, 30)", "rain.select = \"lev=10\""});
    rain.select = "lev = 20";
    expect_the_record(read(rain));
    rain.select = "lev=25";
    expect_refused(rain, {"rain.select", "lev=25", "10, 20, 30"});
    rain.select = "member=1";
    expect_refused(rain, {"rain.select", "member=1", "lev (3"});
    spec.level_values.clear();
    (void)netcdf(spec);
    rain.select = "lev=2";  // without coordinates the position
    expect_the_record(read(rain));
}

TEST_F(RainGridsTest, GridsThatAreNotRegularAreRefusedWithACommand) {
    NetcdfSpec spec = record();
    spec.latitudes[1] += 0.05;
    expect_refused(settings({netcdf(spec)}), {"rows that are not evenly spaced", "40.8", "cdo remapbil"});
    spec = record();
    spec.names = {"time", "rlat", "rlon"};
    spec.x_units = "degrees";
    spec.y_units = "degrees";
    spec.x_standard_name = "grid_longitude";
    spec.y_standard_name = "grid_latitude";
    expect_refused(settings({netcdf(spec)}), {"a rotated pole", "cdo remapbil"});
    spec = record();
    spec.names = {"time", "j", "i"};
    spec.curved = true;
    expect_refused(settings({netcdf(spec)}), {"two-dimensional coordinates of pr", "cdo remapbil", "gdalwarp -geoloc"});
}

TEST_F(RainGridsTest, CalendarsThatAreNotKnownAreRefused) {
    for (const char* const calendar : {"366_day", "julian"}) {
        NetcdfSpec spec = record();
        spec.calendar = calendar;
        expect_refused(settings({netcdf(spec)}), {calendar, "noleap", "cdo setcalendar"});
    }
}

TEST_F(RainGridsTest, StampsOnTheFirstOfAMonthAreTold) {
    NetcdfSpec spec = record();
    double begin = 0.0;
    for (int step = 0; step < kMonths; ++step) {
        spec.times[static_cast<std::size_t>(step)] = begin;
        begin += month_days(step, Calendar::standard);
    }
    expect_the_record(read(netcdf(spec)));
    EXPECT_THAT(told(), HasSubstr("the month that begins is taken"));
    EXPECT_THAT(told(), HasSubstr("shifttime"));
}

// ---- names of files ----

TEST_F(RainGridsTest, FilesOutOfOrderAndWithAMissingMonthAreKeptApart) {
    std::vector<std::string> paths = months([](int step) { return "pr." + month_text(step, "") + ".tif"; });
    std::rotate(paths.begin(), paths.begin() + 7, paths.end());
    expect_the_record(read(settings(paths)));
    std::erase_if(paths, [](const std::string& path) { return path.find("199112") != std::string::npos; });
    for (const char* const start : {"", "1990-01"}) {  // a start that fits does not close the gap
        RainSettings rain = settings(paths);
        rain.start = start;
        const RainData data = read(rain);
        ASSERT_EQ(data.info.timeline.steps.size(), std::size_t{kMonths});
        EXPECT_TRUE(std::isnan(at(data, 20.25, 40.25)[23]));
        EXPECT_NEAR(at(data, 20.25, 40.25)[24], depth_mm(24, 20.25, 40.25), 1e-9);
        EXPECT_THAT(told(), HasSubstr("warning: 1 of 36 months without a band: 1991-12; in the fill months: 1991-12"));
    }
    paths.push_back(geotiff(stack(3, 4), "again_1990_04.tif"));
    expect_refused(settings(paths), {"two bands for the month 1990-04", "pr.199004.tif", "again_1990_04.tif"});
}

TEST_F(RainGridsTest, ANameOfAYearOrAMonthDatesAllItsBands) {
    for (int year = 0; year < 3; ++year) {
        (void)geotiff(stack(12 * year, 12 * (year + 1)), fmt::format("year_{}.tif", kFirstYear + year));
    }
    expect_the_record(read(m_folder.file("year_*.tif")));
    for (int step = 0; step < kMonths; ++step) {  // bands of days: the month's number on each
        RasterSpec days = stack(0, month_days(step, Calendar::standard));
        for (std::size_t day = 0; day < days.bands.size(); ++day) {
            std::fill(days.bands[day].begin(), days.bands[day].end(), day % 3 == 0 ? 1.0 + step : 0.0);
        }
        (void)geotiff(days, "days_" + month_text(step, "") + ".tif");
    }
    const RainData daily = read(m_folder.file("days_*.tif"), RainKind::daily);
    ASSERT_EQ(daily.info.timeline.steps.size(), 365U + 365U + 366U);
    EXPECT_EQ(at(daily, 20.25, 40.25)[31 + 27], 2.0);          // 28 February 1990
    EXPECT_EQ(at(daily, 20.25, 40.25)[365 + 365 + 59], 0.0);   // 29 February 1992, the 29th band
    EXPECT_EQ(at(daily, 20.25, 40.25)[365 + 365 + 60], 27.0);  // 1 March 1992
    // A month of days with a band too many says nothing.
    (void)geotiff(stack(0, 32), "days_" + month_text(4, "") + ".tif");
    expect_refused(settings({m_folder.file("days_*.tif")}, RainKind::daily),
                   {"no date for its 32 bands", "days_199005.tif"});
}

TEST_F(RainGridsTest, ANameThatCanBeReadInTwoWaysIsAsked) {
    const auto paths =
        months([](int step) { return fmt::format("rain_{:02}_{:02}_2001.tif", step % 12 + 1, step / 12 + 1); });
    expect_refused(settings(paths), {"rain_02_01_2001.tif", "several dates", "2001-01-02", "2001-02-01", "rain.start"});
    RainSettings rain = settings(paths);
    rain.start = "1990-01";  // in the order of the list
    expect_the_record(read(rain));
}

TEST_F(RainGridsTest, NamesWithoutDatesAreAsked) {
    const auto paths = months([](int step) { return fmt::format("rain_{:03}.tif", step + 200); });
    expect_refused(settings(paths), {"no date", "rain_200.tif", "rain.start"});
}

TEST_F(RainGridsTest, TwelveFilesAreTheMonthsOfTheirNames) {
    // In the order of bytes n_10 comes before n_2.
    (void)months([](int step) { return fmt::format("n_{}.tif", step + 1); }, 12);
    const RainData data = read(m_folder.file("n_*.tif"), RainKind::monthly_normals);
    EXPECT_NEAR(at(data, 20.25, 40.25)[0], depth_mm(10, 20.25, 40.25), 1e-9);  // the tank year begins in November
    EXPECT_NEAR(at(data, 20.25, 40.25)[3], depth_mm(1, 20.25, 40.25), 1e-9);
    EXPECT_THAT(told(), HasSubstr("n_1 is January"));
    constexpr std::array kNames{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"};
    (void)months([&](int step) { return fmt::format("m_{}.tif", kNames.at(static_cast<std::size_t>(step))); }, 12);
    EXPECT_NEAR(at(read(m_folder.file("m_*.tif"), RainKind::monthly_normals), 20.25, 40.25)[3],
                depth_mm(1, 20.25, 40.25), 1e-9);
    (void)months([](int step) { return fmt::format("{:02}_of_{:02}.tif", step + 1, 12 - step); }, 12);
    expect_refused(settings({m_folder.file("??_of_??.tif")}, RainKind::monthly_normals), {"two orders", "rename"});
}

// ---- days and hours ----

// Rain of each step shorter than a day: some hours of some days.
double shower_mm(int step, int steps_a_day) {
    const int day = step / steps_a_day;
    const int at = step % steps_a_day;
    return day % 3 == 0 && (7 * step + at) % 5 < 2 ? 0.5 * (1 + step % 4) : 0.0;
}

NetcdfSpec steps_of_days(int days, int steps_a_day) {
    NetcdfSpec spec = record();
    spec.times.clear();
    spec.stored.clear();
    spec.time_units = "hours since 1990-01-01";
    for (int step = 0; step < days * steps_a_day; ++step) {
        spec.times.push_back(24.0 * step / steps_a_day);
        for (std::size_t cell = 0; cell < kRows * kCols; ++cell) {
            spec.stored.push_back(shower_mm(step, steps_a_day) * (1.0 + 0.01 * static_cast<double>(cell)));
        }
    }
    return spec;
}

double day_mm(int day, int steps_a_day) {
    double sum = 0.0;
    for (int at = 0; at < steps_a_day; ++at) {
        sum += shower_mm(day * steps_a_day + at, steps_a_day);
    }
    return sum;
}

TEST_F(RainGridsTest, StepsShorterThanADayAreSummed) {
    constexpr int kDays = 740;
    for (const int steps_a_day : {4, 8, 24}) {
        SCOPED_TRACE(steps_a_day);
        NetcdfSpec spec = steps_of_days(kDays, steps_a_day);
        const RainData depths = read(netcdf(spec), RainKind::daily);
        ASSERT_EQ(depths.info.timeline.steps.size(), std::size_t{kDays});
        for (int day = 0; day < kDays; ++day) {
            ASSERT_NEAR(at(depths, 20.25, 40.25)[static_cast<std::size_t>(day)], day_mm(day, steps_a_day), 1e-9) << day;
        }
        EXPECT_THAT(told(), HasSubstr(fmt::format("steps of {} h, summed to days", 24 / steps_a_day)));
        EXPECT_EQ(m_findings.count(Severity::warning), 0U) << told();
        spec.units = "kg m-2 s-1";  // a rate, times the step's own length
        for (double& value : spec.stored) {
            value /= 86400.0 / steps_a_day;
        }
        const RainData rates = read(netcdf(spec), RainKind::daily);
        ASSERT_NEAR(at(rates, 20.25, 40.25)[3], day_mm(3, steps_a_day), 1e-9);
    }
}

TEST_F(RainGridsTest, SumsOfADayAreTheSameInAFileAndOverTwoFiles) {
    constexpr int kDays = 740;
    const NetcdfSpec whole = steps_of_days(kDays, 8);
    const std::size_t cut = 8 * 300 + 3;  // within a day
    const auto cells = static_cast<std::ptrdiff_t>(kRows * kCols);
    NetcdfSpec part = whole;
    part.times.resize(cut);
    part.stored.resize(cut * kRows * kCols);
    const std::string first = netcdf(part, "a.nc");
    part.times.assign(whole.times.begin() + static_cast<std::ptrdiff_t>(cut), whole.times.end());
    part.stored.assign(whole.stored.begin() + static_cast<std::ptrdiff_t>(cut) * cells, whole.stored.end());
    const std::string second = netcdf(part, "b.nc");
    const RainSource source = RainSource::open(settings({first, second}, RainKind::daily), winter_season(), m_findings);
    const RainData in_file =
        source.read({20.0, 40.0, 22.0, 41.5}, m_findings, {.most_bytes = 0, .beyond = m_folder.path() / "rain.series"});
    ASSERT_TRUE(std::holds_alternative<FieldInFile>(in_file.field));
    std::size_t looked_at = 0;
    visit_series(in_file.field, [&](std::span<const double> series) {
        const double factor =
            1.0 + 0.01 * static_cast<double>((kRows - 1 - looked_at / kCols) * kCols + looked_at % kCols);
        for (int day = 0; day < kDays; ++day) {
            ASSERT_NEAR(series[static_cast<std::size_t>(day)], factor * day_mm(day, 8), 1e-9) << day;
        }
        ++looked_at;
    });
    EXPECT_EQ(looked_at, kRows * kCols);
}

TEST_F(RainGridsTest, ADayWithoutAllItsStepsIsMissing) {
    NetcdfSpec spec = steps_of_days(740, 8);
    const std::size_t gone = 8 * 30 + 5;
    spec.times.erase(spec.times.begin() + gone);
    spec.stored.erase(spec.stored.begin() + static_cast<std::ptrdiff_t>(gone * kRows * kCols),
                      spec.stored.begin() + static_cast<std::ptrdiff_t>((gone + 1) * kRows * kCols));
    const RainData data = read(netcdf(spec), RainKind::daily);
    EXPECT_TRUE(std::isnan(at(data, 20.25, 40.25)[30]));
    EXPECT_NEAR(at(data, 20.25, 40.25)[33], day_mm(33, 8), 1e-9);
    EXPECT_THAT(told(), HasSubstr("warning: 1 of 740 days without all their bands: 1990-01-31"));
    spec.times[20] += 0.7;
    expect_refused(settings({netcdf(spec)}, RainKind::daily), {"1990-01-03", "cdo daysum"});
    spec.times[20] = spec.times[19];
    expect_refused(settings({netcdf(spec)}, RainKind::daily),
                   {"two bands for the day 1990-01-03", "band 20", "band 21"});
    expect_refused(settings({netcdf(steps_of_days(740, 8))}),
                   {"two bands for the month 1990-01", "rain.kind = \"daily\""});
}

// ---- sums that go on adding up ----

TEST_F(RainGridsTest, SumsThatGoOnAreRefused) {
    NetcdfSpec all = record();
    NetcdfSpec year = record();
    constexpr std::size_t kMap = kRows * kCols;
    for (std::size_t i = kMap; i < all.stored.size(); ++i) {
        all.stored[i] += all.stored[i - kMap];
        const bool january = (i / kMap) % 12 == 0;
        year.stored[i] += january ? 0.0 : year.stored[i - kMap];
    }
    expect_refused(settings({netcdf(all)}), {"rain.nc", "never fall", "since the start of the record", "cdo deltat"});
    expect_refused(settings({netcdf(year)}), {"rain.nc", "once a year", "since the start of each year"});
    // The mean year too.
    RasterSpec normals = stack(0, 12);
    for (std::size_t band = 1; band < 12; ++band) {
        for (std::size_t cell = 0; cell < kMap; ++cell) {
            normals.bands[band][cell] += normals.bands[band - 1][cell];
        }
    }
    expect_refused(settings({geotiff(normals)}, RainKind::monthly_normals), {"rain.tif", "once a year"});
    // Days, since the start; and hours since the start of each day, whose last stands at midnight.
    NetcdfSpec days = steps_of_days(740, 1);
    for (std::size_t i = 0; i < days.stored.size(); ++i) {
        days.stored[i] = (i / kMap % 3 == 0 ? 4.0 : 0.0) + (i < kMap ? 0.0 : days.stored[i - kMap]);
    }
    expect_refused(settings({netcdf(days)}, RainKind::daily), {"never fall"});
    NetcdfSpec hours = steps_of_days(740, 24);
    for (std::size_t i = kMap; i < hours.stored.size(); ++i) {
        const bool new_day = (i / kMap) % 24 == 1;
        hours.stored[i] += new_day ? 0.0 : hours.stored[i - kMap];
    }
    expect_refused(settings({netcdf(hours)}, RainKind::daily), {"since the start of each day", "cdo deltat"});
}

// ---- totals ----

TEST_F(RainGridsTest, AYearOfMoreThanTwentyMetresIsWarnedOf) {
    NetcdfSpec spec = record();
    for (double& value : spec.stored) {
        value = 1800.0 + value;  // no month beyond 3 m
    }
    (void)read(netcdf(spec));
    EXPECT_THAT(told(), HasSubstr("mm in a mean year"));
    EXPECT_THAT(told(), HasSubstr("tenths of mm"));
}

// ---- the real files ----

double sum_of_months(const RainData& data, double longitude, double latitude, const std::vector<int>& months) {
    const StepField& field = std::get<StepField>(data.field);
    const auto series = field.series({static_cast<std::int64_t>(std::lround(field.grid.row_position(latitude))),
                                      static_cast<std::int64_t>(std::lround(field.grid.col_position(longitude)))});
    double sum = 0.0;
    for (std::size_t i = 0; i < series.size(); ++i) {
        sum += std::count(months.begin(), months.end(), data.info.timeline.steps[i].month) > 0 ? series[i] : 0.0;
    }
    return sum;
}

// Its README: 530.6 mm a year in the town's cell, 322 in the next one north.
TEST_F(RainGridsTest, RealNormalsGiveTheFiguresOfTheirDescription) {
    EAVESHED_SHARED_OR_SKIP(file, "data/swellendam_za/precip_normals_1981_2010_mm.tif");
    const RainSource source =
        RainSource::open(settings({file.string()}, RainKind::monthly_normals), winter_season(), m_findings);
    const RainData data = source.read({18.0, -34.3, 20.6, -33.7}, m_findings);
    std::vector<int> all(12);
    std::iota(all.begin(), all.end(), 1);
    EXPECT_NEAR(sum_of_months(data, 20.25, -34.25, all), 530.6, 0.05);
    EXPECT_EQ(std::floor(sum_of_months(data, 20.25, -33.75, all)), 322.0);
}

// Its README: Cape Town has 86 mm in June and 12 in January, over the 61 years of the series.
TEST_F(RainGridsTest, ARealSeriesGivesTheFiguresOfItsDescription) {
    EAVESHED_SHARED_OR_SKIP(file, "data/swellendam_za/precip_monthly_1950_2010_mm.tif");
    const RainSource source = RainSource::open(settings({file.string()}), winter_season(), m_findings);
    const RainData data = source.read({18.0, -34.3, 20.6, -33.7}, m_findings);
    constexpr double kYears = 61.0;
    EXPECT_NEAR(sum_of_months(data, 18.25, -33.75, {6}) / kYears, 86.0, 0.5);
    EXPECT_NEAR(sum_of_months(data, 18.25, -33.75, {1}) / kYears, 12.0, 0.5);
    EXPECT_EQ(m_findings.count(Severity::warning), 0U) << told();
}

// The normals are means of the series' thirty years; degrees C in a climate of mild winters.
TEST_F(RainGridsTest, RealTemperaturesAreThoseOfTheCape) {
    EAVESHED_SHARED_OR_SKIP(file, "data/swellendam_za/tmean_normals_1981_2010_degC.tif");
    const auto source = MonthSource::open_temperature("temperature.minimum", {file.string()}, m_findings);
    const MonthField field = source.read(crs_from_text("EPSG:4326", "test"), {20.3, -34.2, 20.6, -33.9});
    const auto town =
        field.field.series({static_cast<std::int64_t>(std::lround(field.field.grid.row_position(-34.25))),
                            static_cast<std::int64_t>(std::lround(field.field.grid.col_position(20.25)))});
    const auto warmest = std::max_element(town.begin(), town.end()) - town.begin();
    const auto coldest = std::min_element(town.begin(), town.end()) - town.begin();
    EXPECT_TRUE(warmest == 0 || warmest == 1) << warmest;  // January or February
    EXPECT_TRUE(coldest == 6 || coldest == 7) << coldest;  // July or August
    EXPECT_GT(town[static_cast<std::size_t>(warmest)], 18.0);
    EXPECT_LT(town[static_cast<std::size_t>(coldest)], 16.0);
}

}  // namespace
}  // namespace eaveshed
