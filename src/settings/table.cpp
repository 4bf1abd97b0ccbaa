#include "eaveshed/settings/table.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "table_parts.hpp"

namespace eaveshed {

const std::vector<Section>& settings_sections() {
    static const std::vector<Section> kSections{
        {"basin", false, "The project."},
        {"footprints", false, "The roofs."},
        {"terrain", false, "The elevations."},
        {"rain", false, "The rain: a grid, or a table of gauges."},
        {"evapotranspiration", false, "Reference evapotranspiration (ET0), which sets the garden's need."},
        {"temperature", false, "Temperatures from which ET0 is computed where it is not given."},
        {"parcels", false, "The properties: who lives there, what they water, where their water comes from."},
        {"streams", false, "The streams that summer takes are spared."},
        {"subbasins", false, "Parts of the basin by which roofs and offers are summed."},
        {"diversions", false, "Where parcels take their water."},
        {"use_points", false, "Where the stored water is wanted."},
        {"exclusions", true, "Areas where no tank may stand; one table for each layer."},
        {"roads", false, "Roads, for access in a fire."},
        {"canopy", false, "Trees over pads."},
        {"overrides", false, "Values measured on site that win over any input."},
        {"contacts", false, "How far talks with the owners are."},
        {"season", false, "The months of filling, forbearing and drawing."},
        {"harvest", false, "How much of the rain on a roof reaches the tank."},
        {"demand", false, "The present summer use that storage could replace."},
        {"tanks", true, "The storage options, one table each; given ones replace the shipped catalogue."},
        {"storage", false, "How the store is run and the recommended option chosen."},
        {"siting", false, "Where a tank can stand, and how water gets in and out."},
        {"notes", false, "What is told of a pad and changes no choice."},
        {"cost", false, "Costs besides the tanks'."},
        {"rank", false, "How parcels are scored and ranked."},
        {"scenarios", true, "What-if climates, one table each."},
        {"output", false, "The GeoPackage."},
        {"check", false, "What `check`, and `screen` before it starts, may find and leave be."},
    };
    return kSections;
}

const std::vector<Setting>& settings_table() {
    static const std::vector<Setting> kTable = [] {
        std::vector<Setting> table;
        table_parts::append_input_settings(table);
        table_parts::append_climate_settings(table);
        table_parts::append_parcel_settings(table);
        table_parts::append_water_settings(table);
        table_parts::append_demand_settings(table);
        table_parts::append_siting_settings(table);
        table_parts::append_planning_settings(table);
        std::ranges::stable_sort(table, {}, [](const Setting& setting) { return find_section(setting.section); });
        return table;
    }();
    return kTable;
}

const Section* find_section(std::string_view name) {
    const auto& sections = settings_sections();
    const auto found = std::ranges::find(sections, name, &Section::name);
    return found == sections.end() ? nullptr : &*found;
}

const Setting* find_setting(std::string_view section, std::string_view key) {
    const auto& table = settings_table();
    const auto found = std::ranges::find_if(
        table, [section, key](const Setting& setting) { return setting.section == section && setting.key == key; });
    return found == table.end() ? nullptr : &*found;
}

const Setting* find_setting(std::string_view name) {
    const std::size_t dot = name.rfind('.');
    return dot == std::string_view::npos ? nullptr : find_setting(name.substr(0, dot), name.substr(dot + 1));
}

const Unit* convertible_unit(const Setting& setting) {
    return find_unit(setting.unit);
}

bool names_field(const Setting& setting) {
    return setting.kind == Kind::field || setting.kind == Kind::quantity;
}

const std::string& named_field(const Setting& setting, const Settings& settings, std::size_t item) {
    if (setting.kind == Kind::quantity) {
        return std::get<Reach<QuantityField>>(setting.access).get(settings, item).field;
    }
    return std::get<Reach<std::string>>(setting.access).get(settings, item);
}

const Unit* field_unit(const Setting& setting, const Settings& settings, std::size_t item) {
    if (setting.kind != Kind::quantity) {
        return nullptr;
    }
    const QuantityField& field = std::get<Reach<QuantityField>>(setting.access).get(settings, item);
    return field.unit.empty() ? convertible_unit(setting) : find_unit(field.unit);
}

std::size_t item_count(const Section& section, const Settings& settings) {
    if (section.name == "exclusions") {
        return settings.exclusions.size();
    }
    if (section.name == "tanks") {
        return settings.tanks.size();
    }
    if (section.name == "scenarios") {
        return settings.scenarios.size();
    }
    return 1;
}

std::vector<std::pair<std::string, std::string>> effective_settings(const Settings& settings) {
    Settings effective = settings;
    if (effective.season.draw_months.empty()) {
        effective.season.draw_months = effective.season.forbear_months;
    }
    std::vector<std::pair<std::string, std::string>> list;
    const auto& table = settings_table();
    for (const Section& section : settings_sections()) {
        for (std::size_t item = 0; item < item_count(section, effective); ++item) {
            const std::string prefix =
                section.repeated ? fmt::format("{}.{}", section.name, item + 1) : std::string(section.name);
            for (const Setting& setting : table) {
                if (setting.section != section.name) {
                    continue;
                }
                const std::string name = fmt::format("{}.{}", prefix, setting.key);
                if (setting.kind != Kind::coefficients) {
                    list.emplace_back(name, value_text(setting, effective, item));
                    continue;
                }
                const auto reach = std::get<Reach<std::map<std::string, double>>>(setting.access);
                for (const auto& [key, value] : reach.get(effective, item)) {
                    list.emplace_back(fmt::format("{}.{}", name, key), number_text(value));
                }
            }
        }
    }
    return list;
}

}  // namespace eaveshed
