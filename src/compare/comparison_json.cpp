#include <algorithm>
#include <nlohmann/json.hpp>
#include <ostream>

#include "eaveshed/compare/compare.hpp"
#include "totals.hpp"

namespace eaveshed {

namespace {

using Json = nlohmann::ordered_json;

template <typename T>
Json or_null(const std::optional<T>& value) {
    return value ? Json(*value) : Json();
}

Json json_value(const Value& value) {
    return std::visit(
        [](const auto& held) {
            if constexpr (std::is_same_v<std::decay_t<decltype(held)>, std::monostate>) {
                return Json();
            } else {
                return Json(held);
            }
        },
        value);
}

std::string dumped(const Json& json, int indent) {
    return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

Json change_of(const std::optional<double>& before, const std::optional<double>& after) {
    return before && after ? Json(*after - *before) : Json();
}

Json change_of(std::uint64_t before, std::uint64_t after) {
    return static_cast<std::int64_t>(after) - static_cast<std::int64_t>(before);
}

Json side_json(const TotalSide& side) {
    return {{"number", side.number},
            {"forbearance_m3", side.forbearance_m3},
            {"felt_m3", or_null(side.felt_m3)},
            {"felt_lps", or_null(side.felt_lps)}};
}

Json totals_json(const Comparison& comparison) {
    Json parts = Json::array();
    for (const HeadlineTotal& total : headline_totals(comparison)) {
        parts.push_back({{"part", total.part},
                         {"meaning", total.meaning},
                         {"before", side_json(total.before)},
                         {"after", side_json(total.after)},
                         {"change",
                          {{"number", change_of(total.before.number, total.after.number)},
                           {"forbearance_m3", total.after.forbearance_m3 - total.before.forbearance_m3},
                           {"felt_m3", change_of(total.before.felt_m3, total.after.felt_m3)},
                           {"felt_lps", change_of(total.before.felt_lps, total.after.felt_lps)}}}});
    }
    const auto of = [](const SummaryFacts& facts) { return facts.of_parcels() ? "parcels" : "roofs"; };
    Json json{{"of", {{"before", of(comparison.before)}, {"after", of(comparison.after)}}}, {"parts", parts}};
    for (const CountGroup& group : count_groups(comparison)) {
        for (const CountTotal& count : group.counts) {
            json[std::string(group.key)][std::string(count.word)] = {
                {"before", count.before}, {"after", count.after}, {"change", change_of(count.before, count.after)}};
        }
    }
    return json;
}

// Null where neither file has streams.
Json streams_json(const Comparison& comparison) {
    Json creeks = Json::array();
    const auto side = [](const PartSum* creek) {
        return creek != nullptr
                   ? Json{{"end_reach_id", creek->end_reach_id.empty() ? Json() : Json(creek->end_reach_id)},
                          {"end_gain_lps", or_null(creek->end_gain_lps)},
                          {"low_flow_share", or_null(creek->low_flow_share)}}
                   : Json();
    };
    for (const CreekTotal& total : creek_totals(comparison)) {
        const auto change = [&](std::optional<double> PartSum::*member) {
            return total.before != nullptr && total.after != nullptr
                       ? change_of(total.before->*member, total.after->*member)
                       : Json();
        };
        const PartSum& creek = total.either();
        creeks.push_back({{"creek", creek.name.empty() ? Json() : Json(creek.name)},
                          {"outlet_reach_id", creek.outlet_reach_id},
                          {"before", side(total.before)},
                          {"after", side(total.after)},
                          {"change",
                           {{"end_gain_lps", change(&PartSum::end_gain_lps)},
                            {"low_flow_share", change(&PartSum::low_flow_share)}}}});
    }
    const auto reaches = [](const std::vector<std::string>& ids) {
        constexpr std::size_t kFirst = 10;
        return Json{{"number", ids.size()},
                    {"first", std::vector<std::string>(ids.begin(), ids.begin() + static_cast<std::ptrdiff_t>(
                                                                                      std::min(ids.size(), kFirst)))}};
    };
    if (creeks.empty() && comparison.reaches_new.empty() && comparison.reaches_gone.empty()) {
        return {};
    }
    return {{"creeks", creeks},
            {"reaches_new", reaches(comparison.reaches_new)},
            {"reaches_gone", reaches(comparison.reaches_gone)}};
}

Json ranking_json(const Comparison& comparison) {
    const auto side = [](const std::optional<ParcelRow>& row) {
        return row ? Json{{"rank", or_null(row->rank)},
                          {"score", or_null(row->score)},
                          {"contact_status", to_text(row->contact_status)},
                          {"added_forbearance_m3", or_null(row->added_forbearance_m3)},
                          {"added_gain_lps", or_null(row->added_gain_lps)}}
                   : Json();
    };
    Json list = Json::array();
    for (const RankedParcel& parcel : comparison.ranking) {
        list.push_back({{"parcel_id", parcel.id}, {"before", side(parcel.before)}, {"after", side(parcel.after)}});
    }
    return list;
}

Json named_json(const std::vector<NamedChange>& changes) {
    Json list = Json::array();
    for (const NamedChange& change : changes) {
        list.push_back({{"name", change.name}, {"before", or_null(change.before)}, {"after", or_null(change.after)}});
    }
    return list;
}

Json causes_json(const Causes& causes) {
    const auto file = [](const std::optional<RecordedInput>& input) {
        return input ? Json{{"path", input->path},
                            {"size_bytes", input->size},
                            {"modified", input->modified},
                            {"sha256", input->sha256}}
                     : Json();
    };
    Json inputs = Json::array();
    for (const InputChange& change : causes.inputs) {
        inputs.push_back({{"setting", change.setting},
                          {"what", to_text(change.fate)},
                          {"before", file(change.before)},
                          {"after", file(change.after)}});
    }
    const auto text = [](const std::string& words) { return words.empty() ? Json() : Json(words); };
    Json measured = Json::array();
    for (const MeasuredChange& change : causes.measured) {
        measured.push_back({{"of", change.of_parcel ? "parcel" : "roof"},
                            {"id", change.id},
                            {"before", text(change.before)},
                            {"after", text(change.after)}});
    }
    return {{"program", named_json(causes.program)},
            {"settings", named_json(causes.settings)},
            {"inputs", inputs},
            {"found_in_the_inputs", named_json(causes.found)},
            {"measured_values", measured},
            {"none", causes.none()}};
}

template <HasTerms Enum>
Json counted_json(const PerTerm<Enum, std::uint64_t>& counts) {
    Json json = Json::object();
    for (std::size_t i = 0; i < counts.size(); ++i) {
        json[std::string(terms_of<Enum>()[i].name)] = counts[i];
    }
    return json;
}

Json counts_json(const Changes& changes) {
    const ChangeCounts& counts = changes.counts;
    return {{"in_both", counts.in_both},
            {"what", counted_json<RowFate>(counts.fates)},
            {"matched_by", counted_json<MatchedBy>(counts.matched)},
            {"with_other_measured_values", counts.measured},
            {"changed_first", counted_json<ChangeStep>(counts.first)},
            {"changed_steps", counted_json<ChangeStep>(counts.touched)},
            {"repeated_ids", changes.matches.repeated},
            {"rows_of_repeated_ids",
             {{"before", changes.matches.repeated_before.size()}, {"after", changes.matches.repeated_after.size()}}}};
}

Json row_json(const ComparedTable& table, const RowChange& change, const ChangeReader& reader) {
    const std::string id_before = reader.id_before();
    const auto first = change.steps.first();
    Json steps = Json::array();
    for (std::size_t i = 0; i < terms_of<ChangeStep>().size(); ++i) {
        if (change.steps.has(static_cast<ChangeStep>(i))) {
            steps.push_back(terms_of<ChangeStep>()[i].name);
        }
    }
    Json row{{"id", reader.id()},
             {"id_before", id_before.empty() ? Json() : Json(id_before)},
             {"what", to_text(change.fate)},
             {"matched_by", change.fate == RowFate::changed ? Json(to_text(change.by)) : Json()},
             {"other_measured_values", change.measured},
             {"changed_first", first ? Json(to_text(*first)) : Json()},
             {"changed_steps", steps}};
    for (std::size_t i = 0; i < kMeasures; ++i) {
        const auto measure = static_cast<Measure>(i);
        if (table.place(measure)) {
            const std::string name(field_of(measure).name);
            row["before"][name] = json_value(reader.before(measure));
            row["after"][name] = json_value(reader.after(measure));
        }
    }
    Json columns = Json::object();
    if (change.fate == RowFate::changed) {
        for (const std::size_t i : reader.columns()) {
            columns[table.names[i]] = {json_value(reader.before()[i]), json_value(reader.after()[i])};
        }
    }
    row["changed_columns"] = columns;
    return row;
}

void print_rows(std::ostream& out, const Comparison& comparison, const ComparedTable& table, const Changes& changes) {
    ChangeReader reader(*comparison.before_file, *comparison.after_file, table);
    out << ",\n  \"" << table.name << "\": [";
    const char* lead = "\n    ";
    for (const RowChange& change : changes.rows) {
        reader.read(change);
        out << lead << dumped(row_json(table, change, reader), -1);
        lead = ",\n    ";
    }
    out << (changes.rows.empty() ? "]" : "\n  ]");
}

}  // namespace

void print_comparison_json(std::ostream& out, const Comparison& comparison) {
    const auto file = [](const SummaryFacts& facts) {
        return Json{{"file", facts.file()},
                    {"basin", facts.settings.basin.name},
                    {"program_version", facts.record.text("program.version")},
                    {"volumes", facts.only_means() ? "mean" : "dependable"},
                    {"forbearance_months", facts.settings.season.forbear_months},
                    {"currency", facts.settings.cost.currency}};
    };
    Json head{{"before", file(comparison.before)},
              {"after", file(comparison.after)},
              {"cautions", comparison.cautions},
              {"totals", totals_json(comparison)},
              {"streams", streams_json(comparison)},
              {"ranking", ranking_json(comparison)},
              {"causes", causes_json(comparison.causes)},
              {"row_counts", {{"parcels", counts_json(comparison.parcels)}, {"roofs", counts_json(comparison.roofs)}}}};
    if (head["streams"].is_null()) {
        head.erase("streams");
    }
    // The rows follow one by one: they may be many.
    std::string text = dumped(head, 2);
    text.resize(text.rfind("\n}"));
    out << text;
    print_rows(out, comparison, comparison.parcel_table, comparison.parcels);
    print_rows(out, comparison, comparison.roof_table, comparison.roofs);
    out << "\n}\n";
}

}  // namespace eaveshed
