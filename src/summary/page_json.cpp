#include <nlohmann/json.hpp>

#include "eaveshed/record/ask_first.hpp"
#include "eaveshed/record/assumptions.hpp"
#include "eaveshed/summary/page.hpp"

namespace eaveshed {

namespace {

using Json = nlohmann::ordered_json;

template <typename T>
Json known(const std::optional<T>& value) {
    return value ? Json(*value) : Json();
}

template <HasTerms Enum>
Json word(const std::optional<Enum>& value) {
    return value ? Json(to_text(*value)) : Json();
}

Json text_or_null(const std::string& text) {
    return text.empty() ? Json() : Json(text);
}

Json sum_json(const HeadlineSum& sum) {
    return {{"number", sum.number},
            {"forbearance_m3", sum.forbearance_m3},
            {"felt_m3", sum.felt_m3},
            {"felt_lps", sum.felt_lps}};
}

Json headline_json(const SummaryFacts& facts) {
    Json parts = Json::array();
    for (const Term& part : terms_of<HeadlinePart>()) {
        Json json{{"part", part.name}, {"meaning", part.meaning}};
        json.update(sum_json(facts.headline(part.name)));
        parts.push_back(std::move(json));
    }
    Json json{{"of", facts.of_parcels() ? "parcels" : "roofs"},
              {"volumes", facts.only_means() ? "mean" : "dependable"},
              {"forbearance_months", facts.settings.season.forbear_months},
              {"parts", std::move(parts)},
              {"all", sum_json(facts.headline("all"))}};
    if (facts.of_parcels()) {
        json["roofs_in_no_parcel"] = sum_json(facts.headline("roofs_in_no_parcel"));
    }
    return json;
}

Json parcels_json(const SummaryFacts& facts) {
    Json list = Json::array();
    for (const ParcelRow& row : facts.parcels) {
        list.push_back({{"rank", known(row.rank)},
                        {"parcel_id", row.parcel_id},
                        {"storage_m3", known(row.storage_m3)},
                        {"tank_count", known(row.tank_count)},
                        {"added_forbearance_m3", known(row.added_forbearance_m3)},
                        {"added_gain_lps", known(row.added_gain_lps)},
                        {"cost", known(row.cost)},
                        {"cost_per_m3", known(row.cost_per_m3)},
                        {"delivery", word(row.delivery)},
                        {"gravity_check", word(row.gravity_check)},
                        {"gravity_probability", known(row.gravity_probability)},
                        {"rank_stability", known(row.rank_stability)},
                        {"ask", text_or_null(first_question(row.ask_first.value_or("")))}});
    }
    return list;
}

Json roofs_json(const SummaryFacts& facts) {
    Json list = Json::array();
    for (const RoofRow& row : facts.roofs) {
        list.push_back({{"roof_id", row.roof_id},
                        {"storage_m3", known(row.storage_m3)},
                        {"tank_count", known(row.tank_count)},
                        {"forbearance_m3", known(row.forbearance_m3)},
                        {"instream_gain_lps", known(row.instream_gain_lps)},
                        {"delivery", word(row.delivery)},
                        {"gravity_check", word(row.gravity_check)},
                        {"limited_by", word(row.limited_by)}});
    }
    return list;
}

Json candidates_json(const CandidateSum& sum) {
    return {{"candidates", sum.number},
            {"source_not_known", sum.unknown_source},
            {"added_forbearance_m3", sum.added_forbearance_m3},
            {"added_gain_lps", known(sum.known_gain_lps())}};
}

Json candidates_or_null(const std::optional<CandidateSum>& sum) {
    return sum ? candidates_json(*sum) : Json();
}

Json part_json(const PartSum& part) {
    Json json = candidates_json(part.sum);
    json.update({{"end_reach_id", text_or_null(part.end_reach_id)},
                 {"end_gain_lps", known(part.end_gain_lps)},
                 {"end_low_flow_lps", known(part.end_low_flow_lps)},
                 {"low_flow_share", known(part.low_flow_share)}});
    return json;
}

Json creeks_json(const SummaryFacts& facts) {
    Json list = Json::array();
    for (const PartSum& part : facts.streams.creeks) {
        Json json{{"creek", text_or_null(part.name)}, {"outlet_reach_id", part.outlet_reach_id}};
        json.update(part_json(part));
        list.push_back(std::move(json));
    }
    return list;
}

Json subbasins_json(const SummaryFacts& facts) {
    Json list = Json::array();
    for (const PartSum& part : facts.streams.subbasins) {
        Json json{{"subbasin_id", part.name}};
        json.update(part_json(part));
        list.push_back(std::move(json));
    }
    return list;
}

template <HasTerms Enum>
Json counts_json(const SummaryFacts& facts, const std::string& prefix) {
    Json json = Json::object();
    const auto counts = facts.record.counts<Enum>(prefix);
    for (std::size_t i = 0; i < counts.size(); ++i) {
        json[std::string(terms_of<Enum>()[i].name)] = counts[i];
    }
    return json;
}

Json basis_json(const SummaryFacts& facts) {
    Json assumed = Json::array();
    for (const Assumption& assumption : kAssumptions) {
        assumed.push_back({{"assumption", assumption.key},
                           {"flag", to_text(assumption.flag)},
                           {"what", assumption.what},
                           {"share_of_roofs", known(facts.share_of_roofs(assumption.flag))},
                           {"share_of_volume", known(facts.share_of_volume(assumption.flag))},
                           {"instead", assumption.instead}});
    }
    const RecordFacts& record = facts.record;
    const auto count = [&record](const std::string& key) {
        return record.text(key).empty() ? Json() : Json(record.count(key));
    };
    return {{"assumptions", std::move(assumed)},
            {"rain",
             {{"first_step", text_or_null(record.text("rain.first_step"))},
              {"last_day", text_or_null(record.text("rain.last_day"))},
              {"complete_tank_years", count("rain.complete_tank_years")},
              {"mean_year_mm", known(record.number("rain.mean_year_mm"))},
              {"mean_forbearance_mm", known(record.number("rain.mean_forbearance_mm"))},
              {"forbearance_share", known(record.number("rain.forbearance_share"))}}},
            {"elevation",
             {{"cell_m", known(record.number("terrain.cell_m"))},
              {"rmse_m", known(record.number("terrain.rmse_m"))},
              {"rmse_given", facts.settings.terrain.rmse_m.has_value()}}},
            {"warnings", record.count_of_keys("warning.")}};
}

}  // namespace

std::string page_json(const SummaryFacts& facts) {
    Json json{{"file", facts.file()}, {"basin", facts.settings.basin.name}, {"headline", headline_json(facts)}};
    json["candidates"] = {{"delivery", counts_json<Delivery>(facts, "count.candidates.delivery.")},
                          {"gravity_check", counts_json<GravityCheck>(facts, "count.candidates.gravity_check.")}};
    if (facts.of_parcels()) {
        json["creeks"] = creeks_json(facts);
        json["entering_no_reach"] = candidates_or_null(facts.streams.no_reach);
        json["subbasins"] = subbasins_json(facts);
        json["in_no_subbasin"] = candidates_or_null(facts.streams.no_subbasin);
        json["parcels"] = parcels_json(facts);
        json["currency"] = text_or_null(facts.settings.cost.currency);
    } else {
        json["roofs"] = roofs_json(facts);
    }
    json["roof_counts"] = {{"status", counts_json<Status>(facts, "count.status.")},
                           {"no_pad_reason", counts_json<PadReason>(facts, "count.no_pad_reason.")},
                           {"harvest_mean_m3", known(facts.record.number("sum.harvest_mean_m3"))},
                           {"harvest_dependable_m3", known(facts.record.number("sum.harvest_dependable_m3"))}};
    json["rests_on"] = basis_json(facts);
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

}  // namespace eaveshed
