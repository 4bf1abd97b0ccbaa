// What the basin's page is made of, read from a finished file: a short row for each parcel (without parcels for each
// roof), with what can be said of it without its owner's name.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <tuple>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/offer/enrolment.hpp"
#include "eaveshed/result/result_reader.hpp"
#include "eaveshed/summary/summary_facts.hpp"

namespace eaveshed {

struct PlaceRow {
    std::string id;
    ContactStatus contact = ContactStatus::candidate;
    bool can_be_asked = false;  // ranked; of roofs: with a pad and something to replace
    std::optional<std::int64_t> rank;
    std::optional<double> score;
    std::optional<double> storage_m3;
    std::optional<std::int64_t> tank_count;
    std::optional<double> added_m3;  // a season; of roofs the whole forbearance
    std::optional<double> added_lps;
    std::optional<double> cost;
    std::optional<double> cost_per_m3;
    std::optional<Delivery> delivery;
    std::optional<GravityCheck> gravity_check;
    std::optional<double> gravity_probability;
    std::optional<double> rank_stability;
    std::optional<LimitedBy> limited_by;
    bool source_known = true;  // else what the creek feels is not
    std::string water_source;  // empty where there is none
    std::string ask_first;

    // Where it stands in the list, the least first: by rank; roofs by gain, then by volume.
    [[nodiscard]] std::tuple<std::int64_t, double, double> list_key() const;
};

// The store run again in another climate, over all parcels and the roofs in none.
struct ScenarioSum {
    std::string name;
    double now_m3 = 0.0;
    double then_m3 = 0.0;
    double added_m3 = 0.0;
    double added_lps = 0.0;
};

struct BasinRows {
    SummaryFacts facts;
    std::vector<PlaceRow> places;  // in the order of the file
    std::vector<ScenarioSum> scenarios;
    Enrolment enrolment;                   // offers and curve; empty without parcels or prices
    std::optional<std::size_t> reaches{};  // none in a file of an earlier version
    [[nodiscard]] std::vector<const PlaceRow*> can_be_asked() const;  // by list_key(), else as in the file
};

// Input errors as read_summary and each_parcel have them.
[[nodiscard]] BasinRows read_basin(const ResultReader& result, const std::string& file);

}  // namespace eaveshed
