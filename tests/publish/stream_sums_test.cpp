// method.md 7.15: sums along random creeks and over sub-basins, against plain ones.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/ranking/ranking.hpp"
#include "publish/accounts.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::MemoryRow;
using testing::RandomNumbers;

// Parcels on a lattice of 100 m with up to three roofs each, some roofs in none, over random creeks and sub-basins.
class RandomAccounts : public testing::Accounts {
protected:
    void make(RandomNumbers& random) {
        make_creeks(random);
        std::vector<MemoryRow> grounds;
        std::vector<MemoryRow> outlines;
        m_roofs.clear();
        m_parcels.clear();
        m_diversions.clear();
        for (int i = 0; i < 100; ++i) {
            const Point corner{100.0 * (i % 10), 100.0 * static_cast<double>(i / 10)};
            if (random.chance(0.7)) {
                if (random.chance(0.2)) {
                    m_diversions[static_cast<std::uint32_t>(grounds.size())] = anywhere(random);
                }
                grounds.push_back({testing::Wkb::square(corner, 100.0), {"P" + std::to_string(i)}});
                m_parcels.push_back(random_parcel(random));
            }
            for (int k = random.whole(0, 3); k > 0; --k) {
                outlines.push_back({testing::Wkb::square({corner.x + 20.0 * k, corner.y + 20.0}, 10.0),
                                    {"R" + std::to_string(outlines.size())}});
                m_roofs.push_back(random_roof(random));
            }
        }
        give("parcels.source", grounds);
        give("footprints.source", outlines);
        give("subbasins.source", {{testing::Wkb::square({0, 0}, 400.0), {"A"}},
                                  {testing::Wkb::square({200, 200}, 555.0), {"B"}},
                                  {testing::Wkb::square({620, 10}, 300.0), {"C"}}});
    }
    static Point anywhere(RandomNumbers& random) { return {random.between(0.0, 1000.0), random.between(0.0, 1000.0)}; }
    void make_creeks(RandomNumbers& random) {
        std::vector<CreekReach> reaches;
        std::vector<std::uint32_t> next;
        for (int i = 0; i < 12; ++i) {
            reaches.push_back(testing::reach("R" + std::to_string(i), {anywhere(random), anywhere(random)}));
            next.push_back(i == 0 || random.chance(0.2) ? kNoReach
                                                        : static_cast<std::uint32_t>(random.whole(0, i - 1)));
        }
        flow(std::move(reaches), std::move(next));
    }
    static ParcelRows random_parcel(RandomNumbers& random) {
        ParcelRows rows =
            testing::parcel_row(random.between(0.0, 200.0), random.chance(0.2) ? 0.0 : random.between(0.0, 0.1),
                                random.chance(0.5) ? Delivery::gravity : Delivery::pumped_feed);
        rows.parcel.contact_status = static_cast<ContactStatus>(random.whole(0, 7));
        rows.parcel.gravity_check = random.chance(0.3) ? GravityCheck::yes : GravityCheck::no;
        if (random.chance(0.5)) {
            rows.pad = testing::pad_at(anywhere(random));
        }
        return rows;
    }
    static RoofRows random_roof(RandomNumbers& random) {
        RoofRows rows = testing::roof_row(random.chance(0.6) ? Status::ok : Status::no_rain);
        if (rows.roof.status == Status::ok) {
            rows.roof.forbearance_m3 = random.between(0.0, 50.0);
            rows.roof.instream_gain_lps = random.between(0.0, 0.05);
        }
        return rows;
    }
    // Of the rows as they were filled: of the parcels with a computed roof.
    template <typename Value>
    double sum_of_parcels(const Value& value) const {
        double sum = 0.0;
        for (std::uint32_t i = 0; i < m_parcels.size(); ++i) {
            sum += first_ok(i, m_roofs) != kNone ? value(m_parcels[i].parcel) : 0.0;
        }
        return sum;
    }
    std::vector<RoofRows> m_roofs;
    std::vector<ParcelRows> m_parcels;
};

TEST_F(RandomAccounts, NothingIsLostOrCountedTwiceAlongTheReaches) {
    RandomNumbers random(71);
    for (int i = 0; i < 30 && !::testing::Test::HasFailure(); ++i) {
        make(random);
        run(m_roofs, m_parcels);
        const std::vector<ReachRow> rows = m_accounts->reach_rows();
        double local[3] = {0.0, 0.0, 0.0};
        double at_outlets[3] = {0.0, 0.0, 0.0};
        for (const ReachRow& row : rows) {
            local[0] += *row.gain_local_lps;
            local[1] += *row.open_local_lps;
            local[2] += *row.enrolled_local_lps;
            if (!row.next_reach_id) {
                at_outlets[0] += *row.gain_total_lps;
                at_outlets[1] += *row.open_total_lps;
                at_outlets[2] += *row.enrolled_total_lps;
            }
        }
        const double expected[3] = {
            sum_of_parcels([](const ParcelRow& row) { return row.instream_gain_lps.value(); }),
            sum_of_parcels([](const ParcelRow& row) { return is_candidate(row) ? row.added_gain_lps.value() : 0.0; }),
            sum_of_parcels([](const ParcelRow& row) {
                return row.contact_status == ContactStatus::enrolled ? row.instream_gain_lps.value() : 0.0;
            })};
        for (std::size_t k = 0; k < 3; ++k) {
            EXPECT_NEAR(local[k], expected[k], 1e-9);
            EXPECT_NEAR(at_outlets[k], expected[k], 1e-9);
            EXPECT_GT(expected[k], 0.0);
        }
        // Each reach, by the names in the rows.
        for (const ReachRow& row : rows) {
            EXPECT_NEAR(*row.gain_local_lps, sum_of_parcels([&](const ParcelRow& parcel) {
                return parcel.reach_id == row.reach_id ? *parcel.instream_gain_lps : 0.0;
            }),
                        1e-9);
        }
    }
}

TEST_F(RandomAccounts, SubbasinsAreTheSumsOverTheRowsThatNameThem) {
    RandomNumbers random(72);
    for (int i = 0; i < 30 && !::testing::Test::HasFailure(); ++i) {
        make(random);
        run(m_roofs, m_parcels);
        for (const SubbasinRow& row : m_accounts->subbasin_rows()) {
            const auto here = [&](const auto& one) { return one.subbasin_id == row.subbasin_id; };
            std::int64_t roofs = 0;
            std::int64_t ok_roofs = 0;
            double alone_m3 = 0.0;
            double alone_lps = 0.0;
            double alone_count = 0.0;
            for (std::size_t k = 0; k < m_roofs.size(); ++k) {
                const RoofRow& roof = m_roofs[k].roof;
                const bool ok = here(roof) && roof.status == Status::ok;
                const bool alone = ok && m_plan->roofs[k].parcel == kNone;
                roofs += here(roof) ? 1 : 0;
                ok_roofs += ok ? 1 : 0;
                alone_m3 += alone ? *roof.forbearance_m3 : 0.0;
                alone_lps += alone ? *roof.instream_gain_lps : 0.0;
                alone_count += alone ? 1.0 : 0.0;
            }
            const auto of_parcels = [&](const auto& value) {
                return sum_of_parcels([&](const ParcelRow& parcel) { return here(parcel) ? value(parcel) : 0.0; });
            };
            EXPECT_EQ(row.roof_count, roofs);
            EXPECT_EQ(row.ok_roof_count, ok_roofs);
            EXPECT_EQ(row.roofs_area_m2, 100.0 * static_cast<double>(ok_roofs));
            EXPECT_EQ(static_cast<double>(*row.parcel_count),
                      alone_count + of_parcels([](const auto&) { return 1.0; }));
            EXPECT_NEAR(*row.forbearance_m3,
                        alone_m3 + of_parcels([](const ParcelRow& parcel) { return *parcel.forbearance_m3; }), 1e-9);
            EXPECT_NEAR(*row.instream_gain_lps,
                        alone_lps + of_parcels([](const ParcelRow& parcel) { return *parcel.instream_gain_lps; }),
                        1e-9);
            EXPECT_NEAR(*row.open_added_m3, of_parcels([](const ParcelRow& parcel) {
                return is_candidate(parcel) ? *parcel.added_forbearance_m3 : 0.0;
            }),
                        1e-9);
        }
    }
}

}  // namespace
}  // namespace eaveshed
