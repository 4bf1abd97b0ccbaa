// docs/ten_parcels.md, every number of it: the table is read from the page and held against the program.
#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <sstream>

#include "eaveshed/rank/selection.hpp"
#include "eaveshed/ranking/ranking.hpp"

namespace eaveshed {
namespace {

struct PrintedParcel {
    ParcelRow row;
    double gain_lps = 0.0;
    std::optional<double> score;
    std::optional<double> rank;
    std::optional<double> tier;
};

std::string page() {
    std::ifstream in(std::string(EAVESHED_SOURCE_DIR) + "/docs/ten_parcels.md");
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

std::vector<std::string> cells(const std::string& line) {
    std::vector<std::string> found;
    std::istringstream parts(line.substr(1));
    for (std::string cell; std::getline(parts, cell, '|');) {
        const auto begin = cell.find_first_not_of(' ');
        found.push_back(begin == std::string::npos ? "" : cell.substr(begin, cell.find_last_not_of(' ') - begin + 1));
    }
    return found;
}

std::optional<double> number(const std::string& cell) {
    return cell == "-" ? std::nullopt : std::optional(std::stod(cell));
}

std::vector<PrintedParcel> printed() {
    std::vector<PrintedParcel> parcels;
    std::istringstream lines(page());
    for (std::string line; std::getline(lines, line);) {
        if (!line.starts_with("| T")) {
            continue;
        }
        const auto cell = cells(line);
        PrintedParcel& parcel = parcels.emplace_back();
        ParcelRow& row = parcel.row;
        row.parcel_id = cell.at(0);
        row.contact_status = cell.at(1) == "enrolled"   ? ContactStatus::enrolled
                             : cell.at(1) == "declined" ? ContactStatus::declined
                                                        : ContactStatus::candidate;
        row.forbearance_m3 = number(cell.at(2));
        row.source_share = number(cell.at(3));
        row.gravity_probability = number(cell.at(4));
        row.cost = number(cell.at(5));
        row.season_reliability = number(cell.at(6));
        row.usable_m3 = row.forbearance_m3;
        row.delivery = Delivery::gravity;
        row.added_forbearance_m3 = row.forbearance_m3;
        row.instream_gain_lps = *row.forbearance_m3 * 1000.0 / (86400.0 * 92.0) * *row.source_share;
        row.added_gain_lps = row.instream_gain_lps;
        if (row.cost && *row.forbearance_m3 > 0.0) {
            row.cost_per_m3 = *row.cost / *row.forbearance_m3;
        }
        parcel.gain_lps = number(cell.at(7)).value();
        parcel.score = number(cell.at(8));
        parcel.rank = number(cell.at(9));
        parcel.tier = number(cell.at(10));
    }
    return parcels;
}

TEST(TenParcels, AreRankedAsThePageSays) {
    const auto parcels = printed();
    ASSERT_EQ(parcels.size(), 10U);
    Settings settings;
    settings.rank.draws = 0;
    Ranking ranking(settings);
    for (std::uint32_t i = 0; i < parcels.size(); ++i) {
        ranking.add(i, parcels[i].row);
    }
    ranking.compute(1);
    for (std::uint32_t i = 0; i < parcels.size(); ++i) {
        const PrintedParcel& expected = parcels[i];
        ParcelRow row = expected.row;
        ranking.fill(i, row);
        SCOPED_TRACE(row.parcel_id);
        EXPECT_NEAR(row.instream_gain_lps.value(), expected.gain_lps, 5e-7);
        ASSERT_EQ(row.score.has_value(), expected.score.has_value());
        if (expected.score) {
            EXPECT_NEAR(row.score.value(), *expected.score, 5e-7);
            EXPECT_EQ(static_cast<double>(row.rank.value()), expected.rank);
            EXPECT_EQ(static_cast<double>(row.pareto_tier.value()), expected.tier);
        }
    }
}

TEST(TenParcels, AreEnrolledAsThePageSays) {
    const auto parcels = printed();
    std::vector<EnrolmentOffer> offers;
    double enrolled_lps = 0.0;
    for (const PrintedParcel& parcel : parcels) {
        if (parcel.row.contact_status == ContactStatus::enrolled) {
            enrolled_lps += *parcel.row.instream_gain_lps;
        }
        if (is_candidate(parcel.row) && parcel.row.cost && *parcel.row.instream_gain_lps > 0.0) {
            offers.push_back({parcel.row.parcel_id, *parcel.row.cost, *parcel.row.instream_gain_lps});
        }
    }
    const EnrolmentPlan plan = most_gain(offers, 60000.0, enrolled_lps);
    std::string chosen;
    for (const std::size_t offer : plan.chosen) {
        chosen += (chosen.empty() ? "" : ", ") + std::string(offers[offer].parcel_id);
    }
    EXPECT_TRUE(plan.proven);
    EXPECT_NE(page().find("The best set is " + chosen + " for"), std::string::npos) << chosen;
    EXPECT_EQ(plan.cost, 52000.0);
    EXPECT_NEAR(plan.gain_lps, 0.027048, 5e-7);
    EXPECT_NE(page().find("0.027048 L/s"), std::string::npos);
}

}  // namespace
}  // namespace eaveshed
