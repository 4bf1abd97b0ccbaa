#include "eaveshed/offer/enrolment.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numeric>

#include "run/run_project.hpp"
#include "support/edit_file.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using testing::OutputFile;
using testing::TempFolder;

class EnrolmentOfTheDemo : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        screened(demo_project(), file());
    }
    static void TearDownTestSuite() { delete s_folder; }
    static std::string file() { return s_folder->file("demo.gpkg"); }
    static std::string edited(const std::string& name, const std::vector<std::string>& statements) {
        std::filesystem::copy_file(file(), s_folder->file(name));
        testing::edit_file(s_folder->file(name), statements);
        return s_folder->file(name);
    }
    static Enrolment asked(const EnrolRequest& request) {
        Findings findings;
        return enrolment(request, findings);
    }
    static inline TempFolder* s_folder = nullptr;
};

TEST_F(EnrolmentOfTheDemo, APlanKeepsToItsBudgetAndItsSumsAreThoseOfItsParcels) {
    double before = 0.0;
    for (const double budget : {0.0, 20000.0, 90000.0, 400000.0, 1e9}) {
        const Enrolment found = asked({file(), budget, std::nullopt});
        double cost = 0.0;
        double gain = found.enrolled_gain_lps;
        for (const std::size_t offer : found.plan.chosen) {
            cost += found.offers[offer].cost;
            gain += found.offers[offer].gain_lps;
        }
        EXPECT_LE(cost, budget + 0.005 * static_cast<double>(found.plan.chosen.size()));
        EXPECT_NEAR(found.plan.cost, cost, 0.005 * static_cast<double>(found.offers.size()));
        EXPECT_NEAR(found.plan.gain_lps, gain, 1e-6);
        EXPECT_TRUE(found.plan.proven);
        EXPECT_GE(found.plan.gain_lps, before);
        before = found.plan.gain_lps;
    }
}

TEST_F(EnrolmentOfTheDemo, EveryCandidateIsAccountedFor) {
    const Enrolment found = asked({file(), 1e5, std::nullopt});
    const OutputFile output(file());
    EXPECT_EQ(std::to_string(found.offers.size() + found.without_gain + found.without_price),
              output.text("SELECT COUNT(*) FROM parcels WHERE rank IS NOT NULL"));
    EXPECT_EQ(std::to_string(found.enrolled),
              output.text("SELECT COUNT(*) FROM parcels WHERE contact_status = 'enrolled'"));
    EXPECT_EQ(found.curve.size(), found.offers.size());
    EXPECT_EQ(enrolment_table(found).rows.size(), found.offers.size());
}

TEST_F(EnrolmentOfTheDemo, ATargetIsReachedForNoMoreThanTheBudgetThatReachesIt) {
    const Enrolment by_budget = asked({file(), 200000.0, std::nullopt});
    const Enrolment by_target = asked({file(), std::nullopt, by_budget.plan.gain_lps});
    EXPECT_TRUE(by_target.plan.reached);
    EXPECT_LE(by_target.plan.cost, by_budget.plan.cost + 1e-9);
    EXPECT_GE(by_target.plan.gain_lps, by_budget.plan.gain_lps - 1e-9);
    const Enrolment too_much = asked({file(), std::nullopt, 1000.0});
    EXPECT_FALSE(too_much.plan.reached);
    EXPECT_THAT(enrolment_text(too_much, {file(), std::nullopt, 1000.0}), HasSubstr("out of reach"));
}

TEST_F(EnrolmentOfTheDemo, WhatIsEnrolledAlreadyCountsAsPresentAndIsNotOfferedAgain) {
    const Enrolment before = asked({file(), 0.0, std::nullopt});
    const Offer first = before.offers.front();
    const std::string copy = edited(
        "more.gpkg", {"UPDATE parcels SET contact_status = 'enrolled' WHERE parcel_id = '" + first.parcel_id + "'"});
    const Enrolment after = asked({copy, 0.0, std::nullopt});
    EXPECT_EQ(after.offers.size() + 1, before.offers.size());
    EXPECT_NEAR(after.plan.gain_lps, before.plan.gain_lps + first.gain_lps, 1e-8);
}

TEST_F(EnrolmentOfTheDemo, WithoutPricesTheRemedyIsTold) {
    const std::string copy = edited("no_price.gpkg", {"UPDATE parcels SET cost = NULL"});
    testing::expect_error([&] { asked({copy, 1e5, std::nullopt}); }, Fault::input, {"[cost]", "[[tanks]]"});
}

}  // namespace
}  // namespace eaveshed
