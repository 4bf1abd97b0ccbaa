#include "eaveshed/property/property.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/core/quantile.hpp"
#include "eaveshed/notes/storm.hpp"
#include "eaveshed/site/pad_duty.hpp"
#include "eaveshed/storage/store.hpp"
#include "headlines.hpp"

namespace eaveshed {

namespace {

constexpr std::array<std::string_view, 9> kCautions{
    "This is a screening from maps and weather records, no design: everything is to be checked on site.",
    "Permits, water rights, setbacks and fire connections are local: local codes and licensed practice come first.",
    "Roof water is not drinking water. Label every outlet, and keep it apart from drinking water by an air gap or "
    "backflow prevention.",
    "A tank is a confined space: never enter it. Keep lids tight and locked.",
    "A full tank is heavy. Dig: its ground is cut or native, level and drained; fill only where it is compacted.",
    "Slender tanks need restraint against earthquakes and wind.",
    "The overflow runs to a rock pad, away from slopes, foundations and neighbours.",
    "Never bleach a tank that drains to a creek. Take one tank out of use at a time.",
    "The creek gains only when the summer diversion stays off as agreed.",
};

class Maker {
public:
    Maker(const PropertyTask& task, Property& property)
        : m_task(task), m_found(task.explanation), m_settings(task.settings), m_property(property) {}

    void add_roofs();
    void add_pad();
    void add_sizes();
    void add_notes();
    void add_hand_sum();

private:
    [[nodiscard]] PropertyRoof roof_at(std::size_t position) const;
    [[nodiscard]] std::optional<double> wet_line_loss_m() const;
    [[nodiscard]] std::vector<std::optional<double>> unmet_m3() const;

    const PropertyTask& m_task;
    const ParcelExplanation& m_found;
    const Settings& m_settings;
    Property& m_property;
};

PropertyRoof Maker::roof_at(std::size_t position) const {
    PropertyRoof roof;
    roof.roof_id = m_task.roof_ids[position];
    roof.row = m_found.roofs[position].roof;
    roof.row.roof_id = roof.roof_id;
    roof.row.parcel_id = m_task.parcel_id;
    roof.connected = m_found.roofs[position].connected;
    if (position < m_found.at_pad.size()) {
        roof.fill_distance_m = m_found.at_pad[position].fill_distance_m;
        roof.fill_margin_m = m_found.at_pad[position].fill_margin_m;
    }
    if (const auto& pipe = m_found.roofs[position].shared_fill) {
        roof.fill_line = pipe->fill_line;
    }
    if (roof.row.eave_elev_m && roof.row.ground_elev_m) {
        roof.eave_height_m = *roof.row.eave_elev_m - *roof.row.ground_elev_m;
    }
    roof.leaves = roof.row.leaves_share && leaves_gather(*roof.row.leaves_share, m_settings.notes.canopy_share);
    const auto storeys = m_task.roofs[position].facts.storeys;
    if (storeys && *storeys > 0.0 && std::isfinite(*storeys) && roof.row.plan_area_m2) {
        roof.fire_water = fire_water_need(
            {.volume_m3 = walls_volume_m3(*roof.row.plan_area_m2, *storeys, m_settings.siting.storey_height_m)});
    }
    return roof;
}

void Maker::add_roofs() {
    for (std::size_t i = 0; i < m_found.roofs.size(); ++i) {
        m_property.roofs.push_back(roof_at(i));
    }
}

// The worst of the connected roofs' own lines that stay full, or may.
std::optional<double> Maker::wet_line_loss_m() const {
    const TileRules rules = rules_from(m_settings);
    const Pipe pipe{.bore_m = kWetLineBoreM, .hazen_williams_c = m_settings.siting.hazen_williams_c};
    std::optional<double> most;
    for (const PropertyRoof& roof : m_property.roofs) {
        if (roof.connected && roof.fill_distance_m && roof.fill_line != FillLine::dry) {
            const Flow storm = litres_per_second(storm_of(roof.row, rules).connected_lps);
            const WetLine line{.pipe = pipe, .length_m = *roof.fill_distance_m, .fittings = kWetLineFittings};
            most = std::max(most.value_or(0.0), wet_line_loss(line, storm).m);
        }
    }
    return most;
}

void Maker::add_pad() {
    if (!m_found.pad) {
        return;
    }
    const StorageOption& option = m_found.options.at(m_found.chosen);
    PropertyPad& pad = m_property.pad.emplace();
    pad.row = m_found.result.pad.value();
    pad.tank = option.tank;
    pad.reserve_m3 = m_settings.storage.reserve_m3;
    pad.use_assumed = m_found.roofs[m_found.owner].use_point.value().assumed;
    for (const StandingTank& tank : m_found.pad->tanks) {
        pad.tanks.push_back({.middle = tank.centre.crs,
                             .place = std::nullopt,
                             .ground_elev_m = std::isnan(tank.elev_m) ? std::nullopt : std::optional(tank.elev_m)});
    }
    pad.wet_line_loss_m = wet_line_loss_m();
    m_property.pad_roof = m_found.owner;
}

// What a season leaves unmet, at each of the sizes in their order: `reliability` of the seasons leave no more.
std::vector<std::optional<double>> Maker::unmet_m3() const {
    std::vector<Store> stores;
    for (const SizeAtPad& size : m_found.sizes) {
        if (size.outcome == SizeOutcome::stands) {
            stores.push_back({m_found.options.at(size.option).usable_m3, m_settings.storage.reserve_m3});
        }
    }
    const Timeline& timeline = m_task.tile->climate.timeline();
    const WaterSeries* const series =
        timeline.is_series() ? &m_found.record.series : (m_found.record.dry ? &*m_found.record.dry : nullptr);
    std::vector<std::optional<double>> unmet_m3(stores.size());
    if (series == nullptr) {
        return unmet_m3;
    }
    const auto runs = run_stores(timeline, m_found.record.counted, series->inflow_m3, series->demand_m3, stores,
                                 rules_from(m_settings).store_rule);
    for (std::size_t i = 0; i < runs.size(); ++i) {
        std::vector<double> seasons;
        for (const YearOfStore& year : runs[i]) {
            seasons.push_back(std::max(0.0, year.demand_m3 - year.replaced_m3));
        }
        std::ranges::sort(seasons);
        unmet_m3[i] = weibull_quantile(seasons, m_settings.storage.reliability);
    }
    return unmet_m3;
}

void Maker::add_sizes() {
    if (m_found.sizes.empty() || m_task.tile == nullptr) {
        return;
    }
    const std::vector<std::optional<double>> unmet = unmet_m3();
    // The rows of the options that stand, in the order of the options.
    auto row = m_found.result.options.begin();
    for (const SizeAtPad& size : m_found.sizes) {
        if (size.outcome != SizeOutcome::stands || row == m_found.result.options.end()) {
            continue;
        }
        const Behaviour& behaviour = m_found.curve.at(size.option).behaviour;
        PropertySize& property = m_property.sizes.emplace_back();
        property.row = *row++;
        property.unmet_mean_m3 = std::max(0.0, m_found.result.parcel.demand_m3.value() - behaviour.replaced_mean_m3);
        property.unmet_dependable_m3 = unmet.at(m_property.sizes.size() - 1);
    }
}

void Maker::add_notes() {
    PropertyNotes& notes = m_property.notes;
    notes.leaves =
        std::ranges::any_of(m_property.roofs, [](const PropertyRoof& roof) { return roof.connected && roof.leaves; });
    if (m_task.tile != nullptr && !m_found.members.empty()) {
        notes.freezing = freezing_months(m_task.tile->climate.minimum_c_at(m_task.roofs[m_found.owner].climate_place));
    }
    if (m_property.pad) {
        const PadRow& pad = m_property.pad->row;
        const Season season = m_settings.season_months();
        notes.calendar =
            upkeep_calendar({.fill = season.fill,
                             .forbear = season.forbear,
                             .freezing = notes.freezing,
                             .leaves = notes.leaves,
                             .pump = pad.feed_pump_head_m || pad.fill_pump_head_m,
                             .wet_line = pad.fill_line ? std::optional(pad.fill_line == FillLine::wet) : std::nullopt});
    }
}

void Maker::add_hand_sum() {
    std::vector<RoofRow> connected;
    for (const PropertyRoof& roof : m_property.roofs) {
        if (roof.connected) {
            connected.push_back(roof.row);
        }
    }
    m_property.hand_sum = hand_sum(connected, m_settings.harvest.collection_efficiency, m_settings.output.units);
}

}  // namespace

std::vector<CellRange> property_ground_needed(const PropertyTask& task) {
    if (task.tile == nullptr) {
        return {};
    }
    std::vector<CellRange> needed = section_ground_needed(task.explanation, task.roofs, *task.tile);
    const CellRange map = map_ground_needed(task.explanation, *task.parcel, task.roofs, *task.tile);
    if (!map.empty()) {
        needed.push_back(map);
    }
    return needed;
}

Property property_of(const PropertyTask& task) {
    const ParcelExplanation& found = task.explanation;
    Property property;
    property.parcel_id = task.parcel_id;
    property.row = found.result.parcel;
    property.ranked = task.ranked;
    property.facts = found.facts;
    property.scenarios = found.result.scenarios;
    property.questions = found.result.questions;
    Maker maker(task, property);
    maker.add_roofs();
    maker.add_pad();
    maker.add_sizes();
    maker.add_notes();
    maker.add_hand_sum();
    property.headlines = headlines_of(property, found.pad ? &*found.pad : nullptr, task.settings);
    property.checks = checks_of(property);
    if (task.tile != nullptr) {
        property.water = property_water(found, task.roofs, *task.tile, task.settings);
        property.section = property_section(found, task.roofs, *task.tile);
        property.map = property_map(found, *task.parcel, task.roofs, *task.tile);
    }
    return property;
}

std::span<const std::string_view> property_cautions() {
    return kCautions;
}

}  // namespace eaveshed
