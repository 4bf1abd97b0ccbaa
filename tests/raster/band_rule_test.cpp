#include "eaveshed/raster/band_rule.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace eaveshed {
namespace {

TEST(BandRule, ScalesWhatIsThereAndMarksWhatIsNot) {
    const BandRule rule{
        .storage = BandRule::Storage::integer, .nodata = -9999.0, .nodata_too = {}, .scale = 0.1, .offset = 5.0};
    EXPECT_EQ(rule.value(20.0), 20.0 * 0.1 + 5.0);
    EXPECT_TRUE(std::isnan(rule.value(-9999.0)));
    EXPECT_EQ(rule.value(-9998.0), -9998.0 * 0.1 + 5.0);
}

TEST(BandRule, KnowsTwoMarksAndNumbersThatAreNotFinite) {
    const BandRule rule{.nodata = -1.0, .nodata_too = -2.0};
    for (const double stored : {-1.0, -2.0, std::numeric_limits<double>::infinity(), std::nan("")}) {
        EXPECT_TRUE(rule.is_missing(stored)) << stored;
    }
    EXPECT_FALSE(rule.is_missing(0.0));
}

TEST(BandRule, MeetsAMarkOfSinglePrecisionThroughItsRounding) {
    const BandRule rule{.storage = BandRule::Storage::float32, .nodata = -3.4028234663852886e38, .nodata_too = {}};
    EXPECT_TRUE(rule.is_missing(static_cast<double>(std::numeric_limits<float>::lowest())));
    EXPECT_TRUE(rule.is_missing(-3.4e38));  // from 1e30 on every number of its sign that large
    EXPECT_FALSE(rule.is_missing(3.4e38));
    EXPECT_FALSE(rule.is_missing(-100.0));
}

TEST(BandRule, MarksManyAsItMarksOne) {
    const BandRule rule{.storage = BandRule::Storage::float32, .nodata = -9999.0, .nodata_too = 7.0};
    std::vector<float> single{1.0F, -9999.0F, 7.0F, std::numeric_limits<float>::infinity(), -3.0F};
    std::vector<double> whole(single.begin(), single.end());
    const std::vector<double> stored = whole;
    rule.mark_missing(single);
    rule.mark_missing(whole);
    for (std::size_t i = 0; i < stored.size(); ++i) {
        EXPECT_EQ(std::isnan(single[i]), rule.is_missing(stored[i])) << stored[i];
        EXPECT_EQ(std::isnan(whole[i]), rule.is_missing(stored[i])) << stored[i];
    }
    EXPECT_EQ(whole[4], -3.0);
}

}  // namespace
}  // namespace eaveshed
