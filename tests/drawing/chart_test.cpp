// Charts put values where their axes say, and their bars add up.
#include "eaveshed/drawing/chart.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numeric>
#include <regex>

#include "eaveshed/core/error.hpp"
#include "eaveshed/drawing/colours.hpp"
#include "eaveshed/drawing/marked_text.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;

const DrawingWords kWords{.id = "chart", .title = "A chart", .description = "of numbers"};

TEST(Axis, EndsAtTheNextRoundNumber) {
    EXPECT_DOUBLE_EQ(Axis::numbers("m3", 0.0, 43.0).to, 45.0);
    EXPECT_DOUBLE_EQ(Axis::numbers("m3", 0.0, 45.0).to, 45.0);
    EXPECT_DOUBLE_EQ(Axis::numbers("m3", 0.0, 0.0).to, 1.0);
    EXPECT_DOUBLE_EQ(Axis::numbers("parcels", 0.0, 2.0, true).to, 2.0);
}

TEST(Chart, PutsValuesInProportionBetweenItsAxes) {
    Chart chart(kWords, {}, Axis::numbers("x", 0.0, 10.0), Axis::numbers("y", 0.0, 100.0));
    const Point origin = chart.place({0.0, 0.0});
    const Point middle = chart.place({5.0, 50.0});
    const Point end = chart.place({10.0, 100.0});
    EXPECT_NEAR(middle.x, (origin.x + end.x) / 2.0, 1e-9);
    EXPECT_NEAR(middle.y, (origin.y + end.y) / 2.0, 1e-9);
    EXPECT_LT(end.y, origin.y);
    EXPECT_GT(origin.x, 0.0);
    EXPECT_LT(end.x, 82.0);
}

// The drawing is cut off at its own width: 30000 at the axis' end would be read as 3000.
TEST(Chart, TheLastNumberOfAnAxisStandsInsideTheDrawing) {
    Chart chart(kWords, {}, Axis::numbers("x", 0.0, 30000.0), Axis::numbers("y", 0.0, 1.0));
    const double end = chart.place({30000.0, 0.0}).x;
    EXPECT_LE(end + 0.5 * text_width("30000", 2.9), 82.0 + 1e-9);
}

TEST(Chart, NamesAreWrittenSoSmallThatTheyDoNotTouch) {
    const std::vector<std::string> months{"Nov", "Dec", "Jan", "Feb", "Mar", "Apr",
                                          "May", "Jun", "Jul", "Aug", "Sep", "Oct"};
    Chart chart(kWords, {.width = 60.0, .height = 40.0, .keys = false}, Axis::named(months),
                Axis::numbers("y", 0.0, 1.0));
    const double place = chart.place({1.0, 0.0}).x - chart.place({0.0, 0.0}).x;
    const std::regex name("font-size=\"([0-9.]+)\"[^>]*>Nov</text>");
    const std::string element = chart.element();
    std::smatch found;
    ASSERT_TRUE(std::regex_search(element, found, name)) << element;
    EXPECT_LT(text_width("Nov", std::stod(found[1])), place);
}

TEST(Chart, TitlesAndNamesStayText) {
    Chart chart({.id = "c", .title = "<b>", .description = "<i>"}, {}, Axis::named({"<script>", "b"}, "<x>"),
                Axis::numbers("<y>", 0.0, 1.0));
    chart.key("<key>", colour::kBlue);
    chart.mark({0.5, 0.5}, Symbol::circle, colour::kBlue, "<mark>");
    chart.level(1.0, "<word>");
    for (const char* word : {"<b>", "<i>", "<script>", "<x>", "<y>", "<key>", "<mark>", "<word>"}) {
        EXPECT_THAT(chart.element(), Not(HasSubstr(word)));
    }
    EXPECT_THAT(chart.element(), HasSubstr("&lt;script&gt;"));
}

TEST(Chart, AStepIsFlatUntilTheNextPoint) {
    Chart chart(kWords, {}, Axis::numbers("x", 0.0, 10.0), Axis::numbers("y", 0.0, 10.0));
    const std::vector<Point> points{{0.0, 2.0}, {5.0, 8.0}};
    chart.line(points, {.stroke = colour::kBlue}, true);
    const Point from = chart.place({0.0, 2.0});
    const Point corner = chart.place({5.0, 2.0});
    const Point to = chart.place({5.0, 8.0});
    const std::vector<Point> expected{from, corner, to};
    EXPECT_THAT(chart.element(), HasSubstr(path_data(expected, false)));
}

TEST(Chart, ABarIsAsHighAsItsValueAndAPlaceWithoutOneIsEmpty) {
    Chart one(kWords, {}, Axis::named({"a", "b"}), Axis::numbers("", 0.0, 10.0));
    Chart none(kWords, {}, Axis::named({"a", "b"}), Axis::numbers("", 0.0, 10.0));
    const std::vector<std::optional<double>> heights{5.0, std::nullopt};
    const std::vector<std::optional<double>> empty(2);
    one.bars(heights, colour::kGreen);
    none.bars(empty, colour::kGreen);
    EXPECT_THAT(one.element(), HasSubstr(std::string("fill=\"") + colour::kGreen));
    EXPECT_THAT(none.element(), Not(HasSubstr(colour::kGreen)));
}

TEST(Chart, AnAxisOfNoLengthIsABrokenInvariant) {
    EXPECT_THROW(Chart(kWords, {}, Axis{.to = 0.0}, Axis{}), Error);
}

TEST(Histogram, CountsEachValueOnceAndTheLastEdgeToo) {
    const std::vector<double> edges{0.0, 1.0, 2.0, 3.0};
    const std::vector<double> values{0.0, 0.99, 1.0, 2.5, 3.0, 3.01, -0.1};
    EXPECT_THAT(counts_between(edges, values), ElementsAre(2.0, 1.0, 2.0));
    EXPECT_TRUE(counts_between(std::vector<double>{1.0}, values).empty());
}

TEST(LyingBars, NameTheirRowsAndGiveNothingALength) {
    const std::vector<LyingBar> bars{{"creek <1>", 10.0, "10 m3", colour::kBlue}, {"well", 0.0, "0 m3", colour::kBlue}};
    const std::string element = lying_bars(kWords, 80.0, bars);
    EXPECT_THAT(element, HasSubstr("creek &lt;1&gt;"));
    EXPECT_THAT(element, HasSubstr("10 m3"));
}

}  // namespace
}  // namespace eaveshed
