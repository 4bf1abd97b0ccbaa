#include "eaveshed/parts/manifest.hpp"

#include <fmt/format.h>

#include <array>
#include <nlohmann/json.hpp>
#include <span>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/file.hpp"

namespace eaveshed {

namespace {

using Json = nlohmann::ordered_json;

constexpr int kVersion = 2;
constexpr std::array kSeverities{Severity::note, Severity::warning, Severity::error};

// The library turns any number into any other, whether it fits or not.
std::uint64_t count_at(const Json& json, const char* key) {
    const Json& value = json.at(key);
    if (!value.is_number_unsigned()) {
        throw nlohmann::json::other_error::create(0, std::string(key) + " is no count", nullptr);
    }
    return value.get<std::uint64_t>();
}

Json json_of(const Finding& finding) {
    const Trouble& trouble = finding.trouble;
    return {{"severity", severity_name(finding.severity)},
            {"where", trouble.where},
            {"found", trouble.found},
            {"wanted", trouble.wanted},
            {"remedy", trouble.remedy},
            {"code", finding.code ? Json(to_text(*finding.code)) : Json(nullptr)}};
}

Finding finding_of(const Json& json) {
    Finding finding;
    for (const Severity severity : kSeverities) {
        if (json.at("severity") == severity_name(severity)) {
            finding.severity = severity;
        }
    }
    finding.trouble = {json.at("where"), json.at("found"), json.at("wanted"), json.at("remedy")};
    if (!json.at("code").is_null()) {
        finding.code = from_text<CheckCode>(json.at("code").get<std::string>());
    }
    return finding;
}

Json json_of(const PartOfPlan& part, std::size_t number) {
    return {{"part", number},
            {"first_tile", part.first_tile},
            {"tiles", part.tiles},
            {"roofs", part.roofs},
            {"parcels", part.parcels},
            {"seconds", part.seconds},
            {"memory_mib", part.memory_mib}};
}

PartOfPlan part_of(const Json& json) {
    return {.first_tile = count_at(json, "first_tile"),
            .tiles = count_at(json, "tiles"),
            .roofs = count_at(json, "roofs"),
            .parcels = count_at(json, "parcels"),
            .seconds = count_at(json, "seconds"),
            .memory_mib = count_at(json, "memory_mib")};
}

Json json_of(const PlanFacts& plan) {
    Json json{{"project_file", plan.project_file},
              {"strict", plan.strict},
              {"roofs", plan.rows.roofs},
              {"parcels", plan.rows.parcels},
              {"gather_seconds", plan.gather_seconds},
              {"gather_memory_mib", plan.gather_memory_mib},
              {"parts", Json::array()},
              {"findings", Json::array()}};
    for (const PartOfPlan& part : plan.parts) {
        json["parts"].push_back(json_of(part, json["parts"].size() + 1));
    }
    for (const Finding& finding : plan.findings) {
        json["findings"].push_back(json_of(finding));
    }
    return json;
}

PlanFacts facts_of(const Json& json) {
    PlanFacts plan{.project_file = json.at("project_file"),
                   .strict = json.at("strict"),
                   .rows = {count_at(json, "roofs"), count_at(json, "parcels")},
                   .parts = {},
                   .gather_seconds = count_at(json, "gather_seconds"),
                   .gather_memory_mib = count_at(json, "gather_memory_mib")};
    for (const Json& part : json.at("parts")) {
        plan.parts.push_back(part_of(part));
    }
    for (const Json& finding : json.at("findings")) {
        plan.findings.push_back(finding_of(finding));
    }
    return plan;
}

Json json_of(const Manifest& manifest) {
    Json json{{"eaveshed_plan", kVersion}, {"tile_side_m", manifest.tile_side_m}};
    if (manifest.plan) {
        json["plan"] = json_of(*manifest.plan);
    }
    json["job"] = Json::object();
    for (const RunRecordRow& row : manifest.identity) {
        json["job"][row.key] = row.value;
    }
    return json;
}

Manifest manifest_of(const Json& json) {
    if (json.at("eaveshed_plan") != kVersion) {
        throw nlohmann::json::other_error::create(0, "a plan of another version", nullptr);
    }
    Manifest manifest;
    manifest.tile_side_m = json.at("tile_side_m");
    if (json.contains("plan")) {
        manifest.plan = facts_of(json.at("plan"));
    }
    for (const auto& [key, value] : json.at("job").items()) {
        manifest.identity.push_back({key, value});
    }
    return manifest;
}

}  // namespace

void write_manifest(const std::filesystem::path& folder, const Manifest& manifest) {
    const std::string text = json_of(manifest).dump(1, ' ', false, nlohmann::json::error_handler_t::replace) + '\n';
    const std::filesystem::path path = folder / kManifestName;
    std::filesystem::path draft = path;
    draft += ".draft";
    {
        File file(draft, File::Mode::create);
        file.write_at(0, {reinterpret_cast<const unsigned char*>(text.data()), text.size()});
    }
    publish(draft, path);
}

std::optional<Manifest> read_manifest(const std::filesystem::path& folder) {
    const std::filesystem::path path = folder / kManifestName;
    std::error_code fault;
    if (!std::filesystem::exists(path, fault)) {
        return std::nullopt;
    }
    const File file(path, File::Mode::read);
    std::vector<unsigned char> bytes(file.size());
    file.read_at(0, bytes);
    try {
        return manifest_of(Json::parse(bytes.begin(), bytes.end()));
    } catch (const nlohmann::json::exception& error) {
        throw working_error(path.string(), fmt::format("a file that is no plan of this version: {}", error.what()), "",
                            "make the plan again with the version that is to use it");
    }
}

}  // namespace eaveshed
