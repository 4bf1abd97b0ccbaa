#include "eaveshed/run/explain.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/nearest.hpp"
#include "eaveshed/io/file.hpp"
#include "eaveshed/io/wording.hpp"
#include "eaveshed/record/columns.hpp"
#include "eaveshed/run/gather.hpp"
#include "eaveshed/run/plan.hpp"
#include "eaveshed/run/tile_loader.hpp"
#include "eaveshed/settings/load.hpp"

namespace eaveshed::run {

namespace {

constexpr double kAgreement = 1e-9;
constexpr std::size_t kSuggestions = 3;
constexpr std::size_t kMostCurveRows = 1000;

[[noreturn]] void throw_unknown(const io::ResultReader& result, const ExplainRequest& request) {
    const std::vector<std::string> ids = result.texts("roofs", "roof_id");
    const std::vector<std::string_view> views(ids.begin(), ids.end());
    std::vector<std::string> near;
    for (const std::string_view id : nearest_names(request.roof_id, views, kSuggestions)) {
        near.push_back(fmt::format("'{}'", id));
    }
    throw input_error(request.file,
                      fmt::format("no roof '{}' among its {}", io::printable(request.roof_id), ids.size()),
                      "a roof_id of the layer roofs",
                      near.empty() ? "look the id up in the layer's table" : "did you mean " + io::listed(near) + "?");
}

io::ResultRow stored_roof(const io::ResultReader& result, const ExplainRequest& request) {
    constexpr std::size_t kEnoughToTell = 1000;
    const auto rows = result.rows_where("roofs", "roof_id", request.roof_id, kEnoughToTell);
    if (rows.empty()) {
        throw_unknown(result, request);
    }
    if (rows.size() > 1) {
        throw input_error(request.file,
                          fmt::format("{} roofs with the id '{}'", rows.size(), io::printable(request.roof_id)), "one",
                          "let footprints.id name a field that tells roofs apart, or leave it out, and screen again");
    }
    return rows.front();
}

// Where the row's footprint is among the inputs as they are now: at the row's number, unless they changed.
std::uint32_t ordinal_of(const Plan& plan, const io::ResultRow& stored, const ExplainRequest& request) {
    const auto fid = stored.find("fid");
    const auto* const number = fid != stored.end() ? std::get_if<std::int64_t>(&fid->second) : nullptr;
    const auto count = static_cast<std::int64_t>(plan.roofs.size());
    if (number != nullptr && *number >= 1 && *number <= count) {
        const auto ordinal = static_cast<std::uint32_t>(*number - 1);
        if (plan.footprint(ordinal).roof_id == request.roof_id) {
            return ordinal;
        }
    }
    for (std::uint32_t ordinal = 0; ordinal < plan.roofs.size(); ++ordinal) {
        if (plan.footprint(ordinal).roof_id == request.roof_id) {
            return ordinal;
        }
    }
    throw input_error(request.file,
                      fmt::format("no roof '{}' among the footprints now", io::printable(request.roof_id)),
                      "the footprints that were screened", "screen again, or bring the old footprints back");
}

// The roof's site alone, as a tile of its own.
PlannedTile site_of(const Plan& plan, std::uint32_t ordinal) {
    for (std::uint32_t i = 0; i < plan.sites.size(); ++i) {
        const PlannedSite& site = plan.sites[i];
        const auto roofs = std::span(plan.site_roofs).subspan(site.first, site.count);
        if (std::ranges::find(roofs, ordinal) != roofs.end()) {
            return {.first = i, .count = 1};
        }
    }
    internal_error("a roof that stands on no site");
}

void require_no_errors(const Findings& findings, const std::string& file) {
    if (findings.count(Severity::error) > 0) {
        throw error_of(findings, file);
    }
}

class Comparison {
public:
    explicit Comparison(ExplainedRoof& roof) : m_roof(roof) {}

    template <typename Row>
    void compare(const std::string& table, const std::vector<Column>& columns, const std::optional<Row>& recomputed,
                 const io::ResultRow* stored) {
        if (recomputed.has_value() != (stored != nullptr)) {
            add(table, "(row)", "", stored != nullptr ? Value(std::string("a row")) : Value(),
                recomputed ? Value(std::string("a row")) : Value());
            return;
        }
        if (!recomputed) {
            return;
        }
        std::vector<Value> values;
        values_of(*recomputed, values);
        for (std::size_t i = 0; i < columns.size(); ++i) {
            const auto found = stored->find(std::string(columns[i].field.name));
            add(table, std::string(columns[i].field.name), std::string(columns[i].field.unit),
                found == stored->end() ? Value() : found->second, values[i]);
        }
    }

private:
    void add(const std::string& table, const std::string& column, const std::string& unit, Value stored,
             Value recomputed) {
        ++m_roof.values_compared;
        if (!agree(stored, recomputed)) {
            m_roof.differences.push_back({table, column, unit, std::move(stored), std::move(recomputed)});
        }
    }

    ExplainedRoof& m_roof;
};

template <typename T>
std::optional<T> at(const std::vector<T>& rows, std::size_t i) {
    return i < rows.size() ? std::optional(rows[i]) : std::nullopt;
}

void compare_rows(const io::ResultReader& result, const io::ResultRow& stored, ExplainedRoof& roof) {
    Comparison comparison(roof);
    const RoofResult& now = roof.explanation.result;
    comparison.compare("roofs", roof_columns(), std::optional(now.roof), &stored);
    const auto rows_of = [&](const char* table, std::size_t most) {
        return result.rows_where(table, "roof_id", roof.roof_id, most);
    };
    auto pads = rows_of("pads", kMostCurveRows);
    std::erase_if(pads, [](const io::ResultRow& row) {
        const auto level = row.find("level");
        return level != row.end() && level->second == Value(std::string(to_text(PadLevel::parcel)));
    });
    comparison.compare("pads", pad_columns(), now.pad, pads.empty() ? nullptr : &pads.front());
    const auto use_points = rows_of("use_points", 1);
    comparison.compare("use_points", use_point_columns(), now.use_point,
                       use_points.empty() ? nullptr : &use_points.front());
    if (!roof.run.project.settings.output.storage_curve) {
        return;
    }
    const auto curve = rows_of("storage_curve", kMostCurveRows);
    for (std::size_t i = 0; i < std::max(curve.size(), now.curve.size()); ++i) {
        comparison.compare(fmt::format("storage_curve {}", i + 1), curve_columns(), at(now.curve, i),
                           i < curve.size() ? &curve[i] : nullptr);
    }
}

std::optional<double> number_in(const Value& value) {
    if (const auto* const real = std::get_if<double>(&value)) {
        return *real;
    }
    const auto* const whole = std::get_if<std::int64_t>(&value);
    return whole != nullptr ? std::optional(static_cast<double>(*whole)) : std::nullopt;
}

// Finds the roof in its tile and explains it.
void explain_in(const TileInput& tile, std::uint32_t ordinal, const Settings& settings, ExplainedRoof& roof) {
    const SiteInput& site = tile.sites.front();
    const auto found = std::ranges::find(site.roofs, std::uint64_t{ordinal}, &RoofInput::ordinal);
    if (found == site.roofs.end()) {
        internal_error("a site without its roof");
    }
    roof.roof = *found;
    roof.parcel = site.parcel;
    roof.explanation = explain_roof(*found, site.parcel ? &*site.parcel : nullptr, tile, settings);
}

}  // namespace

bool agree(const Value& stored, const Value& recomputed) {
    const auto a = number_in(stored);
    const auto b = number_in(recomputed);
    if (!a || !b) {
        return stored == recomputed;
    }
    return std::abs(*a - *b) <= kAgreement * std::max({1.0, std::abs(*a), std::abs(*b)});
}

ExplainedRoof explain(const ExplainRequest& request, Findings& findings, Progress& progress) {
    const io::ResultReader result(request.file, findings);
    const io::ResultRow stored = stored_roof(result, request);
    ExplainedRoof roof;
    roof.roof_id = request.roof_id;
    roof.run = recorded_run(result, request.file, request.project, findings);

    Findings of_inputs;  // the screening told its warnings: they stand in the run record
    const Project& project = roof.run.project;
    const Inputs inputs = open_inputs(project, of_inputs);
    require_no_errors(of_inputs, request.file);
    compare_inputs(roof.run, inputs, findings);
    const io::ScratchFolder scratch;
    const Plan plan = make_plan(project, inputs, scratch.path(), {}, of_inputs, progress);
    const ClimateInput climate = read_climate(project, inputs, plan, of_inputs);
    require_no_errors(of_inputs, request.file);

    const std::uint32_t ordinal = ordinal_of(plan, stored, request);
    const std::uint32_t parcel = plan.roofs[ordinal].parcel;
    roof.parcel_id = parcel == kNone ? std::nullopt : std::optional(plan.parcels[parcel].parcel_id);
    roof.timeline = inputs.rain->timeline;
    TileLoader loader(project, inputs, plan, climate);
    explain_in(loader.load(site_of(plan, ordinal)), ordinal, project.settings, roof);
    set_names(roof.explanation.result, roof.roof_id, roof.parcel_id);
    compare_rows(result, stored, roof);
    return roof;
}

Trouble trouble_of(const ExplainedRoof& roof) {
    std::vector<std::string> changed;
    for (const RecordedInput& input : roof.run.inputs) {
        if (input.changed) {
            changed.push_back(io::setting_and_path(input.setting, input.path));
        }
    }
    return {roof.run.file,
            fmt::format("{} of the {} values stored of roof '{}' not as recomputed", roof.differences.size(),
                        roof.values_compared, io::printable(roof.roof_id)),
            changed.empty() ? "a row that its recorded inputs and settings give"
                            : "the inputs that were screened; changed since then: " + io::listed(changed),
            changed.empty()
                ? "the row or the run record was edited, or another version or machine made the file: screen again"
                : "screen again, or bring the old inputs back"};
}

}  // namespace eaveshed::run
