#include "eaveshed/offer/enrolment.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "run/run_project.hpp"
#include "support/edit_file.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;
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

// The same, of the sizes chosen by the screening alone.
EnrolRequest of_chosen(EnrolRequest request) {
    request.sizes = OfferedSizes::chosen;
    return request;
}
EnrolRequest of_volume(EnrolRequest request) {
    request.wanted = PlanFor::volume;
    return request;
}

TEST_F(EnrolmentOfTheDemo, APlanKeepsToItsBudgetAndItsSumsAreThoseOfItsSizes) {
    double before = 0.0;
    for (const double budget : {0.0, 20000.0, 90000.0, 400000.0, 1e9}) {
        const Enrolment found = asked({file(), budget, std::nullopt});
        double cost = 0.0;
        double gain = found.enrolled_gain;
        std::set<std::string> parcels;
        for (const std::size_t offer : found.plan.chosen) {
            cost += found.offers[offer].cost;
            gain += found.offers[offer].gain_lps;
            EXPECT_TRUE(parcels.insert(found.offers[offer].parcel_id).second);
        }
        EXPECT_LE(cost, budget + 0.005 * static_cast<double>(found.plan.chosen.size()));
        EXPECT_NEAR(found.plan.cost, cost, 0.005 * static_cast<double>(found.offers.size()));
        EXPECT_NEAR(found.plan.gain, gain, 1e-6);
        EXPECT_TRUE(found.plan.proven);
        EXPECT_GE(found.plan.gain, before);
        before = found.plan.gain;
    }
}

TEST_F(EnrolmentOfTheDemo, AnySizeNeverGivesLessThanTheChosenOnes) {
    int better = 0;
    for (const double budget : {5000.0, 20000.0, 90000.0, 400000.0}) {
        const EnrolRequest request{file(), budget, std::nullopt};
        const Enrolment any = asked(request);
        const Enrolment chosen = asked(of_chosen(request));
        EXPECT_GE(any.plan.gain, chosen.plan.gain);
        EXPECT_LE(asked({file(), std::nullopt, chosen.plan.gain}).plan.cost, chosen.plan.cost);
        EXPECT_EQ(chosen.offers.size(), chosen.parcels);
        better += any.plan.gain > chosen.plan.gain ? 1 : 0;
    }
    EXPECT_GT(better, 0);
}

TEST_F(EnrolmentOfTheDemo, OffersAreTheSizesOfTheFile) {
    const Enrolment found = asked({file(), 1e5, std::nullopt});
    const OutputFile output(file());
    EXPECT_EQ(std::to_string(found.offers.size()),
              output.text("SELECT COUNT(*) FROM parcel_options JOIN parcels USING (parcel_id) WHERE rank IS NOT NULL "
                          "AND parcel_options.cost IS NOT NULL AND parcel_options.added_gain_lps > 0"));
    EXPECT_EQ(std::to_string(found.parcels + found.left_out.without_gain + found.left_out.without_price),
              output.text("SELECT COUNT(*) FROM parcels WHERE rank IS NOT NULL"));
    EXPECT_EQ(std::to_string(found.enrolled),
              output.text("SELECT COUNT(*) FROM parcels WHERE contact_status = 'enrolled'"));
    for (const Offer& offer : found.offers) {
        EXPECT_GE(offer.new_tanks, 0);
        EXPECT_LE(offer.new_tanks, offer.tank_count);
    }
}

TEST_F(EnrolmentOfTheDemo, TheTableHoldsPlanAndCurveWithTheSizeOfEachParcel) {
    const EnrolRequest request{file(), 60000.0, std::nullopt};
    const Enrolment found = asked(request);
    const Sheet table = enrolment_table(found, request);
    ASSERT_EQ(table.rows.size(), found.plan.chosen.size() + found.curve.size());
    for (std::size_t i = 0; i < found.plan.chosen.size(); ++i) {
        const Offer& offer = found.offers[found.plan.chosen[i]];
        EXPECT_EQ(table.rows[i][0], Value(std::string("plan")));
        EXPECT_EQ(table.rows[i][2], Value(offer.parcel_id));
        EXPECT_EQ(table.rows[i][4], Value(offer.tank_count));
    }
    // Rounded sums, not sums of what was rounded.
    const std::vector<Value>& last = table.rows[found.plan.chosen.size() - 1];
    EXPECT_EQ(last[last.size() - 2], Value(std::round(found.plan.cost)));
    EXPECT_EQ(table.rows.back()[0], Value(std::string("curve")));
    EXPECT_EQ(table.rows.back()[last.size() - 2], Value(std::round(found.curve.back().cost)));
}

TEST_F(EnrolmentOfTheDemo, ListsCarryTheContactFieldsOfTheProject) {
    EnrolRequest request{file(), 60000.0, std::nullopt};
    request.project = demo_project();
    request.lists.csv = s_folder->file("plan.csv");
    const Enrolment found = asked(request);
    ASSERT_FALSE(found.contacts.names.empty());
    const Sheet table = enrolment_table(found, request);
    EXPECT_EQ(table.columns[3].title, found.contacts.names.front());
    for (std::size_t i = 0; i < found.plan.chosen.size(); ++i) {
        EXPECT_EQ(table.rows[i][3], Value(found.contacts.entries[found.plan.chosen[i]].front()));
        EXPECT_EQ(table.rows[i].size(), table.columns.size());
    }
    // Nobody's name is printed.
    for (const std::size_t offer : found.plan.chosen) {
        const std::string& owner = found.contacts.entries[offer].front();
        if (!owner.empty()) {
            EXPECT_THAT(enrolment_text(found, request), Not(HasSubstr(owner)));
        }
    }
}

TEST_F(EnrolmentOfTheDemo, ATargetIsReachedForNoMoreThanTheBudgetThatReachesIt) {
    const Enrolment by_budget = asked({file(), 200000.0, std::nullopt});
    const Enrolment by_target = asked({file(), std::nullopt, by_budget.plan.gain});
    EXPECT_TRUE(by_target.plan.reached);
    EXPECT_LE(by_target.plan.cost, by_budget.plan.cost + 1e-9);
    EXPECT_GE(by_target.plan.gain, by_budget.plan.gain - 1e-9);
    const Enrolment too_much = asked({file(), std::nullopt, 1000.0});
    EXPECT_FALSE(too_much.plan.reached);
    EXPECT_NEAR(too_much.plan.gain, too_much.curve.back().gain, 1e-9);
    EXPECT_THAT(enrolment_text(too_much, {file(), std::nullopt, 1000.0}), HasSubstr("out of reach"));
}

TEST_F(EnrolmentOfTheDemo, ForVolumeTheSourceDoesNotMatter) {
    const EnrolRequest request{file(), 60000.0, std::nullopt};
    const Enrolment gain = asked(request);
    const Enrolment volume = asked(of_volume(request));
    double of_gain_plan = 0.0;
    for (const std::size_t offer : gain.plan.chosen) {
        of_gain_plan += gain.offers[offer].volume_m3;
    }
    EXPECT_GE(volume.plan.gain - volume.enrolled_gain, of_gain_plan - 1e-6);
    EXPECT_GE(volume.parcels, gain.parcels);
    EXPECT_THAT(enrolment_text(volume, of_volume(request)), HasSubstr("Most added forbearance"));
}

TEST_F(EnrolmentOfTheDemo, ConsidersOnlyParcelsThatAreAskedFor) {
    EnrolRequest request{file(), 1e9, std::nullopt};
    const Enrolment all = asked(request);
    request.where = "gravity_check = 'yes'";
    const Enrolment some = asked(request);
    EXPECT_LT(some.parcels, all.parcels);
    EXPECT_GT(some.parcels, 0U);
    EXPECT_EQ(some.enrolled, all.enrolled);
    request.where = "parcel_id = 'nobody'";
    testing::expect_error([&] { asked(request); }, Fault::input, {"nobody", "--where"});
}

TEST_F(EnrolmentOfTheDemo, WhatIsEnrolledAlreadyCountsAsPresentAndIsNotOfferedAgain) {
    const Enrolment before = asked({file(), 0.0, std::nullopt});
    const std::string first = before.offers.front().parcel_id;
    const std::string copy =
        edited("more.gpkg", {"UPDATE parcels SET contact_status = 'enrolled' WHERE parcel_id = '" + first + "'"});
    const Enrolment after = asked({copy, 0.0, std::nullopt});
    EXPECT_EQ(after.parcels + 1, before.parcels);
    const OutputFile output(file());
    const double gain =
        std::stod(output.text("SELECT instream_gain_lps FROM parcels WHERE parcel_id = '" + first + "'"));
    EXPECT_NEAR(after.plan.gain, before.plan.gain + gain, 1e-8);
}

TEST_F(EnrolmentOfTheDemo, SaysWhatTheProofCovers) {
    const EnrolRequest request{file(), 60000.0, std::nullopt};
    std::string said = enrolment_text(asked(request), request);
    for (std::size_t at = said.find("\n  "); at != std::string::npos; at = said.find("\n  ")) {
        said.replace(at, 3, " ");  // however the lines are broken
    }
    EXPECT_THAT(said, AllOf(HasSubstr("sizes offered, at these prices and with the volumes of this screening"),
                            HasSubstr("is not proven"), HasSubstr("Left out")));
}

TEST_F(EnrolmentOfTheDemo, AFileWithoutSizesIsToBeMadeAgain) {
    const std::string copy = edited("old.gpkg", {"DROP TABLE parcel_options"});
    testing::expect_error(
        [&] {
            asked({copy, 1e5, std::nullopt});
        },
        Fault::input, {"parcel_options", "screen the basin again"});
}

TEST_F(EnrolmentOfTheDemo, WithoutPricesTheRemedyIsTold) {
    const std::string copy = edited("no_price.gpkg", {"UPDATE parcel_options SET cost = NULL"});
    testing::expect_error([&] { asked({copy, 1e5, std::nullopt}); }, Fault::input, {"[cost]", "[[tanks]]"});
}

}  // namespace
}  // namespace eaveshed
