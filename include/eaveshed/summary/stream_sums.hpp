// What the candidates of a finished file would give creek by creek and sub-basin by sub-basin.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/result/result_reader.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// Candidates: who may be asked, has a pad and would add something.
struct CandidateSum {
    std::uint64_t number = 0;
    std::uint64_t unknown_source = 0;  // of them; their gain is not known and adds nothing
    double added_forbearance_m3 = 0.0;
    double added_gain_lps = 0.0;

    void add(const CandidateSum& more);
    // None where the water source of none of them is known, as the headline decides for the whole basin.
    [[nodiscard]] std::optional<double> known_gain_lps() const;
};

// The candidates of one part, and the flow at its lower end.
struct PartSum {
    std::string name;    // of the creek or the sub-basin; empty: reaches without a name that leave by one outlet
    CandidateSum sum{};  // what enters the part itself
    // The reach at its lower end: the part's last before another creek, or its outlet; of a catchment its own. Empty
    // for a creek in several pieces that do not come together in its own reaches, and for a sub-basin that is given.
    std::string end_reach_id{};
    std::optional<double> end_gain_lps{};      // added gain there, with what comes from upstream; none as above
    std::optional<double> end_low_flow_lps{};  // as the streams' data say
    std::optional<double> low_flow_share{};    // of that gain; none where the low flow is not known or not above 0
    std::string outlet_reach_id{};             // by which a creek's water leaves the streams of the file

    // That of a creek without one says where its water leaves.
    [[nodiscard]] std::string shown_name() const { return name.empty() ? "no name, outlet " + outlet_reach_id : name; }
};

// The most gain first, then the most forbearance, then in the order of the file. With the candidates in none the parts
// add up to all candidates.
struct StreamSums {
    std::vector<PartSum> creeks;             // every reach is in one; creeks are told apart by creek_key()
    std::vector<PartSum> subbasins;          // of the layer, by name
    std::optional<CandidateSum> no_reach{};  // none where the file has no reaches
    std::optional<CandidateSum> no_subbasin{};
};

// From the layers `reaches` and `subbasins` and one pass over the parcels. Empty where the file has neither.
[[nodiscard]] StreamSums stream_sums(const ResultReader& result, const std::string& file, const Settings& settings);

}  // namespace eaveshed
