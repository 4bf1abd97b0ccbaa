// docs/ten_parcels.md, every number of it: the table is read from the page and held against the program.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <sstream>

#include "eaveshed/parcel/parcel_system.hpp"
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

// The lines of the page's tables that begin with a parcel, cell by cell: of the first table, or of the second.
std::vector<std::vector<std::string>> lines_of_table(std::size_t cell_count) {
    std::vector<std::vector<std::string>> found;
    std::istringstream lines(page());
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("| T")) {
            if (auto cell = cells(line); cell.size() == cell_count) {
                found.push_back(std::move(cell));
            }
        }
    }
    return found;
}

double gain_lps(double added_m3, double source_share) {
    return added_m3 * 1000.0 / (86400.0 * 92.0) * source_share;
}

std::vector<PrintedParcel> printed() {
    std::vector<PrintedParcel> parcels;
    for (const auto& cell : lines_of_table(13)) {
        PrintedParcel& parcel = parcels.emplace_back();
        ParcelRow& row = parcel.row;
        row.parcel_id = cell.at(0);
        row.contact_status = from_text<ContactStatus>(cell.at(1)).value();
        row.delivery = Delivery::gravity;
        row.forbearance_m3 = number(cell.at(2));
        row.added_forbearance_m3 = std::max(0.0, *row.forbearance_m3 - number(cell.at(3)).value());
        EXPECT_EQ(row.added_forbearance_m3, number(cell.at(4)));
        row.source_share = number(cell.at(5));
        row.gravity_probability = number(cell.at(6));
        row.cost = number(cell.at(7));
        row.season_reliability = number(cell.at(8));
        row.usable_m3 = row.forbearance_m3;
        row.added_gain_lps = gain_lps(*row.added_forbearance_m3, *row.source_share);
        if (row.cost && *row.added_forbearance_m3 > 0.0) {
            row.cost_per_m3 = *row.cost / *row.added_forbearance_m3;
        }
        parcel.gain_lps = number(cell.at(9)).value();
        parcel.score = number(cell.at(10));
        parcel.rank = number(cell.at(11));
        parcel.tier = number(cell.at(12));
    }
    return parcels;
}

// One line of the second table.
struct PrintedSize {
    std::string parcel_id;
    int tanks = 0;
    double cost = 0.0;
    double gain_lps = 0.0;
};

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
        EXPECT_NEAR(row.added_gain_lps.value(), expected.gain_lps, 5e-7);
        ASSERT_EQ(row.score.has_value(), expected.score.has_value());
        EXPECT_EQ(row.flags.has(Flag::score_partial), row.parcel_id == "T07");
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
            enrolled_lps += *parcel.row.added_gain_lps;
        }
        if (is_candidate(parcel.row) && parcel.row.cost && *parcel.row.added_gain_lps > 0.0) {
            offers.push_back({parcel.row.parcel_id, *parcel.row.cost, *parcel.row.added_gain_lps});
        }
    }
    const EnrolmentPlan plan = most_gain(offers, 60000.0, enrolled_lps);
    std::string chosen;
    for (const std::size_t offer : plan.chosen) {
        chosen += (chosen.empty() ? "" : ", ") + std::string(offers[offer].parcel_id);
    }
    EXPECT_TRUE(plan.proven);
    EXPECT_NE(page().find("the best set is\n" + chosen + " for"), std::string::npos) << chosen;
    EXPECT_EQ(plan.cost, 52000.0);
    EXPECT_NEAR(plan.gain, 0.027048, 5e-7);
    EXPECT_NE(page().find("0.027048 L/s"), std::string::npos);
}

// Every line of the second table by the program's own cost, ground and gain.
std::vector<PrintedSize> printed_sizes() {
    const CostSettings prices{.pad = 500.0, .pipe_per_m = 10.0, .pump = 1000.0, .currency = ""};
    std::map<std::string, double> share;
    for (const PrintedParcel& parcel : printed()) {
        share[parcel.row.parcel_id] = *parcel.row.source_share;
    }
    std::vector<PrintedSize> sizes;
    for (const auto& cell : lines_of_table(11)) {
        SCOPED_TRACE(cell.at(0) + " " + cell.at(1));
        const auto at = [&](std::size_t i) { return number(cell.at(i)).value(); };
        StorageOption option{.tank = {.volume_m3 = 18.9, .count = static_cast<int>(at(1)), .cost = 4100.0 * at(1)}};
        option.nominal_m3 = option.tank.nominal_m3();
        EXPECT_NEAR(option.nominal_m3, at(2), 1e-9);
        ParcelRow row;
        row.existing_storage_m3 = at(3);
        row.fill_distance_m = 0.0;
        Pad pad;
        pad.feed.pipe_m = at(7);
        pad.rank.fill = FillClass::sure;
        pad.rank.feed = at(8) > 0.0 ? FeedClass::pumped : FeedClass::gravity;
        const SystemParts parts = system_parts(option, pad, row);
        EXPECT_EQ(parts.new_tanks, at(6));
        const double cost = cost_lines(parts, prices).value().total();
        EXPECT_NEAR(cost, at(10), 0.005);
        EXPECT_EQ(at(5), at(4) - (cell.at(0) == "T06" ? 20.0 : 0.0));
        const double gain = gain_lps(at(5), share.at(cell.at(0)));
        EXPECT_NEAR(gain, at(9), 5e-7);
        sizes.push_back({cell.at(0), option.tank.count, cost, gain});
    }
    return sizes;
}

TEST(TenParcels, HaveSizesThatCostAndGainAsThePageSays) {
    const auto sizes = printed_sizes();
    ASSERT_EQ(sizes.size(), 13U);
    for (const PrintedParcel& parcel : printed()) {  // the chosen size is among them
        const auto own = [&](const PrintedSize& size) {
            return size.parcel_id == parcel.row.parcel_id && std::abs(size.cost - *parcel.row.cost) < 0.005 &&
                   std::abs(size.gain_lps - parcel.gain_lps) < 5e-7;
        };
        const bool offered = is_candidate(parcel.row) && parcel.row.cost && parcel.gain_lps > 0.0;
        EXPECT_EQ(std::ranges::count_if(sizes, own), offered ? 1 : 0) << parcel.row.parcel_id;
    }
}

// All combinations of at most one size a parcel.
TEST(TenParcels, AreEnrolledWithAnySizeAsThePageSays) {
    std::map<std::string, std::vector<PrintedSize>> of_parcel;
    for (const PrintedSize& size : printed_sizes()) {
        of_parcel[size.parcel_id].push_back(size);
    }
    struct Plan {
        double cost = 0.0;
        double gain_lps = 0.0;
        std::string words;
    };
    std::vector<Plan> plans{{}};
    for (const auto& [id, sizes] : of_parcel) {
        const std::vector<Plan> without = plans;
        for (const PrintedSize& size : sizes) {
            for (const Plan& plan : without) {
                if (plan.cost + size.cost <= 60000.0) {
                    plans.push_back({plan.cost + size.cost, plan.gain_lps + size.gain_lps,
                                     plan.words + (plan.words.empty() ? "" : ", ") + std::to_string(size.tanks) +
                                         (plan.words.empty() ? " tanks\nfor " : " for ") + id});
                }
            }
        }
    }
    const Plan best = *std::ranges::max_element(plans, {}, &Plan::gain_lps);
    EXPECT_NE(page().find(best.words), std::string::npos) << best.words;
    EXPECT_NEAR(best.cost, 59400.0, 1e-6);
    EXPECT_NEAR(best.gain_lps, 0.022016, 5e-7);
    EXPECT_NE(page().find("It gives 0.022016 L/s"), std::string::npos);
    EXPECT_NEAR(best.gain_lps + gain_lps(55.0, 1.0), 0.028935, 5e-7);
}

}  // namespace
}  // namespace eaveshed
