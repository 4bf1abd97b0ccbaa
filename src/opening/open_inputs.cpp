#include "eaveshed/opening/open_inputs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <tuple>
#include <utility>
#include <vector>

#include "attempt.hpp"
#include "check_inputs.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/fieldbook/call_table.hpp"
#include "eaveshed/fieldbook/override_table.hpp"
#include "eaveshed/gauges/gauge_rows.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/vector/vector_source.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

Layer layer_of(VectorSource source, std::size_t item = 0) {
    VectorInfo info = source.info();
    return {std::move(info), std::make_shared<VectorSource>(std::move(source)), item};
}

// What the settings say of a raster.
RasterRequest request_for(const Setting& input, const Settings& settings) {
    if (name_of(input) == "terrain.elevation") {
        return elevation_request(settings.terrain);
    }
    return name_of(input) == "terrain.surface" ? surface_request(settings.terrain) : RasterRequest{};
}

// Opens inputs one after another.
class Opener {
public:
    Opener(const Project& project, Findings& findings) : m_settings(project.resolved), m_findings(findings) {}

    void open(const Setting& input);
    OpenInputs take() { return std::move(m_inputs); }

private:
    void open_layers(const Setting& input);
    void take_crs_of_footprints(Layer& layer);
    void open_overrides(const Setting& input);
    void open_calls(const Setting& input);
    void open_former(const Setting& input);
    void open_raster(const Setting& input);
    void keep_months(const Setting& input, MonthSource source);
    void open_rain(const Setting& input);
    void open_temperature(const Setting& input);
    void open_temperature_gauges();
    [[nodiscard]] const VectorInfo* footprints() const;
    void open_by_kind(const Setting& input);
    void try_to(const std::function<void()>& step) { attempt(m_findings, step); }

    const Settings& m_settings;
    Findings& m_findings;
    OpenInputs m_inputs;
};

// Of a table with x and y, which states no reference system: that of the footprints stands in.
void Opener::take_crs_of_footprints(Layer& layer) {
    const auto& footprints = m_inputs.layers_of("footprints.source");
    if (layer.info.crs.given() || footprints.empty()) {
        return;
    }
    layer.info.crs = footprints.front().info.crs;
    m_findings.note({layer.info.where, "places that state no coordinate reference system", "",
                     fmt::format("they are taken to be in that of the footprints, {}; a .prj file beside the table "
                                 "states another",
                                 printable(layer.info.crs.name()))});
}

void Opener::open_layers(const Setting& input) {
    for (std::size_t item = 0; item < items_of(input, m_settings); ++item) {
        std::vector<std::string> paths = paths_of(input, m_settings, item);
        if (paths.empty() && input.required) {
            paths.emplace_back();  // told as any other path without a file
        }
        for (const std::string& path : paths) {
            try_to([&] {
                const LayerSource from{path, text_beside(input, "layer", m_settings, item)};
                m_inputs.layers[name_of(input)].push_back(
                    layer_of(VectorSource::open(name_of(input), from, fields_beside(input, m_settings, item),
                                                text_beside(input, "where", m_settings, item), m_findings),
                             item));
                take_crs_of_footprints(m_inputs.layers[name_of(input)].back());
            });
        }
    }
}

// The table is read now, so that its faults show; what its rows mean is found with the footprints.
void Opener::open_overrides(const Setting& input) {
    try_to([&] {
        auto source = VectorSource::open(name_of(input), m_settings.overrides.from, {}, "", m_findings);
        m_inputs.overrides = read_override_table(source, m_findings);
    });
}

void Opener::open_calls(const Setting& input) {
    try_to([&] {
        auto source = VectorSource::open(name_of(input), m_settings.contacts.from, {}, "", m_findings);
        m_inputs.calls = read_call_table(source, m_findings);
    });
}

void Opener::open_former(const Setting& input) {
    const auto open = [&](const char* layer, const char* id) {
        return layer_of(VectorSource::open(name_of(input), {m_settings.overrides.former, layer}, {id}, "", m_findings));
    };
    try_to([&] { m_inputs.former_roofs = open("roofs", "roof_id"); });
    const auto of_parcel = [](const OverrideEntry& entry) { return entry.row.parcel_id.has_value(); };
    if (std::ranges::any_of(m_inputs.overrides->entries, of_parcel)) {
        try_to([&] { m_inputs.former_parcels = open("parcels", "parcel_id"); });
    }
}

void Opener::open_raster(const Setting& input) {
    try_to([&] {
        RasterRequest request = request_for(input, m_settings);
        if (const Layer* const footprints = m_inputs.layer("footprints.source")) {
            request.neighbour = Neighbour{"the footprints", footprints->info.crs, footprints->info.extent};
        }
        auto source =
            RasterSource::open(name_of(input), paths_of(input, m_settings), request, m_findings, m_inputs.blocks);
        m_inputs.rasters[name_of(input)] = source.info();
        m_inputs.raster_sources.emplace(name_of(input), std::move(source));
    });
}

// Their cells over the footprints are read now, so that their faults show.
void Opener::keep_months(const Setting& input, MonthSource source) {
    const VectorInfo& footprints = m_inputs.footprints().info;
    MonthField field = source.read(footprints.crs, footprints.extent);
    source.look_at(field, m_findings);
    m_inputs.months[name_of(input)] = std::move(field);
    m_inputs.month_sources.emplace(name_of(input), std::move(source));
}

// Null where they could not be opened.
const VectorInfo* Opener::footprints() const {
    const Layer* const layer = m_inputs.layer("footprints.source");
    return layer == nullptr ? nullptr : &layer->info;
}

bool any_gauge_table(const std::vector<std::string>& paths) {
    return std::ranges::any_of(paths, is_gauge_table);
}

// A grid, or a table of gauges with their places and normals.
void Opener::open_rain(const Setting& input) {
    if (!any_gauge_table(paths_of(input, m_settings))) {
        m_inputs.rain_source = RainSource::open(m_settings.rain, m_settings.season_months(), m_findings);
        m_inputs.rain = m_inputs.rain_source->info();
        return;
    }
    auto rain = open_gauge_rain(m_settings.rain, m_settings.season_months(), footprints(), m_findings);
    if (rain) {
        m_inputs.rain = rain->info;
        m_inputs.gauge_rain = std::move(rain);
    }
}

// The tables of both are opened together, with the first.
void Opener::open_temperature(const Setting& input) {
    const bool minimum = any_gauge_table(m_settings.temperature.minimum);
    const bool maximum = any_gauge_table(m_settings.temperature.maximum);
    if (minimum != maximum) {
        const char* const table = minimum ? "temperature.minimum" : "temperature.maximum";
        const auto& paths = minimum ? m_settings.temperature.minimum : m_settings.temperature.maximum;
        throw input_error(std::string(table) + " \"" + paths.front() + '"',
                          "a table of gauges, and a raster for the other one", "two rasters, or gauges for both",
                          "name two of one kind");
    }
    if (!minimum) {
        keep_months(input, MonthSource::open_temperature(name_of(input), paths_of(input, m_settings), m_findings));
    } else if (!m_inputs.temperature_gauges) {
        open_temperature_gauges();
    }
}

void Opener::open_temperature_gauges() {
    auto gauges =
        open_gauge_temperatures(m_settings.temperature, m_settings.rain.nearest_stations, footprints(), m_findings);
    if (gauges) {
        m_inputs.temperature_gauges = gauges->info;
        m_inputs.gauge_temperatures = std::move(gauges);
    }
}

void Opener::open_by_kind(const Setting& input) {
    switch (input.role->kind) {
        case InputKind::layer: open_layers(input); break;
        case InputKind::measured_values: open_overrides(input); break;
        case InputKind::earlier_result: open_former(input); break;
        case InputKind::call_list: open_calls(input); break;
        case InputKind::raster: open_raster(input); break;
        case InputKind::rain: try_to([&] { open_rain(input); }); break;
        case InputKind::gauge_places:
        case InputKind::normals: break;  // with the table of gauges
        case InputKind::et0:
            try_to([&] { keep_months(input, MonthSource::open_et0(m_settings.evapotranspiration, m_findings)); });
            break;
        case InputKind::temperature: try_to([&] { open_temperature(input); }); break;
    }
}

void Opener::open(const Setting& input) {
    if (!input.required && !is_given(input, m_settings)) {
        return;
    }
    const OnlyWith& with = input.role->only_with;
    const Setting* const other = with.setting.empty() ? nullptr : &input_setting(with.setting);
    // A layer that is of no use is looked at all the same.
    if (other == nullptr || input.role->kind == InputKind::layer || m_inputs.has(*other)) {
        open_by_kind(input);
    }
    if (other != nullptr && !with.found.empty() && !is_given(*other, m_settings)) {
        m_findings.warn({name_of(input), std::string(with.found), "", std::string(with.remedy)});
    }
}

std::vector<const Setting*> in_turn() {
    std::vector<const Setting*> inputs = input_settings();
    std::ranges::stable_sort(inputs, {},
                             [](const Setting* input) { return std::pair(input->role->kind, input->role->late); });
    return inputs;
}

}  // namespace

OpenInputs open_inputs(const Project& project, Findings& findings) {
    Opener opener(project, findings);
    for (const Setting* const input : in_turn()) {
        opener.open(*input);
    }
    OpenInputs inputs = opener.take();
    if (inputs.month_field("evapotranspiration.source") != nullptr &&
        inputs.has(input_setting("temperature.minimum"))) {
        findings.note({"temperature", "temperatures beside an evapotranspiration raster", "",
                       "ET0 is that of the raster; the temperatures tell the months that freeze"});
    }
    check_inputs(project, inputs, findings);
    attempt(findings, [&] {
        if (!project.settings.output.crs.empty()) {
            inputs.output_crs = crs_from_text(project.settings.output.crs, "output.crs");
        } else if (const Layer* const footprints = inputs.layer("footprints.source")) {
            inputs.output_crs = footprints->info.crs;
        }
    });
    return inputs;
}

}  // namespace eaveshed
