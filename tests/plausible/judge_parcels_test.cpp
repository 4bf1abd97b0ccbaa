// At each bound nothing is told, just beyond it the check is.
#include "eaveshed/plausible/parcel_sample.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <functional>
#include <limits>
#include <string>
#include <vector>

#include "eaveshed/plausible/judge_roofs.hpp"

namespace eaveshed {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

using SetValue = std::function<void(ParcelSample&, double)>;

std::vector<ParcelSample> parcels(std::size_t count, const SetValue& set, double value) {
    std::vector<ParcelSample> sample(count);
    for (std::size_t i = 0; i < count; ++i) {
        sample[i].id = "P" + std::to_string(i);
        set(sample[i], value);
    }
    return sample;
}

Findings judged(const std::vector<ParcelSample>& sample) {
    Findings findings;
    judge_parcels(sample, "parcels", findings);
    return findings;
}

std::vector<CheckCode> codes(const std::vector<ParcelSample>& sample) {
    std::vector<CheckCode> codes;
    const Findings findings = judged(sample);
    for (const Finding& finding : findings.list()) {
        codes.push_back(finding.code.value());
    }
    return codes;
}

struct Bounded {
    CheckCode code;
    SetValue set;
};

const std::vector<Bounded> kBounded{
    {CheckCode::people_many, [](ParcelSample& one, double value) { one.people = value; }},
    {CheckCode::gardens_small, [](ParcelSample& one, double value) { one.garden_m2 = value; }},
    {CheckCode::gardens_large,
     [](ParcelSample& one, double value) {
         one.garden_m2 = value;
         one.open_m2 = 1.0;
     }},
    {CheckCode::season_use_large, [](ParcelSample& one, double value) { one.season_use_m3 = value; }},
    {CheckCode::season_use_deep,
     [](ParcelSample& one, double value) {
         one.season_use_m3 = value;
         one.garden_m2 = 1.0;
     }},
    {CheckCode::tanks_large, [](ParcelSample& one, double value) { one.tank_m3 = value; }},
    {CheckCode::pumps_large, [](ParcelSample& one, double value) { one.pump_lps = value; }},
    {CheckCode::stream_distances,
     [](ParcelSample& one, double value) {
         one.stream_m = value;
         one.line_m = 1.0;
     }},
};

TEST(JudgeParcels, NothingIsToldAtABoundAndTheCheckJustBeyondIt) {
    std::size_t bounds = 0;
    for (const auto& [code, set] : kBounded) {
        const CheckRule& rule = rule_of(code);
        const std::array both{std::pair(rule.low, 0.0), std::pair(rule.high, 1e9)};
        for (const auto& [bound, towards] : both) {
            if (bound == 0.0) {
                continue;
            }
            ++bounds;
            EXPECT_THAT(codes(parcels(9, set, bound)), Not(Contains(code))) << rule.code << ' ' << bound;
            EXPECT_THAT(codes(parcels(9, set, std::nextafter(bound, towards))), Contains(code)) << rule.code;
        }
    }
    EXPECT_EQ(bounds, 9U);
}

TEST(JudgeParcels, TheMiddleValueDecidesAndTheShareOfThoseWithAValueIsTold) {
    auto sample = parcels(9, kBounded[0].set, 4.0);
    for (std::size_t i = 0; i < 4; ++i) {
        sample[i].people = 250.0;
    }
    EXPECT_THAT(codes(sample), IsEmpty());
    sample[4].people = 300.0;
    sample[8].people.reset();
    const Findings findings = judged(sample);
    ASSERT_EQ(findings.list().size(), 1U);
    EXPECT_EQ(findings.list()[0].trouble.found,
              "people of 250 in the middle; so are 62 % of 8 parcels looked at, such as \"P2\" (250)");
    EXPECT_EQ(findings.list()[0].trouble.wanted, "15 or less");
}

TEST(JudgeParcels, TheRulesShareDecidesOfGardensBeyondTheOpenGround) {
    auto sample = parcels(10, kBounded[2].set, 100.0);
    for (std::size_t i = 0; i < 10; ++i) {
        sample[i].open_m2 = i < 2 ? 50.0 : 200.0;
    }
    EXPECT_THAT(codes(sample), IsEmpty()) << "two of ten are too few";
    sample[2].open_m2 = 50.0;
    const Findings findings = judged(sample);
    ASSERT_EQ(findings.list().size(), 1U);
    EXPECT_THAT(findings.list()[0].trouble.found,
                HasSubstr("30 % of 10 parcels looked at, such as \"P1\" (2 times the open ground)"));
}

TEST(JudgeParcels, AFewParcelsDoNotMakeItSpeak) {
    EXPECT_THAT(codes(parcels(kLeastJudged - 1, kBounded[0].set, 250.0)), IsEmpty());
    EXPECT_THAT(codes(parcels(kLeastJudged, kBounded[0].set, 250.0)), Contains(CheckCode::people_many));
}

}  // namespace
}  // namespace eaveshed
