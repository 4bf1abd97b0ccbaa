#include "eaveshed/core/finding.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

TEST(Findings, AreKeptInTheirOrderAndCountedBySeverity) {
    Findings findings;
    findings.warn({"dem.tif", "cells of 90 m", "5 m or less", "read it as a first guess"});
    findings.error({"rain.tif", "no unit", "mm, cm, m or in", "give rain.unit"});
    findings.note({"roads.source", "", "", "no effect"});
    findings.add({Severity::warning, {"parcels", "2 without a polygon", "", ""}});
    EXPECT_EQ(findings.count(Severity::error), 1U);
    EXPECT_EQ(findings.count(Severity::warning), 2U);
    EXPECT_EQ(findings.count(Severity::note), 1U);
    ASSERT_EQ(findings.list().size(), 4U);
    EXPECT_EQ(findings.list().front().trouble.where, "dem.tif");
    EXPECT_EQ(findings.list().back().trouble.where, "parcels");
}

}  // namespace
}  // namespace eaveshed
