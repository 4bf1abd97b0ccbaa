// Whom to enrol with which storage, for a budget or for a target of stream gain, from a finished file.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/offer/asked_reaches.hpp"
#include "eaveshed/offer/list_files.hpp"
#include "eaveshed/offer/parcels_of_file.hpp"
#include "eaveshed/rank/selection.hpp"
#include "eaveshed/result/reaches_of_file.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/sheet/sheet.hpp"
#include "eaveshed/stream/reach_tree.hpp"

namespace eaveshed {

// Which sizes of a parcel may enter the plan: each that could stand at its pad, or only that of the parcel's own row.
enum class OfferedSizes : std::uint8_t { any, chosen };

// Of what the plan makes the most: stream gain (L/s), or forbearance volume (m3 a season), whatever its source.
enum class PlanFor : std::uint8_t { gain, volume };

// One of budget and target is given; a target asks for gain.
struct EnrolRequest {
    std::string file;
    std::optional<double> budget;      // in the project's currency
    std::optional<double> target_lps;  // stream gain, with that of the parcels enrolled already; see `reaches`
    OfferedSizes sizes = OfferedSizes::any;
    PlanFor wanted = PlanFor::gain;
    std::string where = {};    // SQL expression over the columns of `parcels`: whom to consider; empty: all
    std::string project = {};  // as recorded_project() has it
    ListFiles lists = {};      // where some are wanted, the carry fields of the parcels source are read
    // Whom to consider, and whose gain counts as present: only parcels whose offers enter one of these. So a target at
    // a reach is the gain that comes together there.
    AskedReaches reaches = {};
    std::string reaches_csv = {};  // a file for plan_reaches_table(), by the rules of `lists`; empty: not wanted
};

// One size at one parcel, with a price and something to gain.
struct Offer {
    std::string parcel_id;
    double storage_m3 = 0.0;
    std::int64_t tank_count = 0;
    std::int64_t new_tanks = 0;  // that are not there yet
    std::optional<Delivery> delivery;
    double cost = 0.0;
    double gain_lps = 0.0;  // added, as is the volume
    double volume_m3 = 0.0;
    std::uint32_t reach = kNoReach;  // that it enters, among the file's
};

// Parcels that the plan cannot take, each counted once: the first that holds.
struct NotOffered {
    std::size_t no_pad = 0;        // no place for a tank
    std::size_t without_gain = 0;  // candidates of which no size gives what is wanted: the creek does not feel it
    std::size_t without_price = 0;
};

struct Enrolment {
    Settings settings;          // of the file
    std::vector<Offer> offers;  // those of one parcel beside each other, the smaller size first
    std::size_t parcels = 0;    // with an offer
    NotOffered left_out;
    std::size_t enrolled = 0;    // parcels that are enrolled already, whatever `where` says, at the reaches asked for
    double enrolled_gain = 0.0;  // theirs, whole: it counts as present; like every gain below L/s, or m3 for volume
    EnrolmentPlan plan;          // positions among the offers, the most gain for the money first
    std::vector<CurvePoint> curve;
    ContactFields contacts;            // by offer, where lists were asked for
    FileReaches streams{};             // of the file; empty without streams
    std::vector<ReachGain> present{};  // of each parcel enrolled already, in the file's order, wherever it is
    std::string asked{};               // "at reach 12 and upstream"; empty: the whole basin
};

// Input errors for a file that is not ours or was made before it kept sizes, for an expression that is not understood,
// for reaches that are not there (ReachFilter; asked for, or for their list), and for one in which no candidate has
// both a price and something to gain.
[[nodiscard]] Enrolment enrolment(const EnrolRequest& request, Findings& findings);

// The offers and their curve alone, for the whole of what a basin could do: budget and target of the request do not
// count, and there is no plan. Without a candidate that has a price and something to gain both are empty, no error.
// `result`: the file, open.
[[nodiscard]] Enrolment enrolment_curve(const ResultReader& result, const EnrolRequest& request);

// The plan and the curve, for people: without contact fields.
[[nodiscard]] std::string enrolment_text(const Enrolment& enrolment, const EnrolRequest& request);
// First the plan, then the curve: a row for each parcel and size that joins, with the sums so far. The plan may hold a
// size that is not on the curve. Contact fields in the rows of both.
[[nodiscard]] Sheet enrolment_table(const Enrolment& enrolment, const EnrolRequest& request);

}  // namespace eaveshed
