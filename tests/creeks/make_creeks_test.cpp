// method.md 7.15, 7.16: streams that a project gives as lines.
#include "eaveshed/creeks/make_creeks.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "creeks/creek_files.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using testing::expect_input_error;
using ::testing::HasSubstr;
using testing::ids_of;
using ::testing::IsEmpty;
using testing::nexts_of;
using ::testing::Not;

// A slope of 5 km that falls to the south, with a valley along its middle.
class GivenLines : public testing::CreekFiles {
protected:
    GivenLines() {
        write_ground(100, 100, 50.0, [](double east_m, double north_m) {
            return 20.0 + 0.05 * north_m + 0.1 * std::abs(east_m - 2525.0);
        });
        write_roof(2000.0, 2000.0);
    }
    // Of lines that are of no further interest; told with `settings`.
    Creeks of(const std::vector<testing::LineToWrite>& lines, const std::string& settings = "") {
        write_lines(lines);
        open(given(settings));
        return made();
    }
    const Line m_a{at(2500, 4500), at(2500, 3000)};
    const Line m_b{at(3500, 4000), at(2500, 3000)};
    const Line m_c{at(2500, 3000), at(2500, 500)};
};

TEST_F(GivenLines, AreANetworkOfReaches) {
    const Creeks creeks = of({{"A", wkt(m_a), "Upper", "12.5"}, {"B", wkt(m_b)}, {"C", wkt(m_c), "Main", "1 cfs"}});
    EXPECT_THAT(ids_of(creeks), ElementsAre("A", "B", "C"));
    EXPECT_THAT(nexts_of(creeks), ElementsAre(2, 2, kNoReach));
    EXPECT_EQ(creeks.tree().strahler(2), 2);
    EXPECT_EQ(creeks.reaches()[0].name, "Upper");
    EXPECT_EQ(creeks.reaches()[1].name, "");
    EXPECT_EQ(creeks.reaches()[0].low_flow_lps, 12.5);
    EXPECT_EQ(creeks.reaches()[1].low_flow_lps, std::nullopt);
    EXPECT_NEAR(creeks.reaches()[2].low_flow_lps.value(), 28.316846592, 1e-9);  // 0.3048^3 m3/s
    EXPECT_EQ(creeks.reaches()[0].line, m_a);
    EXPECT_NEAR(creeks.reaches()[0].length_m, 1500.0, 1e-6);
    EXPECT_NEAR(creeks.reaches()[1].length_m, std::hypot(1000.0, 1000.0), 1e-6);
    EXPECT_EQ(creeks.reaches()[0].drained_km2, std::nullopt);
    EXPECT_THAT(warned() + noted(), IsEmpty());
    ASSERT_NE(creeks.ways(), nullptr);
    const auto entry = creeks.entry_of(at(2025, 2025), std::nullopt);
    ASSERT_TRUE(entry);
    EXPECT_EQ(entry->reach, 2U);
    EXPECT_EQ(entry->way, EntryWay::flow);
}

TEST_F(GivenLines, TakeTheNearestReachWhereTheProjectAsksSo) {
    const Creeks creeks = of({{"A", wkt(m_a)}, {"C", wkt(m_c)}}, "entry = \"nearest\"\n");
    EXPECT_EQ(creeks.ways(), nullptr);
    EXPECT_EQ(creeks.entry_of(at(2025, 2025), std::nullopt)->way, EntryWay::nearest);
    EXPECT_NEAR(creeks.entry_of(at(2025, 2025), std::nullopt)->distance_m, 475.0, 1e-6);
}

TEST_F(GivenLines, AreLookedAtWithoutLeadingWater) {
    write_lines({{"A", wkt(m_a)}, {"C", wkt(m_c)}});
    open(given());
    const Creeks creeks = look_at_creeks(m_project, m_inputs, m_findings);
    EXPECT_THAT(nexts_of(creeks), ElementsAre(1, kNoReach));
    EXPECT_EQ(creeks.ways(), nullptr);
    EXPECT_NEAR(creeks.nearest(at(2000, 2000))->distance_m, 500.0, 1e-6);
}

TEST_F(GivenLines, ThatRiseAreToldAndTurnedWhereAsked) {
    const std::vector<testing::LineToWrite> lines{{"A", wkt({m_a[1], m_a[0]})}, {"C", wkt(m_c)}};
    const Creeks as_drawn = of(lines);
    EXPECT_THAT(warned(), AllOf(HasSubstr("creeks.gpkg"), HasSubstr("higher"), HasSubstr("more than 1 m: A"),
                                HasSubstr("streams.turn")));
    EXPECT_THAT(nexts_of(as_drawn), ElementsAre(kNoReach, kNoReach));
    EXPECT_EQ(as_drawn.reaches()[0].line.front(), m_a[1]);
    const Creeks turned = of(lines, "turn = true\n");
    EXPECT_THAT(warned(), IsEmpty());
    EXPECT_THAT(noted(), AllOf(HasSubstr("A"), HasSubstr("turned")));
    EXPECT_THAT(nexts_of(turned), ElementsAre(1, kNoReach));
    EXPECT_EQ(turned.reaches()[0].line, m_a);
}

TEST_F(GivenLines, MayRiseByLessThanTheSlack) {
    const Line up{at(2500, 1000), at(2500, 1010)};  // 0.5 m
    (void)of({{"A", wkt(up)}});
    EXPECT_THAT(warned() + noted(), IsEmpty());
    (void)of({{"A", wkt(up)}}, "elevation_slack_m = 0.4\n");
    EXPECT_THAT(warned(), HasSubstr("more than 0.4 m: A"));
}

TEST_F(GivenLines, AreHeldAgainstElevationsInMetres) {
    constexpr double kFootM = 0.3048;
    write_ground(
        100, 100, 50.0, [](double, double north_m) { return 20.0 + 0.05 * north_m; }, kFootM, "ft");
    (void)of({{"A", wkt({at(2500, 1000), at(2500, 1016)})}});  // 0.8 m, 2.6 ft
    EXPECT_THAT(warned(), IsEmpty());
    (void)of({{"A", wkt({at(2500, 1000), at(2500, 1024)})}});  // 1.2 m
    EXPECT_THAT(warned(), HasSubstr("more than 1 m: A"));
}

TEST_F(GivenLines, ThatNearlyMeetAreToldAsAGap) {
    const Line below{at(2500, 2990), at(2500, 500)};
    const Creeks creeks = of({{"A", wkt(m_a)}, {"C", wkt(below)}});
    EXPECT_THAT(warned(),
                AllOf(HasSubstr("1 line ending nowhere"), HasSubstr("A (10.0 m from C)"), HasSubstr("streams.join_m")));
    EXPECT_THAT(nexts_of(creeks), ElementsAre(kNoReach, kNoReach));
    EXPECT_THAT(nexts_of(of({{"A", wkt(m_a)}, {"C", wkt(below)}}, "join_m = 10.5\n")), ElementsAre(1, kNoReach));
    EXPECT_THAT(warned(), IsEmpty());
    (void)of({{"A", wkt(m_a)}, {"C", wkt(below)}}, "gap_m = 9\n");
    EXPECT_THAT(warned(), IsEmpty());
}

// What lies 12 m beside the first is no reason to join it: its way goes on in the one that is the wrong way round.
TEST_F(GivenLines, ThatMeetTheEndOfARisingLineAreNoGaps) {
    const std::vector<testing::LineToWrite> lines{
        {"R1", wkt(m_a)}, {"R2", wkt({at(2512, 4500), at(2512, 200)})}, {"R3", wkt({m_c[1], m_c[0]})}};
    (void)of(lines);
    EXPECT_THAT(warned(), AllOf(HasSubstr("more than 1 m: R3"), Not(HasSubstr("nowhere"))));
}

TEST_F(GivenLines, NoLongerThanWhatIsJoinedAreTold) {
    const std::vector<testing::LineToWrite> lines{
        {"A", wkt(m_a)}, {"S", wkt({m_a[1], at(2500, 2960)})}, {"C", wkt({at(2500, 2960), at(2500, 500)})}};
    (void)of(lines);
    EXPECT_THAT(warned(), IsEmpty());
    (void)of(lines, "join_m = 50\n");
    EXPECT_THAT(warned(), AllOf(HasSubstr("1 line no longer than the 50 m within which ends are joined: S"),
                                HasSubstr("lower streams.join_m")));
}

TEST_F(GivenLines, ThatLeadRoundAreToldAndCut) {
    const Line back{m_c.back(), at(3000, 1500), m_a.front()};
    const Creeks creeks = of({{"A", wkt(m_a)}, {"C", wkt(m_c)}, {"D", wkt(back)}}, "elevation_slack_m = 1000\n");
    EXPECT_THAT(warned(), AllOf(HasSubstr("flow round in a circle, 1 circle: A, C, D,"),
                                HasSubstr("where D is taken for an outlet")));
    EXPECT_THAT(nexts_of(creeks), ElementsAre(1, 2, kNoReach));
    // With a line that leads away the circle is left by it.
    const Line away{m_c.front(), at(1000, 500)};
    const Creeks left =
        of({{"A", wkt(m_a)}, {"C", wkt(m_c)}, {"D", wkt(back)}, {"E", wkt(away)}}, "elevation_slack_m = 1000\n");
    EXPECT_THAT(warned(), HasSubstr("where A then flows into E"));
    EXPECT_THAT(nexts_of(left), ElementsAre(3, 2, 0, kNoReach));
}

TEST_F(GivenLines, ThatPartGoIntoTheFirst) {
    const Creeks creeks = of({{"A", wkt(m_a)}, {"C", wkt(m_c)}, {"E", wkt({m_c.front(), at(2300, 500)})}});
    EXPECT_THAT(nexts_of(creeks), ElementsAre(1, kNoReach, kNoReach));
    EXPECT_THAT(noted(),
                AllOf(HasSubstr("1 place parting into several lines: C, E"), HasSubstr("nothing counts twice")));
    EXPECT_THAT(warned(), IsEmpty());
}

TEST_F(GivenLines, ThatEndOnAnotherFlowIntoIt) {
    const Creeks creeks = of({{"S", wkt({at(3500, 2500), at(2500, 1500)})}, {"C", wkt(m_c)}});
    EXPECT_THAT(nexts_of(creeks), ElementsAre(1, kNoReach));
    EXPECT_THAT(noted(), HasSubstr("between its ends: S"));
}

TEST_F(GivenLines, HaveEachAnIdOfItsOwn) {
    const Creeks creeks = of({{"A", wkt(m_a)},
                              {"A", wkt(m_b)},
                              {"", wkt(m_c)},
                              {"A/2", wkt({at(100, 500), at(100, 100)})},
                              {"A", wkt({at(200, 500), at(200, 100)})}});
    EXPECT_THAT(ids_of(creeks), ElementsAre("A", "A/2", "3", "A/2/2", "A/3"));
    EXPECT_THAT(warned(), AllOf(HasSubstr("3 lines with an id that stood before"), HasSubstr(": A/2, A/2/2, A/3")));
    EXPECT_THAT(nexts_of(creeks), ElementsAre(2, 2, kNoReach, kNoReach, kNoReach));
}

// A name made up for a repeated line may be another's own: it is told once, as it came to be.
TEST_F(GivenLines, WithANameThatIsTakenAreToldOnce) {
    const Creeks creeks = of({{"A", wkt(m_a)}, {"A/2", wkt(m_b)}, {"A", wkt(m_c)}});
    EXPECT_THAT(ids_of(creeks), ElementsAre("A", "A/2", "A/2/2"));
    EXPECT_THAT(warned(), HasSubstr("1 line with an id that stood before, or of several parts: A/2/2;"));
}

TEST_F(GivenLines, OfSeveralPartsAreReachesOfTheirOwnUnlessOneGoesOnWithTheNext) {
    const auto body = [](const Line& line) { return wkt(line).substr(std::string("LINESTRING").size()); };
    const Line middle{at(2500, 3000), at(2500, 2000)};
    const Line last{at(2500, 2000), at(2500, 500)};
    const Creeks one = of({{"A", "MULTILINESTRING(" + body(m_a) + "," + body(middle) + "," + body(last) + ")"}});
    EXPECT_THAT(ids_of(one), ElementsAre("A"));
    EXPECT_EQ(one.reaches()[0].line, (Line{m_a[0], m_a[1], middle[1], last[1]}));
    EXPECT_THAT(warned(), IsEmpty());
    const Creeks two = of({{"A", "MULTILINESTRING(" + body(m_a) + "," + body(last) + ")", "Main", "5"}});
    EXPECT_THAT(ids_of(two), ElementsAre("A", "A/2"));
    EXPECT_EQ(two.reaches()[1].name, "Main");
    EXPECT_EQ(two.reaches()[1].low_flow_lps, 5.0);
    EXPECT_THAT(warned(), HasSubstr("of several parts: A/2"));
}

TEST_F(GivenLines, WithoutALengthAreToldAndLeftOut) {
    const Creeks creeks = of({{"A", wkt(m_a)},
                              {"dot", "POINT(500100 4000100)"},
                              {"still", wkt({at(100, 100), at(100, 100)})},
                              {"none", ""},
                              {"C", wkt(m_c)}});
    EXPECT_THAT(ids_of(creeks), ElementsAre("A", "C"));
    EXPECT_THAT(warned(), HasSubstr("3 features without a usable line: dot, still, none"));
    EXPECT_THAT(nexts_of(creeks), ElementsAre(1, kNoReach));
}

TEST_F(GivenLines, BeyondTheElevationsRunAsTheyAreDrawn) {
    const Creeks creeks =
        of({{"A", wkt({at(2500, 6000), at(2500, 3000)})}, {"C", wkt(m_c)}, {"F", wkt({at(-900, 0), at(-800, 0)})}},
           "turn = true\n");
    EXPECT_THAT(ids_of(creeks), ElementsAre("A", "C", "F"));
    EXPECT_THAT(nexts_of(creeks), ElementsAre(1, kNoReach, kNoReach));
    EXPECT_THAT(noted(), HasSubstr("2 lines with an end beyond the elevations: A, F"));
    EXPECT_THAT(warned(), IsEmpty());
}

TEST_F(GivenLines, AreBroughtToTheTerrainsSystem) {
    const Transform to_degrees(crs_from_text("EPSG:32610", "test"), crs_from_text("EPSG:4326", "test"), "test");
    const auto in_degrees = [&](Line line) {
        EXPECT_TRUE(to_degrees.apply(line));
        return wkt(line);
    };
    write_lines({{"A", in_degrees(m_a)}, {"C", in_degrees(m_c)}}, "EPSG:4326");
    open(given());
    const Creeks creeks = made();
    EXPECT_THAT(nexts_of(creeks), ElementsAre(1, kNoReach));
    EXPECT_NEAR(creeks.reaches()[0].line[0].x, m_a[0].x, 1e-3);
    EXPECT_NEAR(creeks.reaches()[0].line[0].y, m_a[0].y, 1e-3);
    EXPECT_NEAR(creeks.reaches()[0].length_m, 1500.0, 1e-2);
}

TEST_F(GivenLines, TellLowFlowsThatAreNoNumbers) {
    const Creeks creeks = of({{"A", wkt(m_a), "", "some"}, {"B", wkt(m_b), "", "-4"}, {"C", wkt(m_c), "", "2,5"}});
    EXPECT_EQ(creeks.reaches()[0].low_flow_lps, std::nullopt);
    EXPECT_EQ(creeks.reaches()[1].low_flow_lps, std::nullopt);
    EXPECT_EQ(creeks.reaches()[2].low_flow_lps, 2.5);
    EXPECT_THAT(warned(), AllOf(HasSubstr("1 stream line with no number in the field \"low\" (streams.low_flow_lps)"),
                                HasSubstr("1 stream line with a number that cannot be meant")));
    EXPECT_THAT(noted(), HasSubstr("decimal comma"));
}

TEST_F(GivenLines, WithoutAnyAreNoCreeks) {
    const Creeks creeks = of({{"dot", "POINT(500100 4000100)"}});
    EXPECT_TRUE(creeks.empty());
    EXPECT_EQ(creeks.ways(), nullptr);
}

// Cells of 2.5 m are led over by fours of a side unless the project asks otherwise.
TEST_F(GivenLines, AreLedToOverAveragedCells) {
    write_ground(200, 200, 2.5,
                 [](double east_m, double north_m) { return 20.0 + 0.05 * north_m + 0.1 * std::abs(east_m - 250.0); });
    write_roof(200.0, 200.0);
    write_lines({{"A", wkt({at(250, 450), at(250, 50)})}});
    open(given());
    const Grid usual = made().ways()->grid();
    EXPECT_EQ(usual.cell_width, 10.0);
    EXPECT_EQ(usual.rows * usual.cols, 50 * 50);
    open(given("routing_cell_m = 2.5\n"));
    EXPECT_EQ(made().ways()->grid().rows, 200);
    open(given("routing_cell_m = 24\n"));
    const Creeks coarse = made();
    EXPECT_EQ(coarse.ways()->grid().cell_width, 22.5);
    EXPECT_EQ(coarse.ways()->grid().rows, 23);  // the last cut by the raster's edge
    EXPECT_EQ(coarse.bytes(), kBytesAReach + 2U * kBytesAPoint);
    EXPECT_EQ(coarse.entry_of(at(101, 301), std::nullopt)->way, EntryWay::flow);
}

// Which cells make one is counted from the raster's corner and not from the roofs: where both reach, two sets of roofs
// see the same.
TEST_F(GivenLines, AreEnteredAlikeWhateverTheRoofsExtent) {
    write_ground(280, 280, 25.0, [](double east_m, double north_m) {
        return 20.0 + 0.05 * north_m + 0.1 * std::abs(east_m - 3500.0) + 3.0 * std::sin(east_m / 90.0 + north_m / 70.0);
    });
    write_lines(
        {{"A", wkt({at(3480, 6500), at(3530, 3500), at(3500, 100)})}, {"B", wkt({at(2500, 6000), at(2480, 200)})}});
    write_roof(3300.0, 3500.0);
    write_roof(3390.0, 3570.0, "others.gpkg");
    open(given("routing_cell_m = 100\n"));
    const Creeks some = made();
    open(given("routing_cell_m = 100\n"), "others.gpkg");
    const Creeks others = made();
    const Grid& grid = some.ways()->grid();
    EXPECT_NE(grid.extent().y_max, others.ways()->grid().extent().y_max);
    EXPECT_EQ(std::fmod(grid.x_min - kWest, 100.0), 0.0);
    EXPECT_EQ(std::fmod(others.ways()->grid().x_min - kWest, 100.0), 0.0);
    int by_flow = 0;
    for (int row = 0; row < 120; ++row) {
        for (int col = 0; col < 120; ++col) {
            const Point place = at(2000.0 + 23.0 * col, 3400.0 + 14.0 * row);
            const auto a = some.entry_of(place, std::nullopt);
            const auto b = others.entry_of(place, std::nullopt);
            ASSERT_TRUE(a && b);
            EXPECT_EQ(a->reach, b->reach);
            EXPECT_EQ(a->way, b->way);
            EXPECT_EQ(a->distance_m, b->distance_m);
            by_flow += a->way == EntryWay::flow ? 1 : 0;
        }
    }
    EXPECT_GT(by_flow, 10000);
}

// Blocks of the file are no multiple of what is averaged; some are decoded by others before, some never.
TEST_F(GivenLines, AreLedToAlikeWhoeverDecodesTheGround) {
    testing::RasterSpec spec;
    spec.rows = 150;
    spec.cols = 170;
    spec.transform = {kWest, 2.5, 0.0, kSouth + 375.0, 0.0, -2.5};
    std::vector<double>& values = spec.bands.emplace_back();
    for (int i = 0; i < 150 * 170; ++i) {
        values.push_back(50.0 - 0.1 * static_cast<double>(i / 170) + 0.2 * std::abs(i % 170 - 85) +
                         2.0 * std::sin(static_cast<double>(i)));
    }
    spec.type = GDT_Float32;
    spec.options = {"COMPRESS=DEFLATE", "PREDICTOR=3", "TILED=YES", "BLOCKXSIZE=64", "BLOCKYSIZE=64"};
    testing::write_raster(m_folder.file("dem.tif"), spec);
    write_roof(200.0, 200.0);
    write_lines({{"A", wkt({at(212, 360), at(212, 10)})}});
    open(given("routing_cell_m = 7.5\n"));
    const Creeks at_once = made();
    ASSERT_NE(at_once.ways(), nullptr);
    open(given("routing_cell_m = 7.5\n"));
    Progress progress(ProgressStyle::none);
    Creeks later = make_reaches(m_project, m_inputs, {}, m_findings, progress);
    EXPECT_EQ(later.ways(), nullptr);
    EXPECT_EQ(later.led_cells(), 50U * 57U);
    EXPECT_EQ(later.entry_of(at(100, 100), std::nullopt)->way, EntryWay::nearest);
    WaterLeading leading(m_project, m_inputs, {}, later);
    RasterSource other = m_inputs.raster_sources.at("terrain.elevation").another();
    bool damaged = false;
    (void)other.read({100, 150, 0, 100}, damaged);
    leading.finish(m_findings, progress);
    EXPECT_EQ(m_inputs.blocks->counts().decoded, 9U);
    EXPECT_EQ(m_inputs.blocks->counts().again, 0U);
    ASSERT_NE(later.ways(), nullptr);
    EXPECT_EQ(later.bytes(), at_once.bytes());
    for (int row = 0; row < 50; ++row) {
        for (int col = 0; col < 57; ++col) {
            const Point place = at(7.5 * col + 3.0, 7.5 * row + 3.0);
            const auto a = at_once.entry_of(place, std::nullopt);
            const auto b = later.entry_of(place, std::nullopt);
            ASSERT_TRUE(a && b);
            EXPECT_EQ(a->way, b->way);
            EXPECT_EQ(a->distance_m, b->distance_m);
        }
    }
}

TEST_F(GivenLines, OverTooManyCellsAreAnInputError) {
    write_lines({{"A", wkt(m_a)}});
    open(given("routing_cell_m = 0.1\n"));
    m_inputs.rasters["terrain.elevation"].grid = {kWest, kSouth + 5000.0, 0.1, 0.1, 50000, 50000};
    expect_input_error([&] { (void)look_at_creeks(m_project, m_inputs, m_findings); },
                       {"dem.tif", "at most 1000000000", "streams.routing_cell_m", "streams.entry = \"nearest\""});
    open(given("entry = \"nearest\"\n"));
    EXPECT_EQ(made().reaches().size(), 1U);
}

}  // namespace
}  // namespace eaveshed
