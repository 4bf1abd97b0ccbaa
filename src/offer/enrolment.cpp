#include "eaveshed/offer/enrolment.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <unordered_map>

#include "eaveshed/core/error.hpp"
#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/record/parcel_option_row.hpp"
#include "eaveshed/result/read_values.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/result/result_reader.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

double wanted_of(const Offer& offer, PlanFor wanted) {
    return wanted == PlanFor::volume ? offer.volume_m3 : offer.gain_lps;
}

struct Candidate {
    std::string parcel_id;
    double existing_m3 = 0.0;
    std::uint32_t reach = kNoReach;
    bool gains = false;  // with some size
    std::vector<Offer> offers;
};

struct Candidates {
    std::vector<Candidate> list;  // in the order of the file
    std::unordered_map<std::string, std::size_t> place;
    std::size_t repeated = 0;  // of the same id as one before
    std::size_t no_pad = 0;
};

Candidates read_candidates(const ResultReader& result, const EnrolRequest& request, const FileReaches& streams,
                           const ReachFilter& asked) {
    Candidates found;
    each_parcel(result, request.file, request.where, [&](ParcelRow&& row) {
        const std::uint32_t reach = streams.number(row.reach_id);
        if (!asked.holds(reach)) {
            return;
        }
        const std::optional<NotRanked> reason = why_not_ranked(row);
        found.no_pad += reason == NotRanked::no_pad ? 1U : 0U;
        if (reason) {
            return;
        }
        if (!found.place.try_emplace(row.parcel_id, found.list.size()).second) {
            ++found.repeated;
            return;
        }
        found.list.push_back({.parcel_id = row.parcel_id,
                              .existing_m3 = row.existing_storage_m3.value_or(0.0),
                              .reach = reach,
                              .offers = {}});
    });
    return found;
}

// Parcels under an agreement: what they leave in the creek is there whatever the plan does.
void read_enrolled(const ResultReader& result, const EnrolRequest& request, const ReachFilter& asked,
                   Enrolment& enrolment) {
    each_parcel(result, request.file, "", [&](ParcelRow&& row) {
        if (row.contact_status != ContactStatus::enrolled) {
            return;
        }
        const std::uint32_t reach = enrolment.streams.number(row.reach_id);
        enrolment.present.push_back({reach, row.instream_gain_lps.value_or(0.0)});
        if (asked.holds(reach)) {
            ++enrolment.enrolled;
            enrolment.enrolled_gain +=
                (request.wanted == PlanFor::volume ? row.forbearance_m3 : row.instream_gain_lps).value_or(0.0);
        }
    });
}

// Tanks not there yet. method.md 7.9.
std::int64_t new_tanks(const ParcelOptionRow& row, double existing_m3) {
    constexpr double kWholeTank = 1e-9;
    const double tanks = static_cast<double>(row.tank_count.value_or(0));
    const double storage_m3 = row.storage_m3.value_or(0.0);
    if (!(tanks > 0.0) || !(storage_m3 > existing_m3)) {
        return 0;
    }
    return static_cast<std::int64_t>(std::ceil((storage_m3 - existing_m3) / (storage_m3 / tanks) - kWholeTank));
}

Offer offer_of(const ParcelOptionRow& row, const Candidate& candidate) {
    return {.parcel_id = row.parcel_id,
            .storage_m3 = row.storage_m3.value_or(0.0),
            .tank_count = row.tank_count.value_or(0),
            .new_tanks = new_tanks(row, candidate.existing_m3),
            .delivery = row.delivery,
            .cost = row.cost.value_or(-1.0),
            .gain_lps = row.added_gain_lps.value_or(0.0),
            .volume_m3 = row.added_forbearance_m3.value_or(0.0),
            .reach = candidate.reach};
}

void read_sizes(const ResultReader& result, const EnrolRequest& request, Candidates& candidates) {
    const std::string table(ParcelOptionRow::kTable.name);
    const RowReader<ParcelOptionRow> reader(request.file, result.columns(table));
    result.each_row(table, "", table, [&](const std::vector<Value>& values) {
        const ParcelOptionRow row = reader(values);
        const auto found = candidates.place.find(row.parcel_id);
        if (found == candidates.place.end() || (request.sizes == OfferedSizes::chosen && !row.chosen)) {
            return;
        }
        Candidate& candidate = candidates.list[found->second];
        Offer offer = offer_of(row, candidate);
        if (wanted_of(offer, request.wanted) > 0.0) {
            candidate.gains = true;
            if (offer.cost >= 0.0) {
                candidate.offers.push_back(std::move(offer));
            }
        }
    });
}

// method.md 8.11.
void take_offers(Candidates candidates, Enrolment& enrolment) {
    enrolment.left_out.no_pad = candidates.no_pad;
    for (Candidate& candidate : candidates.list) {
        if (candidate.offers.empty()) {
            ++(candidate.gains ? enrolment.left_out.without_price : enrolment.left_out.without_gain);
            continue;
        }
        ++enrolment.parcels;
        std::ranges::move(candidate.offers, std::back_inserter(enrolment.offers));
    }
}

void require_offers(const Enrolment& enrolment, const EnrolRequest& request) {
    if (!enrolment.offers.empty()) {
        return;
    }
    const bool whole = request.where.empty() && !request.reaches.any();
    const NotOffered& left_out = enrolment.left_out;
    const std::string where =
        request.where.empty() ? std::string() : fmt::format(" (where {})", printable(request.where));
    const std::string wider = request.where.empty() ? "ask for a reach further downstream, or for the whole basin"
                                                    : "ask for more with --where, or leave it out";
    if (request.reaches.any() && left_out.without_price + left_out.without_gain + left_out.no_pad == 0) {
        throw input_error(request.file,
                          fmt::format("no candidate's offer enters {}{}", asked_streams(request.reaches), where),
                          "streams that offers of candidates enter", wider);
    }
    const bool volume = request.wanted == PlanFor::volume;
    const std::string found =
        fmt::format("no candidate with a cost and {}: {} without a cost, {} without {}, {} without a pad{}{}",
                    volume ? "an added forbearance" : "a stream gain", left_out.without_price, left_out.without_gain,
                    volume ? "added forbearance" : "a gain", left_out.no_pad, where, asked_words(enrolment.asked));
    std::string wanted = "prices and water sources";
    std::string remedy = "`eaveshed rank` lists the candidates";
    if (left_out.without_price > 0) {
        remedy = "set [cost] and the cost of each of [[tanks]], then screen again";
    } else if (left_out.without_gain > 0) {
        remedy =
            "tell the parcels' water sources (parcels.water_source or source_share), then screen again; or ask for "
            "--for volume";
    } else if (left_out.no_pad == 0 && whole) {
        wanted = "parcels that can be asked and would add something";
        remedy = "`eaveshed summary` says how many are enrolled, declined or without use";
    } else if (!whole) {
        remedy = wider;
    }
    throw input_error(request.file, found, wanted, remedy);
}

void tell_repeated(std::size_t repeated, const EnrolRequest& request, Findings& findings) {
    if (repeated > 0) {
        findings.warn({request.file, fmt::format("{} with the id of another candidate", counted(repeated, "candidate")),
                       "ids of their own",
                       "of parcels with one id the plan takes at most one size; mend parcels.id and screen again"});
    }
}

// The most for the money first: whom to call first.
void sort_plan(Enrolment& enrolment, PlanFor wanted) {
    std::ranges::stable_sort(enrolment.plan.chosen, [&](std::size_t a, std::size_t b) {
        const Offer& first = enrolment.offers[a];
        const Offer& second = enrolment.offers[b];
        return wanted_of(first, wanted) * second.cost > wanted_of(second, wanted) * first.cost;
    });
}

std::vector<EnrolmentOffer> offers_for_choice(const Enrolment& enrolment, PlanFor wanted) {
    std::vector<EnrolmentOffer> offers;
    offers.reserve(enrolment.offers.size());
    for (const Offer& offer : enrolment.offers) {
        offers.push_back({offer.parcel_id, offer.cost, wanted_of(offer, wanted)});
    }
    return offers;
}

void choose(const EnrolRequest& request, Enrolment& enrolment) {
    const std::vector<EnrolmentOffer> offers = offers_for_choice(enrolment, request.wanted);
    enrolment.plan = request.budget ? most_gain(offers, *request.budget, enrolment.enrolled_gain)
                                    : least_cost(offers, *request.target_lps, enrolment.enrolled_gain);
    enrolment.curve = gain_curve(offers, enrolment.enrolled_gain);
    sort_plan(enrolment, request.wanted);
}

void read_contacts(const EnrolRequest& request, Enrolment& enrolment) {
    std::vector<std::string> ids;
    for (const Offer& offer : enrolment.offers) {
        ids.push_back(offer.parcel_id);
    }
    enrolment.contacts = contact_fields(enrolment.settings, request.file, request.project, ids);
}

// What the file offers, and what is present.
Candidates read_offers(const ResultReader& result, const EnrolRequest& request, Enrolment& enrolment) {
    enrolment.streams = reaches_of_file(result, request.file);
    const ReachFilter asked(enrolment.streams, request.reaches, request.file);
    enrolment.asked = asked.words();
    Candidates candidates = read_candidates(result, request, enrolment.streams, asked);
    read_sizes(result, request, candidates);
    read_enrolled(result, request, asked, enrolment);
    return candidates;
}

void require_files(const EnrolRequest& request, const Settings& settings) {
    if (!request.lists.any() && request.reaches_csv.empty()) {
        return;
    }
    const std::vector<std::string> kept = recorded_paths(settings, request.file, request.project);
    require_lists(request.lists, kept);
    const ListFiles reaches{.csv = request.reaches_csv, .overwrite = request.lists.overwrite};
    require_lists(reaches, kept);
    const auto place = [](const std::string& path) { return std::filesystem::weakly_canonical(path); };
    if (!request.lists.csv.empty() && !reaches.csv.empty() && place(request.lists.csv) == place(reaches.csv)) {
        throw input_error(reaches.csv, "one name for two lists, --csv and --reaches-csv", "a file for each",
                          "name another file");
    }
}

}  // namespace

Enrolment enrolment_curve(const ResultReader& result, const EnrolRequest& request) {
    Enrolment enrolment;
    enrolment.settings = recorded_settings(result, request.file);
    take_offers(read_offers(result, request, enrolment), enrolment);
    enrolment.curve = gain_curve(offers_for_choice(enrolment, request.wanted), enrolment.enrolled_gain);
    return enrolment;
}

Enrolment enrolment(const EnrolRequest& request, Findings& findings) {
    const ResultReader result = open_result(request.file, findings);
    Enrolment enrolment;
    enrolment.settings = recorded_settings(result, request.file);
    require_files(request, enrolment.settings);
    Candidates candidates = read_offers(result, request, enrolment);
    if (!request.reaches_csv.empty()) {
        require_reaches(enrolment.streams, "--reaches-csv", request.file);
    }
    tell_repeated(candidates.repeated, request, findings);
    take_offers(std::move(candidates), enrolment);
    require_offers(enrolment, request);
    choose(request, enrolment);
    if (request.lists.any()) {
        read_contacts(request, enrolment);
    }
    return enrolment;
}

}  // namespace eaveshed
