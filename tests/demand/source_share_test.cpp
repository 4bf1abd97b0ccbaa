// method.md 4.10, 4.11: source share and stream depletion.
#include "eaveshed/demand/source_share.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>
#include <optional>

namespace eaveshed {
namespace {

struct Row {
    double time_ratio;    // t / (d2 S / T)
    double rate_share;    // q/Q
    double volume_share;  // v/Qt
};

// Jenkins 1968, Computation of rate and volume of stream depletion by wells, USGS Techniques of Water-Resources
// Investigations book 4 chapter D1, table 1 (read as appendix 7 of Hiscock, Hydrogeology: principles and practice).
constexpr std::array<Row, 22> kJenkins{{
    {0.07, 0.008, 0.001},  {0.10, 0.025, 0.006},  {0.15, 0.068, 0.019}, {0.20, 0.114, 0.037}, {0.30, 0.197, 0.077},
    {0.40, 0.264, 0.115},  {0.50, 0.317, 0.151},  {0.60, 0.361, 0.182}, {0.70, 0.398, 0.211}, {0.80, 0.429, 0.236},
    {0.90, 0.456, 0.259},  {1.0, 0.480, 0.280},   {1.5, 0.564, 0.362},  {2.0, 0.617, 0.419},  {3.0, 0.683, 0.497},
    {5.0, 0.752, 0.587},   {10.0, 0.823, 0.690},  {20.0, 0.874, 0.772}, {30.0, 0.897, 0.810}, {50.0, 0.920, 0.850},
    {100.0, 0.944, 0.892}, {600.0, 0.977, 0.955},
}};

// d2 S / T = 10 days.
constexpr double kDistance_m = 100.0;
constexpr double kTransmissivity_m2_day = 200.0;
constexpr double kStorage = 0.2;

TEST(StreamDepletion, GivesJenkinssTable) {
    for (const Row& row : kJenkins) {
        EXPECT_NEAR(stream_depletion_share(kDistance_m, kTransmissivity_m2_day, kStorage, 10.0 * row.time_ratio),
                    row.volume_share, 0.0006)
            << row.time_ratio;
    }
}

// The table's other column checks that it is read aright: q/Q = erfc(sqrt(s / (4 t))).
TEST(StreamDepletion, TheTablesRatesAreThoseOfTheSameAquifer) {
    for (const Row& row : kJenkins) {
        EXPECT_NEAR(std::erfc(std::sqrt(1.0 / (4.0 * row.time_ratio))), row.rate_share, 0.0006) << row.time_ratio;
        EXPECT_LT(row.volume_share, row.rate_share);
    }
}

// The volume is the rate added up: the integral of erfc(sqrt(s / (4 t))) over the time of pumping (Glover and Balmer
// 1954), divided by that time. Derived, by the midpoint rule.
TEST(StreamDepletion, IsTheIntegralOfTheRate) {
    for (const double days : {1.0, 5.0, 10.0, 92.0, 1000.0}) {
        const int parts = 20000;
        double sum = 0.0;
        for (int i = 0; i < parts; ++i) {
            const double t = days * (i + 0.5) / parts;
            sum += std::erfc(std::sqrt(10.0 / (4.0 * t)));
        }
        EXPECT_NEAR(stream_depletion_share(kDistance_m, kTransmissivity_m2_day, kStorage, days), sum / parts, 1e-6);
    }
}

TEST(StreamDepletion, IsAllAtTheStreamAndNothingFarAway) {
    EXPECT_EQ(stream_depletion_share(0.0, 200.0, 0.2, 92.0), 1.0);
    EXPECT_EQ(stream_depletion_share(1e9, 200.0, 0.2, 92.0), 0.0);
    EXPECT_EQ(stream_depletion_share(1e200, 200.0, 0.2, 92.0), 0.0);
    EXPECT_NEAR(stream_depletion_share(1e-9, 200.0, 0.2, 92.0), 1.0, 1e-9);
}

TEST(StreamDepletion, FallsWithDistanceAndStorageAndGrowsWithTimeAndTransmissivity) {
    double last = 1.0;
    for (double distance = 0.0; distance < 3000.0; distance += 1.0) {
        const double now = stream_depletion_share(distance, 200.0, 0.2, 92.0);
        ASSERT_GE(now, 0.0);
        ASSERT_LE(now, last + 1e-15);
        last = now;
    }
    EXPECT_LT(stream_depletion_share(300.0, 200.0, 0.25, 92.0), stream_depletion_share(300.0, 200.0, 0.2, 92.0));
    EXPECT_GT(stream_depletion_share(300.0, 250.0, 0.2, 92.0), stream_depletion_share(300.0, 200.0, 0.2, 92.0));
    EXPECT_GT(stream_depletion_share(300.0, 200.0, 0.2, 100.0), stream_depletion_share(300.0, 200.0, 0.2, 92.0));
}

constexpr double kShallow = 0.5;  // where not all is known of a shallow well

SourceShare share_of(WaterSource source, std::optional<double> given = {}, const WellSetting& well = {}) {
    return source_share(source, given, well, kShallow, 92.0);
}

TEST(SourceShare, FollowsTheClass) {
    EXPECT_EQ(share_of(WaterSource::creek).share, 1.0);
    EXPECT_EQ(share_of(WaterSource::spring).share, 1.0);
    EXPECT_EQ(share_of(WaterSource::shallow_well).share, 0.5);
    EXPECT_EQ(share_of(WaterSource::deep_well).share, 0.0);
    EXPECT_EQ(share_of(WaterSource::mains).share, 0.0);
    EXPECT_EQ(share_of(WaterSource::unknown).share, 0.0);
    EXPECT_EQ(from_text<WaterSource>("creek"), WaterSource::creek);
    EXPECT_EQ(from_text<WaterSource>("shallow_well"), WaterSource::shallow_well);
    EXPECT_EQ(from_text<WaterSource>("unknown"), WaterSource::unknown);
    EXPECT_FALSE(from_text<WaterSource>("Creek"));
    EXPECT_FALSE(from_text<WaterSource>(""));
    EXPECT_EQ(to_text(WaterSource::deep_well), "deep_well");
}

TEST(SourceShare, AGivenShareComesFirst) {
    const WellSetting well{100.0, 200.0, 0.2};
    EXPECT_EQ(share_of(WaterSource::shallow_well, 0.4, well).share, 0.4);
    EXPECT_EQ(share_of(WaterSource::shallow_well, 0.4).basis, ShareBasis::given);  // nothing is assumed
    EXPECT_EQ(share_of(WaterSource::mains, 1.0).share, 1.0);
    EXPECT_EQ(share_of(WaterSource::creek, 0.0).share, 0.0);
    EXPECT_FALSE(share_of(WaterSource::unknown, 0.4).unknown);
    EXPECT_TRUE(share_of(WaterSource::unknown).unknown);
    EXPECT_FALSE(share_of(WaterSource::mains).unknown);
}

TEST(SourceShare, AGivenShareThatIsNoShareIsPassedOver) {
    for (const double value : {-0.1, 1.1, std::numeric_limits<double>::quiet_NaN()}) {
        EXPECT_EQ(share_of(WaterSource::creek, value).share, 1.0);
        EXPECT_EQ(share_of(WaterSource::shallow_well, value).basis, ShareBasis::assumed_well);
    }
}

TEST(SourceShare, OfAShallowWellNeedsAllThreeValuesForTheFormulaAndIsAssumedWithoutThem) {
    const double share = stream_depletion_share(100.0, 200.0, 0.2, 92.0);
    const SourceShare known = share_of(WaterSource::shallow_well, {}, {100.0, 200.0, 0.2});
    EXPECT_EQ(known.share, share);
    EXPECT_EQ(known.basis, ShareBasis::well);
    for (const WellSetting& well : {WellSetting{std::nullopt, 200.0, 0.2}, WellSetting{100.0, std::nullopt, 0.2},
                                    WellSetting{100.0, 200.0, std::nullopt}, WellSetting{100.0, 0.0, 0.2},
                                    WellSetting{100.0, 200.0, 0.0}, WellSetting{-1.0, 200.0, 0.2}, WellSetting{}}) {
        const SourceShare assumed = share_of(WaterSource::shallow_well, {}, well);
        EXPECT_EQ(assumed.share, kShallow);
        EXPECT_EQ(assumed.basis, ShareBasis::assumed_well);
        EXPECT_FALSE(assumed.unknown);
    }
    EXPECT_EQ(share_of(WaterSource::deep_well, {}, {100.0, 200.0, 0.2}).share, 0.0);
    EXPECT_EQ(share_of(WaterSource::creek, {}, {100.0, 200.0, 0.2}).share, 1.0);
    EXPECT_EQ(share_of(WaterSource::creek).basis, ShareBasis::source_class);
}

}  // namespace
}  // namespace eaveshed
