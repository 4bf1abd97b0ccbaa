// The sentence that a landowner redoes with a pocket calculator.
#include "eaveshed/property/hand_sum.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <regex>
#include <sstream>

#include "property/samples.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;

RoofRow roof_row(const std::string& id, double area_m2, double rain_mm, double coefficient, double connected,
                 double flush_m3) {
    RoofRow row;
    row.roof_id = id;
    row.plan_area_m2 = area_m2;
    row.fill_rain_mm = rain_mm;
    row.runoff_coefficient = coefficient;
    row.connected_share = connected;
    row.first_flush_m3 = flush_m3;
    return row;
}

// Half of the last printed digit.
double half_digit(const std::string& number) {
    const std::size_t point = number.find('.');
    return 0.5000001 * std::pow(10.0, point == std::string::npos ? 0.0 : -double(number.size() - point - 1));
}

// Reads every "a x b ... = c" of a text and multiplies: the product is c to its last printed digit.
int products_that_hold(const std::string& text) {
    const std::regex number("[0-9]+(\\.[0-9]+)?");
    std::stringstream sentences(text);
    std::string part;
    int held = 0;
    while (std::getline(sentences, part, ';')) {
        const std::size_t equals = part.find(" = ");
        const std::size_t first = part.find(" of roof x ");
        if (equals == std::string::npos || first == std::string::npos) {
            continue;
        }
        double product = 1.0;
        // The name of a roof and what units say are no factors: a factor stands at the start or after " x ".
        std::string left = part.substr(0, equals);
        if (const std::size_t colon = left.find(": "); colon != std::string::npos) {
            left = left.substr(colon + 2);
        }
        std::size_t from = 0;
        while (from != std::string::npos) {
            std::smatch found;
            const std::string rest = left.substr(from);
            EXPECT_TRUE(std::regex_search(rest, found, number)) << rest;
            product *= std::stod(found.str());
            const std::size_t next = left.find(" x ", from);
            from = next == std::string::npos ? next : next + 3;
        }
        std::smatch result;
        const std::string right = part.substr(equals + 3);
        EXPECT_TRUE(std::regex_search(right, result, number));
        EXPECT_NEAR(product, std::stod(result.str()), half_digit(result.str())) << part;
        ++held;
    }
    return held;
}

// "(a - b) x c = d" at the end.
void expect_last_step(const std::string& text) {
    const std::regex step("\\(([0-9.]+) - ([0-9.]+)\\) x ([0-9.]+) = ([0-9.]+) ");
    std::smatch found;
    ASSERT_TRUE(std::regex_search(text, found, step)) << text;
    EXPECT_NEAR((std::stod(found[1]) - std::stod(found[2])) * std::stod(found[3]), std::stod(found[4]),
                half_digit(found[4]))
        << text;
}

TEST(HandSum, OfOneRoofIsThatOnPaper) {
    const std::vector<RoofRow> roofs{roof_row("R1", 150.0, 1100.0, 0.85, 0.75, 4.5)};
    const auto sum = hand_sum(roofs, 0.95, OutputUnits::si);
    ASSERT_TRUE(sum);
    // 150 x 1.1 x 0.85 x 0.75 = 105.1875; (105.2 - 4.5) x 0.95 = 95.665
    EXPECT_EQ(
        hand_sentence(*sum),
        "150.0 m2 of roof x 1.100 m of rain x 0.85 that runs off x 0.75 that reaches the downspouts = 105.2 m3; less "
        "4.5 m3 of first flush, and what is lost on the way: (105.2 - 4.5) x 0.95 = 95.7 m3 in a mean winter.");
}

TEST(HandSum, PrintedNumbersGiveThePrintedResultInBothUnits) {
    testing::RandomNumbers random(23);
    for (int world = 0; world < 200; ++world) {
        std::vector<RoofRow> roofs;
        const int count = random.whole(1, 4);
        for (int i = 0; i < count; ++i) {
            roofs.push_back(roof_row("R 7." + std::to_string(i), random.between(20.0, 900.0),
                                     random.between(50.0, 2500.0), 0.35 + 0.01 * random.whole(0, 60),
                                     random.between(0.2, 1.0), random.between(0.0, 3.0)));
        }
        for (const OutputUnits units : {OutputUnits::si, OutputUnits::us}) {
            const auto sum = hand_sum(roofs, 0.95, units);
            const std::string text = hand_sentence(*sum);
            EXPECT_EQ(products_that_hold(text), count) << text;
            expect_last_step(text);
        }
    }
}

// harvest = efficiency x (runoff - first flush) in every step, so the sum by hand is the column to rounding.
TEST(HandSum, ComesToTheMeanHarvestOfTheProperty) {
    SampleProperty sample;
    const Property property = sample.made();
    ASSERT_TRUE(property.hand_sum);
    EXPECT_EQ(property.hand_sum->roofs.size(), sample.found.members.size());
    EXPECT_NEAR(property.hand_sum->harvest.value, *property.row.harvest_mean_m3,
                0.002 * *property.row.harvest_mean_m3 + 0.1);
    sample.settings.output.units = OutputUnits::us;
    const Property in_us = sample.made();
    const double gal = *property.row.harvest_mean_m3 / 0.003785411784;
    EXPECT_NEAR(in_us.hand_sum->harvest.value, gal, 0.002 * gal);
    EXPECT_THAT(hand_sentence(*in_us.hand_sum), HasSubstr("0.6234 gal a ft2 and in"));
}

TEST(HandSum, WithoutConnectedRoofsIsNone) {
    EXPECT_FALSE(hand_sum({}, 0.95, OutputUnits::si));
}

}  // namespace
}  // namespace eaveshed
