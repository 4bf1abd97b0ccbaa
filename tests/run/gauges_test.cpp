// Gauges as rain, through a whole run: against the same rain as a grid, and against plain loops that share nothing with
// the program but the dates.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <limits>
#include <map>
#include <optional>

#include "eaveshed/explain/explain.hpp"
#include "eaveshed/run/check.hpp"
#include "run/gauge_basin.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using testing::by_roof;
using testing::bytes_of;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::number;
using testing::OutputFile;
using testing::OutputRow;
using testing::TempFolder;

constexpr double kNoValue = std::numeric_limits<double>::quiet_NaN();

// Every number of every row of both files but the places in the ranking, to 1e-9 of it; texts to the letter.
void expect_same_rows(const OutputFile& a, const OutputFile& b) {
    for (const char* const table : {"roofs", "pads", "storage_curve", "parcels"}) {
        const auto rows_a = a.rows(std::string("SELECT * FROM ") + table);
        const auto rows_b = b.rows(std::string("SELECT * FROM ") + table);
        ASSERT_EQ(rows_a.size(), rows_b.size());
        for (std::size_t i = 0; i < rows_a.size(); ++i) {
            for (const auto& [column, value] : rows_a[i]) {
                if (column == "pareto_tier" || column == "rank" || column == "rank_stability") {
                    continue;  // parcels that are as good as equal stand in the order of their last digits
                }
                EXPECT_TRUE(agree(value, rows_b[i].at(column))) << table << " row " << i << " " << column;
            }
        }
    }
}

struct RainCase {
    std::string kind;
    int steps;
};

// A value of a step, with gaps, among them a whole week.
double value_of_step(const RainCase& rain, int step) {
    if (rain.kind == "daily") {
        return step % 97 == 5 || (step > 900 && step < 908) ? kNoValue : gauge_day_mm(step, 0);
    }
    return rain.kind == "monthly" && step % 31 == 7 ? kNoValue : rain_mm(step, {kX0, kY0});
}

std::string date_of_step(const RainCase& rain, int step) {
    if (rain.kind == "daily") {
        const Date date = gauge_date(step);
        return fmt::format("{}/{}/{}", date.month, date.day, date.year);
    }
    const int month = step + 10;  // from November 1990 on; of a mean year its months in that order
    return rain.kind == "monthly" ? fmt::format("{:04}-{:02}", 1990 + month / 12, month % 12 + 1)
                                  : std::to_string(month % 12 + 1);
}

class OneGauge : public ::testing::TestWithParam<RainCase> {};

TEST_P(OneGauge, GivesTheRowsOfAGridWithItsValuesEverywhere) {
    const RainCase& rain = GetParam();
    const TempFolder folder;
    const SmallBasin basin;
    write_basin(folder, basin);
    std::string table = rain.kind == "monthly-normals" ? "month,rain_mm\n" : "date,rain_mm\n";
    for (int step = 0; step < rain.steps; ++step) {
        table += date_of_step(rain, step) + "," + gauge_cell(value_of_step(rain, step)) + "\n";
    }
    folder.write("gauge.csv", table);
    testing::RasterSpec grid = raster_over_basin(kBasinCrs, 1000.0, 1000.0, rain.steps, [&](int band, Point) {
        // Bands of a mean year begin with January.
        return value_of_step(rain, rain.kind == "monthly-normals" ? (band + 2) % 12 : band);
    });
    grid.unit = "mm";
    testing::write_raster(folder.file("uniform.tif"), grid);
    const std::string kind = "kind = \"" + rain.kind + "\"\n";
    const std::string start = rain.kind == "daily"     ? "start = \"1990-10-20\"\n"
                              : rain.kind == "monthly" ? "start = \"1990-11\"\n"
                                                       : "";
    folder.write("gauge.toml", project_with_rain(basin, "source = \"gauge.csv\"\n" + kind));
    folder.write("grid.toml", project_with_rain(basin, "source = \"uniform.tif\"\n" + kind + start));
    screened(folder.file("gauge.toml"), folder.file("gauge.gpkg"));
    screened(folder.file("grid.toml"), folder.file("grid.gpkg"));
    const OutputFile gauge(folder.file("gauge.gpkg"));
    EXPECT_EQ(gauge.count("SELECT COUNT(*) FROM roofs WHERE status = 'ok'"), 24);
    expect_same_rows(gauge, OutputFile(folder.file("grid.gpkg")));
    EXPECT_EQ(gauge.record("rain.gauges"), "1");
    EXPECT_EQ(gauge.record("rain.gauge.001.id"), "rain");
    EXPECT_NE(gauge.record("rain.mean_year_mm"), "not known");
}

INSTANTIATE_TEST_SUITE_P(EveryKind, OneGauge,
                         ::testing::Values(RainCase{"daily", kGaugeDays}, RainCase{"monthly", 12 * kYears},
                                           RainCase{"monthly-normals", 12}),
                         [](const auto& rain) {
                             std::string name = rain.param.kind;
                             std::erase(name, '-');
                             return name;
                         });

// Six gauges in and around the basin, in the order of their ids.
struct Gauge {
    std::string id;
    Point place;
};
const std::vector<Gauge> kGauges{{"a", {kX0 + 200.0, kY0 + 300.0}},   {"b", {kX0 + 1300.0, kY0 + 250.0}},
                                 {"c", {kX0 + 700.0, kY0 + 1250.0}},  {"d", {kX0 - 2500.0, kY0 + 700.0}},
                                 {"e", {kX0 + 2600.0, kY0 + 1600.0}}, {"f", {kX0 + 60000.0, kY0}}};

// What gauge k has in a step: each has gaps of its own, one ends early, one begins late, and some days nobody has a
// value but the last, which no roof draws on.
double gauge_value(bool daily, int step, int k) {
    const int year = daily ? step / 365 : step / 12;
    const bool nobody = daily ? step % 211 == 17 : step % 47 == 20;
    const bool ended = k == 1 && year >= 3;
    const bool not_begun = k == 2 && year < 2;
    if ((nobody && k < 5) || ended || not_begun || (step * 7 + k * 11) % 23 == 0) {
        return kNoValue;
    }
    return daily ? gauge_day_mm(step, k) : std::round(rain_mm(step, {kX0, kY0}) * (8.0 + k)) / 10.0;
}

std::string wide_table(bool daily, int steps) {
    std::string table = "date";
    for (const Gauge& gauge : kGauges) {
        table += "," + gauge.id;
    }
    table += "\n";
    for (int step = 0; step < steps; ++step) {
        table += date_of_step({daily ? "daily" : "monthly", steps}, step);
        for (int k = 0; k < static_cast<int>(kGauges.size()); ++k) {
            table += "," + gauge_cell(gauge_value(daily, step, k));
        }
        table += "\n";
    }
    return table;
}

// The same, a line for each value there is; one empty line in between, and the gauges in another order.
std::string long_table(bool daily, int steps) {
    std::string table = "station;date;mm\n";
    for (int k = static_cast<int>(kGauges.size()) - 1; k >= 0; --k) {
        for (int step = 0; step < steps; ++step) {
            const double value = gauge_value(daily, step, k);
            if (!std::isnan(value) || step == 0 || step == steps - 1) {
                table += kGauges[static_cast<std::size_t>(k)].id + ";" +
                         date_of_step({daily ? "daily" : "monthly", steps}, step) + ";" + gauge_cell(value) + "\n";
            }
        }
    }
    return table;
}

std::string places_table() {
    std::string table = "id,x,y\n";
    for (const Gauge& gauge : kGauges) {
        table += fmt::format("{},{},{}\n", gauge.id, gauge.place.x, gauge.place.y);
    }
    return table;
}

// Rain of the fill months (November to May) in a mean tank year at a place, by plain loops. Distances in the plane: all
// are longer than on the ellipsoid by the same scale, to 1e-5.
double fill_rain_by_hand(bool daily, int steps, Point place) {
    std::vector<std::pair<double, int>> near;
    for (int k = 0; k < static_cast<int>(kGauges.size()); ++k) {
        const Point gauge = kGauges[static_cast<std::size_t>(k)].place;
        near.emplace_back(std::hypot(gauge.x - place.x, gauge.y - place.y), k);
    }
    std::ranges::sort(near);
    near.resize(4);
    struct Year {
        int days = 0;
        int missing = 0;
        double fill_mm = 0.0;
    };
    std::map<int, Year> years;
    for (int step = 0; step < steps; ++step) {
        const Date date = daily ? gauge_date(step) : Date{1990 + (step + 10) / 12, (step + 10) % 12 + 1, 1};
        double sum = 0.0;
        double weights = 0.0;
        for (const auto& [distance, k] : near) {
            const double value = gauge_value(daily, step, k);
            if (std::isnan(value) || (daily && weights > 0.0)) {
                continue;
            }
            const double weight = daily ? 1.0 : 1.0 / (distance * distance);
            sum += weight * value;
            weights += weight;
        }
        Year& year = years[date.month >= 11 ? date.year + 1 : date.year];
        const int days = daily ? 1 : days_in_month(Calendar::standard, date.year, date.month);
        year.days += days;
        if (weights == 0.0) {
            year.missing += days;
        } else if (date.month >= 11 || date.month <= 5) {
            year.fill_mm += sum / weights;
        }
    }
    double all = 0.0;
    int counted = 0;
    for (const auto& [name, year] : years) {
        if (year.days >= 365 && 100 * year.missing <= 5 * year.days) {
            all += year.fill_mm;
            ++counted;
        }
    }
    return all / counted;
}

class SeveralGauges : public ::testing::TestWithParam<bool> {
protected:
    [[nodiscard]] bool daily() const { return GetParam(); }
    [[nodiscard]] int steps() const { return daily() ? kGaugeDays : 12 * kYears; }
    // Writes the basin with a table of gauges and screens it.
    std::string screen_with(const std::string& name, const std::string& table, const std::string& more = "",
                            const How& how = {}) {
        m_folder.write(name + ".csv", table);
        m_folder.write("places.csv", places_table());
        const std::string project = m_folder.write(
            name + ".toml",
            project_with_rain(m_basin, fmt::format("source = \"{}.csv\"\nkind = \"{}\"\nunit = \"mm\"\nstations = "
                                                   "\"places.csv\"\n{}",
                                                   name, daily() ? "daily" : "monthly", more)));
        const std::string output = m_folder.file(name + ".gpkg");
        screened(project, output, how);
        return output;
    }
    void SetUp() override { write_basin(m_folder, m_basin); }

    TempFolder m_folder;
    SmallBasin m_basin;
};

TEST_P(SeveralGauges, GiveTheRainThatPlainLoopsGive) {
    const OutputFile output(screen_with("wide", wide_table(daily(), steps())));
    const auto rows = by_roof(output.rows("SELECT * FROM roofs"));
    ASSERT_EQ(rows.size(), m_basin.roofs.size());
    std::set<double> different;
    for (const SmallRoof& roof : m_basin.roofs) {
        const double expected = fill_rain_by_hand(daily(), steps(), middle_of(roof));
        EXPECT_NEAR(number(rows.at(roof.id), "fill_rain_mm").value(), expected, 1e-5 * expected) << roof.id;
        EXPECT_EQ(testing::text(rows.at(roof.id), "flags").find("rain_filled"), std::string::npos);
        different.insert(expected);
    }
    EXPECT_GE(different.size(), 3U);
    EXPECT_EQ(output.record("rain.gauges"), "6");
    EXPECT_EQ(output.record("rain.gauges_used"), "5");
    EXPECT_EQ(output.record("rain.gauge.005.id"), "e");
    EXPECT_EQ(output.record("rain.gauge.006.id"), "");
}

TEST_P(SeveralGauges, InLongFormGiveTheSameRows) {
    const std::string wide = screen_with("wide", wide_table(daily(), steps()));
    const std::string rows = screen_with("long", long_table(daily(), steps()));
    expect_same_rows(OutputFile(wide), OutputFile(rows));
}

TEST_P(SeveralGauges, GiveTheSameBytesWithAnyThreadsAndTiles) {
    const std::string table = wide_table(daily(), steps());
    const std::string expected = bytes_of(screen_with("gauges", table));
    for (const unsigned threads : {1U, 3U}) {
        for (const double side : {300.0, 5000.0}) {
            const How how{.threads = threads, .tile_side_m = side, .overwrite = true};
            // The table is not written anew: its time stands in the result.
            screened(m_folder.file("gauges.toml"), m_folder.file("gauges.gpkg"), how);
            EXPECT_TRUE(bytes_of(m_folder.file("gauges.gpkg")) == expected) << threads << " " << side;
        }
    }
}

TEST_P(SeveralGauges, AreExplainedWithDistancesAndAgreeWithTheRow) {
    const std::string output = screen_with("wide", wide_table(daily(), steps()));
    Findings findings;
    Progress progress(ProgressStyle::none);
    const SmallRoof& roof = m_basin.roofs.at(7);
    const ExplainedRoof found = explain({output, roof.id, ""}, findings, progress);
    EXPECT_TRUE(found.differences.empty());
    ASSERT_EQ(found.rain_gauges.size(), 4U);
    double before_m = 0.0;
    for (const GaugeOfRoof& gauge : found.rain_gauges) {
        const auto place = std::ranges::find(kGauges, gauge.id, &Gauge::id)->place;
        const double plane_m = std::hypot(place.x - middle_of(roof).x, place.y - middle_of(roof).y);
        EXPECT_NEAR(gauge.use.distance_m.value(), plane_m / 0.9996, 1e-4 * plane_m);  // scale of UTM at its middle
        EXPECT_EQ(gauge.use.factor, 1.0);
        EXPECT_GT(*gauge.use.distance_m, before_m);
        before_m = *gauge.use.distance_m;
    }
    EXPECT_THAT(document_text(explanation_document(found)),
                AllOf(HasSubstr("gauge, nearest first"),
                      HasSubstr(daily() ? "of each day the first gauge" : "weighted by 1 / distance squared")));
}

// With the nearest gauge alone days and months are both its own.
TEST_P(SeveralGauges, MayBeLimitedToTheNearest) {
    const OutputFile output(screen_with("wide", wide_table(daily(), steps()), "nearest_stations = 1\n"));
    EXPECT_EQ(output.record("rain.gauges_used"), "3");
    EXPECT_EQ(output.record("setting.rain.nearest_stations"), "1");
}

// Normals that rise by 0.1 a metre to the east: bilinear sampling of a plane is exact.
TEST_P(SeveralGauges, AreBroughtToTheRoofByTheRatioOfNormals) {
    const auto normal = [](Point place) { return 1000.0 + 0.1 * (place.x - kX0); };
    testing::RasterSpec grid =
        raster_over_basin(kBasinCrs, 250.0, 1000.0, 12, [&](int, Point place) { return normal(place) / 12.0; });
    testing::write_raster(m_folder.file("normals.tif"), grid);
    // Only gauge a: the ratio shows undisturbed.
    std::string table = "date,a\n";
    for (int step = 0; step < steps(); ++step) {
        table += date_of_step({daily() ? "daily" : "monthly", steps()}, step) + "," +
                 gauge_cell(daily() ? gauge_day_mm(step, 0) : rain_mm(step, {kX0, kY0})) + "\n";
    }
    const OutputFile plain(screen_with("plain", table));
    const OutputFile scaled(screen_with("scaled", table, "normals = \"normals.tif\"\n"));
    const auto before = by_roof(plain.rows("SELECT * FROM roofs"));
    const auto after = by_roof(scaled.rows("SELECT * FROM roofs"));
    for (const SmallRoof& roof : m_basin.roofs) {
        const double ratio = normal(middle_of(roof)) / normal(kGauges[0].place);
        EXPECT_NEAR(*number(after.at(roof.id), "fill_rain_mm"), ratio * *number(before.at(roof.id), "fill_rain_mm"),
                    1e-6 * *number(after.at(roof.id), "fill_rain_mm"))
            << roof.id;
    }
    EXPECT_EQ(scaled.count("SELECT COUNT(*) FROM run_record WHERE value = 'rain.normals'"), 1);
    EXPECT_EQ(scaled.count("SELECT COUNT(*) FROM run_record WHERE value = 'rain.stations'"), 1);
}

INSTANTIATE_TEST_SUITE_P(BothKinds, SeveralGauges, ::testing::Bool(),
                         [](const auto& daily) { return daily.param ? "daily" : "monthly"; });

// Daily minima and maxima that are the same every year: their means by month are known.
TEST(TemperatureGauges, GiveTheDemandThatRastersOfTheirMeansGive) {
    const TempFolder folder;
    SmallBasin basin;
    write_basin(folder, basin);
    const auto minimum = [](int month) { return 2.0 + month; };
    const auto maximum = [](int month) { return 12.0 + 1.5 * month; };
    std::string table = "date,tmin_c,tmax_c\n";
    for (int day = 0; day < 730; ++day) {
        const Date date = gauge_date(day);
        table += fmt::format("{:04}-{:02}-{:02},{},{}\n", date.year, date.month, date.day, minimum(date.month),
                             maximum(date.month));
    }
    folder.write("temperature.csv", table);
    for (const auto& [name, of_month] : {std::pair<const char*, std::function<double(int)>>{"low.tif", minimum},
                                         std::pair<const char*, std::function<double(int)>>{"high.tif", maximum}}) {
        testing::RasterSpec grid =
            raster_over_basin(kBasinCrs, 500.0, 1250.0, 12, [&](int band, Point) { return of_month(band + 1); });
        grid.unit = "degC";
        testing::write_raster(folder.file(name), grid);
    }
    const std::string text = project_text(basin);
    folder.write("rasters.toml", text + "[temperature]\nminimum = \"low.tif\"\nmaximum = \"high.tif\"\n");
    folder.write("gauge.toml", text + "[temperature]\nminimum = \"temperature.csv\"\nmaximum = \"temperature.csv\"\n");
    screened(folder.file("rasters.toml"), folder.file("rasters.gpkg"));
    screened(folder.file("gauge.toml"), folder.file("gauge.gpkg"));
    const OutputFile gauge(folder.file("gauge.gpkg"));
    expect_same_rows(gauge, OutputFile(folder.file("rasters.gpkg")));
    EXPECT_EQ(gauge.count("SELECT COUNT(*) FROM roofs WHERE flags LIKE '%default_et0%'"), 0);
    EXPECT_EQ(gauge.count("SELECT COUNT(*) FROM roofs WHERE demand_m3 > 0"), 24);
    Findings findings;
    Progress progress(ProgressStyle::none);
    const ExplainedRoof found = explain({folder.file("gauge.gpkg"), "R03", ""}, findings, progress);
    EXPECT_TRUE(found.differences.empty());
    ASSERT_EQ(found.temperature_gauges.size(), 1U);
}

std::string checked(const std::string& project_file, std::string* page = nullptr) {
    Findings findings;
    const Project project = load_project(project_file, findings);
    const CheckReport report = check(project, findings);
    if (page != nullptr) {
        *page = report_text(project, report, findings);
    }
    std::string text;
    for (const Finding& finding : findings.list()) {
        text += finding_line(finding) + "\n";
    }
    return text;
}

TEST(GaugesInCheck, AreShownAsTheyWereUnderstood) {
    const TempFolder folder;
    const SmallBasin basin;
    write_basin(folder, basin);
    folder.write("gauges.csv", wide_table(true, kGaugeDays));
    folder.write("places.csv", places_table());
    std::string page;
    checked(folder.write("gauges.toml", project_with_rain(basin,
                                                          "source = \"gauges.csv\"\nkind = \"daily\"\nunit = "
                                                          "\"mm\"\nstations = \"places.csv\"\n")),
            &page);
    EXPECT_THAT(
        page,
        AllOf(HasSubstr("2190 days from 1990-10-20 to 1996-10-17 (standard calendar): 5 complete tank years, in mm, 6 "
                        "gauges, dates with the month first, as the data show"),
              HasSubstr("rain gauge          a at -12"), HasSubstr("values from 1990-10-"),
              HasSubstr("% missing, about"), HasSubstr("mm in a mean year"),
              HasSubstr("Rain of a mean year in the middle of the footprints")));
}

TEST(GaugesInCheck, WithoutPlacesOrUnitAreErrorsWithARemedy) {
    const TempFolder folder;
    const SmallBasin basin;
    write_basin(folder, basin);
    folder.write("gauges.csv", wide_table(false, 36));
    const auto found = [&](const std::string& rain) {
        return checked(folder.write("gauges.toml", project_with_rain(basin, "source = \"gauges.csv\"\n" + rain)));
    };
    EXPECT_THAT(found("kind = \"monthly\"\nunit = \"mm\"\n"),
                HasSubstr("error: rain.source \"" + folder.file("gauges.csv") +
                          "\": found 6 gauges and no places: a, b, c, d, e, f; wanted where each of them stands; give "
                          "rain.stations"));
    EXPECT_THAT(found("kind = \"monthly\"\n"), HasSubstr("found no unit"));
    EXPECT_THAT(found("kind = \"monthly\"\n"), HasSubstr("set rain.unit"));
    EXPECT_THAT(found("unit = \"mm\"\n"), HasSubstr("36 lines of months"));
    EXPECT_THAT(found("kind = \"monthly\"\nunit = \"mm\"\nstations = \"nowhere.csv\"\n"), HasSubstr("rain.stations"));
    EXPECT_THROW(screened(folder.file("gauges.toml"), folder.file("out.gpkg")), Error);
}

// Twelve years of days, each line as `line` gives it; an empty one is left out.
std::string days_table(const std::function<std::string(std::int64_t day, Date date)>& line) {
    std::string table = "date,rain_mm\n";
    const std::int64_t first = day_number(Calendar::standard, {1990, 11, 1});
    for (std::int64_t day = 0; day < 12 * 365; ++day) {
        const Date date = date_of(Calendar::standard, first + day);
        const std::string value = line(day, date);
        table += value.empty() ? "" : fmt::format("{:04}-{:02}-{:02},{}\n", date.year, date.month, date.day, value);
    }
    return table;
}

TEST(GaugesInCheck, ATableThatCannotBeTheRainOfItsDaysIsRefused) {
    const TempFolder folder;
    const SmallBasin basin;
    write_basin(folder, basin);
    const auto found = [&](const std::string& table) {
        folder.write("gauge.csv", table);
        return checked(folder.write(
            "gauge.toml", project_with_rain(basin, "source = \"gauge.csv\"\nkind = \"daily\"\nunit = \"mm\"\n")));
    };
    const auto depth = [](std::int64_t day) { return day % 5 == 0 ? 12 + day % 7 : 0; };
    // As it should be.
    EXPECT_THAT(found(days_table([&](std::int64_t day, Date) { return std::to_string(depth(day)); })),
                Not(HasSubstr("error: ")));
    // Dry days left out.
    EXPECT_THAT(
        found(days_table(
            [&](std::int64_t day, Date) { return depth(day) > 0 ? std::to_string(depth(day)) : std::string(); })),
        AllOf(HasSubstr("error: rain.source"), HasSubstr("no tank year with a value for at least 95 % of its days"),
              HasSubstr("write them with 0")));
    // Sums since each January.
    std::int64_t sum = 0;
    EXPECT_THAT(found(days_table([&](std::int64_t day, Date date) {
                    sum = (date.month == 1 && date.day == 1 ? 0 : sum) + depth(day);
                    return std::to_string(sum);
                })),
                AllOf(HasSubstr("error: rain.source"), HasSubstr("sums since the start"), HasSubstr("difference")));
    // Most years have a hole.
    EXPECT_THAT(found(days_table([&](std::int64_t day, Date date) {
                    return date.month == 2 && date.year > 1993 ? std::string() : std::to_string(depth(day));
                })),
                AllOf(HasSubstr("warning: rain.source"), HasSubstr("of 11 complete tank years"),
                      HasSubstr("neighbouring gauge")));
}

TEST(GaugesInCheck, SettingsForATableBesideAGridHaveNoEffect) {
    const TempFolder folder;
    const SmallBasin basin;
    write_basin(folder, basin);
    const std::string found = checked(
        folder.write("grid.toml", project_with_rain(basin,
                                                    "source = \"rain.tif\"\nkind = \"monthly\"\nstart = \"1990-11\"\n"
                                                    "stations = \"places.csv\"\nnearest_stations = 2\n") +
                                      "[temperature]\ndate_order = \"day-month\"\n"));
    for (const char* const key : {"rain.stations", "rain.nearest_stations", "temperature.date_order"}) {
        EXPECT_THAT(found, HasSubstr(key));
    }
    EXPECT_THAT(found, HasSubstr("a setting without effect"));
}

}  // namespace
}  // namespace eaveshed
