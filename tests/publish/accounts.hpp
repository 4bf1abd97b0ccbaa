// Roofs, parcels, sub-basins and creeks from memory, whose rows are fed to the accounts of streams.
#pragma once

#include <gtest/gtest.h>

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/publish/stream_accounts.hpp"
#include "support/memory_features.hpp"
#include "support/plane_crs.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed::testing {

inline CreekReach reach(const std::string& id, const Line& line, std::optional<double> low_flow_lps = std::nullopt) {
    return {.id = id, .name = "", .line = line, .length_m = 1.0, .low_flow_lps = low_flow_lps};
}

// A terrain of 1 km and what is given of roofs, parcels, sub-basins and creeks.
class Accounts : public ::testing::Test {
protected:
    Accounts() {
        m_project.resolved.footprints.id = "id";
        m_project.resolved.parcels.id = "id";
        m_project.resolved.subbasins.id = "id";
        RasterInfo terrain;
        terrain.where = "terrain";
        terrain.crs = plane();
        terrain.grid = {0.0, 1000.0, 1.0, 1.0, 1000, 1000};
        m_inputs.rasters["terrain.elevation"] = terrain;
    }
    void give(const std::string& setting, std::vector<MemoryRow> rows, const Crs& crs = plane()) {
        auto source = std::make_shared<MemoryFeatures>(setting, crs, std::vector<std::string>{"id"}, std::move(rows));
        m_inputs.layers[setting] = {{source->info(), source, 0}};
    }
    void flow(std::vector<CreekReach> reaches, std::vector<std::uint32_t> next) {
        m_creeks = Creeks(std::move(reaches), ReachTree(std::move(next)), {}, {0.0, 0.0, 1000.0, 1000.0}, nullptr);
    }
    // Plans, and feeds the rows: every roof, then every parcel.
    void run(std::vector<RoofRows>& roofs, std::vector<ParcelRows>& parcels) {
        Progress progress(ProgressStyle::none);
        m_plan.emplace(make_plan(m_project, m_inputs, m_creeks, m_work.path(), {}, m_findings, progress));
        for (const auto& [parcel, place] : m_diversions) {
            m_plan->parcels.at(parcel).diversion = place;
        }
        m_subbasins = Subbasins(m_project, m_inputs, m_creeks, m_findings);
        m_accounts.emplace(m_creeks, m_subbasins, m_inputs, *m_plan);
        ASSERT_EQ(roofs.size(), m_plan->roofs.size());
        ASSERT_EQ(parcels.size(), m_plan->parcels.size());
        for (std::uint32_t i = 0; i < roofs.size(); ++i) {
            const FootprintRecord record = m_plan->footprint(i);
            m_accounts->take(i, record.outline.empty() ? std::nullopt : std::optional(record.interior), roofs[i]);
        }
        for (std::uint32_t i = 0; i < parcels.size(); ++i) {
            m_accounts->place(i, first_ok(i, roofs), parcels[i]);
        }
        for (std::uint32_t i = 0; i < parcels.size(); ++i) {
            m_accounts->place(i, first_ok(i, roofs), parcels[i]);  // gather asks twice
            m_accounts->count(i, parcels[i].parcel);
        }
    }
    [[nodiscard]] std::uint32_t first_ok(std::uint32_t parcel, const std::vector<RoofRows>& roofs) const {
        for (std::uint32_t i = 0; i < roofs.size(); ++i) {
            if (m_plan->roofs[i].parcel == parcel && roofs[i].roof.status == Status::ok) {
                return i;
            }
        }
        return kNone;
    }

    Project m_project;
    Inputs m_inputs;
    Findings m_findings;
    Creeks m_creeks;
    Subbasins m_subbasins;
    std::map<std::uint32_t, Point> m_diversions;
    std::optional<Plan> m_plan;
    std::optional<StreamAccounts> m_accounts;
    TempFolder m_work;
};

inline RoofRows roof_row(Status status = Status::ok) {
    RoofRows rows;
    rows.roof.status = status;
    if (status == Status::ok) {
        rows.roof.plan_area_m2 = 100.0;
        rows.roof.harvest_mean_m3 = 80.0;
        rows.roof.forbearance_m3 = 50.0;
        rows.roof.delivery = Delivery::gravity;
        rows.roof.gravity_check = GravityCheck::yes;
    }
    return rows;
}

inline ParcelRows parcel_row(double forbearance_m3, double gain_lps, Delivery delivery = Delivery::gravity) {
    ParcelRows rows;
    rows.parcel.parcel_status = ParcelStatus::ok;
    rows.parcel.forbearance_m3 = forbearance_m3;
    rows.parcel.added_forbearance_m3 = forbearance_m3 / 2.0;
    rows.parcel.instream_gain_lps = gain_lps;
    rows.parcel.added_gain_lps = gain_lps / 2.0;
    rows.parcel.delivery = delivery;
    return rows;
}

inline PadRow pad_at(Point place) {
    PadRow pad;
    pad.place = place;
    return pad;
}

}  // namespace eaveshed::testing
