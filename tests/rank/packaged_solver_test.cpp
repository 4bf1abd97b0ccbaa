// method.md 8.12: the plan against CBC, a solver of integer programs from outside (package coinor-cbc), on some hundred
// parcels with several sizes, which are too many to try every combination. Only this test runs it.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "eaveshed/rank/selection.hpp"
#include "rank/size_samples.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::in_steps;
using testing::in_whole_numbers;
using testing::kHundredths;
using testing::kNanolitres;
using testing::SizedOffers;
using testing::sum_of_greatest;
using testing::tanks_at_parcels;

// sum of amount x taken, an addend a line.
std::string weighed_sum(const SizedOffers& offers, double EnrolmentOffer::*amount) {
    std::ostringstream text;
    for (std::size_t i = 0; i < offers.list.size(); ++i) {
        text << (i > 0 ? " + " : " ") << static_cast<long>(offers.list[i].*amount) << " x" << i << '\n';
    }
    return text.str();
}

// An integer program in CPLEX's LP format: one variable an offer, at most one of a parcel.
std::string program_text(const SizedOffers& offers, const std::string& wanted, const std::string& limit) {
    std::ostringstream text;
    text << wanted << "Subject To\n limit:\n" << limit;
    for (std::size_t parcel = 0; parcel < offers.parcels(); ++parcel) {
        text << " p" << parcel << ':';
        for (std::size_t i = offers.first[parcel]; i < offers.first[parcel + 1]; ++i) {
            text << (i > offers.first[parcel] ? " + x" : " x") << i;
        }
        text << " <= 1\n";
    }
    text << "Binaries\n";
    for (std::size_t i = 0; i < offers.list.size(); ++i) {
        text << " x" << i << '\n';
    }
    text << "End\n";
    return text.str();
}

// The value of the best solution. Its answer begins "Optimal - objective value 7.00000000".
double best_by_cbc(const std::string& program) {
    const testing::TempFolder folder;
    const std::string problem = folder.write("plan.lp", program);
    const std::string answer = folder.file("answer.txt");
    const std::string command =
        "cbc " + problem + " -ratioGap 0 -allowableGap 0 -solve -solution " + answer + " > " + folder.file("log.txt");
    EXPECT_EQ(std::system(command.c_str()), 0);
    std::ifstream file(answer);
    std::string line;
    std::getline(file, line);
    const std::string words = "Optimal - objective value ";
    EXPECT_EQ(line.substr(0, words.size()), words);
    return line.size() > words.size() ? std::round(std::stod(line.substr(words.size()))) : -1.0;
}

bool cbc_is_here() {
    return std::system("command -v cbc > /dev/null 2>&1") == 0;
}

constexpr const char* kNotHere = "no program cbc: install what scripts/packages lists";

TEST(PackagedSolver, FindsNoMoreGainForTheBudget) {
    if (!cbc_is_here()) {
        GTEST_SKIP() << kNotHere;
    }
    for (const std::uint64_t seed : {1U, 2U, 3U}) {
        const SizedOffers offers = tanks_at_parcels(seed, 150, 6);
        const double budget =
            std::round(0.1 * static_cast<double>(seed) * sum_of_greatest(offers, &EnrolmentOffer::cost));
        const EnrolmentPlan plan =
            in_whole_numbers(most_gain(in_steps(offers.list), budget / kHundredths), kNanolitres);
        EXPECT_TRUE(plan.proven);
        EXPECT_EQ(plan.gain,
                  best_by_cbc(program_text(offers, "Maximize\n gain:\n" + weighed_sum(offers, &EnrolmentOffer::gain),
                                           weighed_sum(offers, &EnrolmentOffer::cost) +
                                               " <= " + std::to_string(static_cast<long>(budget)) + '\n')));
    }
}

TEST(PackagedSolver, ReachesTheTargetForNoLess) {
    if (!cbc_is_here()) {
        GTEST_SKIP() << kNotHere;
    }
    for (const std::uint64_t seed : {4U, 5U, 6U}) {
        const SizedOffers offers = tanks_at_parcels(seed, 150, 6);
        const double target =
            std::round(0.1 * static_cast<double>(seed - 1) * sum_of_greatest(offers, &EnrolmentOffer::gain));
        const EnrolmentPlan plan =
            in_whole_numbers(least_cost(in_steps(offers.list), target / kNanolitres), kHundredths);
        EXPECT_TRUE(plan.proven);
        EXPECT_GE(plan.gain, target);
        EXPECT_EQ(plan.cost,
                  best_by_cbc(program_text(offers, "Minimize\n cost:\n" + weighed_sum(offers, &EnrolmentOffer::cost),
                                           weighed_sum(offers, &EnrolmentOffer::gain) +
                                               " >= " + std::to_string(static_cast<long>(target)) + '\n')));
    }
}

}  // namespace
}  // namespace eaveshed
