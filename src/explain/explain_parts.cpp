#include "explain_parts.hpp"

#include <algorithm>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/settings/table.hpp"

namespace eaveshed {

namespace {

Value in_units(const Value& value, std::string_view si_unit, const QuantityText& units) {
    const auto* const number = std::get_if<double>(&value);
    return number != nullptr ? Value(units.shown(si_unit, *number)) : value;
}

}  // namespace

std::string from_setting(const Settings& settings, std::string_view section, std::string_view key) {
    const Setting* const setting = find_setting(section, key);
    if (setting == nullptr) {
        internal_error("an explanation names a setting that is not in the table");
    }
    const std::string name = fmt::format("{}.{}", section, key);
    if (value_text(*setting, settings) != default_text(*setting)) {
        return name + ", set by the project";
    }
    return setting->source.empty() ? name + ", default" : fmt::format("{}, default; {}", name, setting->source);
}

std::string stated_unit(std::string_view section, std::string_view key, const Settings& settings) {
    const Setting* const setting = find_setting(section, key);
    const Unit* const unit = setting != nullptr ? field_unit(*setting, settings) : nullptr;
    return unit == nullptr || unit == convertible_unit(*setting) ? std::string() : fmt::format(" ({})", unit->name());
}

void SectionWriter::add(Fact fact) {
    const QuantityText& units = m_document.units;
    fact.value = in_units(fact.value, fact.unit, units);
    fact.decimals = units.decimals(fact.unit, fact.decimals);
    fact.unit = units.unit(fact.unit);
    m_section.parts.emplace_back(std::move(fact));
}

void SectionWriter::add(FactTable table) {
    const QuantityText& units = m_document.units;
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        FactColumn& column = table.columns[i];
        for (std::vector<Value>& row : table.rows) {
            row.at(i) = in_units(row.at(i), column.unit, units);
        }
        column.decimals = units.decimals(column.unit, column.decimals);
        if (const std::size_t place = column.label.find("{}"); place != std::string::npos) {
            column.label.replace(place, 2, units.unit(column.unit));
        }
    }
    m_section.parts.emplace_back(std::move(table));
}

const ParcelFacts& facts_of_parcel(const ExplainedRoof& roof) {
    static const ParcelFacts kNothing;
    return roof.parcel ? roof.parcel->facts : kNothing;
}

void add_pad_notes(const PadRow& pad, const Settings& settings, SectionWriter& section) {
    const auto add = [&section](const char* key, const char* label, const std::optional<double>& value,
                                const char* unit, int decimals, std::string from) {
        section.add(Fact{.key = key,
                         .label = label,
                         .value = value_of(value),
                         .unit = unit,
                         .decimals = decimals,
                         .from = std::move(from)});
    };
    if (settings.roads.from.given()) {
        add("road_distance_m", "Nearest road", pad.road_distance_m, "m", 1,
            fmt::format("roads.source; looked for within {} (roads.max_distance_m)",
                        section.units().plain("m", settings.roads.max_distance_m)));
        add("road_climb_m", "Pad above the road there", pad.road_climb_m, "m", 2,
            "terrain.elevation at the road's nearest point");
    }
    if (!settings.canopy.empty()) {
        add("canopy_share", "Pad's ground under canopy", pad.canopy_share, "", 2,
            fmt::format("canopy.source, taller than {} (notes.canopy_height_m)",
                        section.units().plain("m", settings.notes.canopy_height_m)));
    }
}

namespace {

void add_pump(const PadRow& pad, const Settings& settings, SectionWriter& section) {
    const std::string efficiency =
        fmt::format("an efficiency of {:g} (notes.pump_efficiency)", settings.notes.pump_efficiency);
    if (pad.feed_pump_head_m) {
        section.add(metres(' ', "feed_pump_head_m", "Head of the feed pump", value_of(pad.feed_pump_head_m),
                           "required pressure and filter less static head, and friction; the store at its reserve"));
        section.add(amount(' ', "feed_pump_kwh", "Its energy, a season", value_of(pad.feed_pump_kwh), "kW.h", 1,
                           "the forbearance volume at that head, " + efficiency));
    }
    if (pad.fill_pump_head_m) {
        section.add(amount(' ', "fill_pump_lps", "Flow of the fill pump", value_of(pad.fill_pump_lps), "L/s", 2,
                           "the storm through the connected downspouts; less with a sump"));
        section.add(
            metres(' ', "fill_pump_head_m", "Its head", value_of(pad.fill_pump_head_m), "what the gutter lacks"));
        section.add(amount(' ', "fill_pump_kwh", "Its energy, a year", value_of(pad.fill_pump_kwh), "kW.h", 1,
                           "mean winter harvest less mean overflow, " + efficiency));
    }
}

}  // namespace

void add_pad_duty(const PadRow& pad, const Settings& settings, SectionWriter& section) {
    add_pump(pad, settings, section);
    section.add(amount(' ', "full_mass_t", "Mass of the water, full", value_of(pad.full_mass_t), "t", 1,
                       "usable volume at 1 t/m3; tanks and what stands below the outlet come on top"));
    section.add(amount(' ', "bearing_kpa", "Its pressure on the tanks' bases", value_of(pad.bearing_kpa), "kPa", 1,
                       "mass x 9.80665 over the bases"));
    section.add(amount(' ', "overflow_peak_lps", "Overflow in a storm", value_of(pad.overflow_peak_lps), "L/s", 2,
                       fmt::format("runoff of {} an hour (notes.storm_mm_h)",
                                   section.units().plain("mm", settings.notes.storm_mm_h))));
}

int coordinate_decimals(const Explained& explained) {
    return explained.in_degrees ? kDegreeDecimals : 2;
}

void add_coordinates(const std::vector<NamedPlace>& places, const Explained& explained, std::optional<FactTable> more,
                     Document& document) {
    SectionWriter section(document, "coordinates", "Coordinates");
    const int decimals_of_output = coordinate_decimals(explained);
    section.text("output_crs", "Coordinate reference system of x and y", explained.output_crs, "as the file's layers");
    for (const NamedPlace& place : places) {
        if (!place.place) {
            continue;
        }
        const auto add = [&](const char* key, const char* label, Value value, const char* unit, int decimals,
                             const char* from) {
            section.add(amount(' ', place.key + key, place.label + label, std::move(value), unit, decimals, from));
        };
        add("_x", ", x", place.place->output.x, "", decimals_of_output, "easting or longitude");
        add("_y", ", y", place.place->output.y, "", decimals_of_output, "northing or latitude");
        if (const auto& degrees = place.place->degrees) {
            add("_longitude_deg", ", longitude", degrees->longitude_deg, "deg", kDegreeDecimals, "WGS 84");
            add("_latitude_deg", ", latitude", degrees->latitude_deg, "deg", kDegreeDecimals, "WGS 84");
        }
    }
    if (more) {
        section.add(std::move(*more));
    }
}

std::string pressure_of_water(const QuantityText& units) {
    return fmt::format("{:g} {} a {}", units.shown("kPa", kKpaPerMetre) / units.shown("m", 1.0), units.unit("kPa"),
                       units.length_word());
}

std::string storage_text(const StorageOption& option, const QuantityText& units) {
    const std::string volume = units.fixed("m3", option.nominal_m3, 1);
    return option.tank.count == 1 ? fmt::format("one tank of {}", volume)
                                  : fmt::format("{} tanks of together {}", option.tank.count, volume);
}

}  // namespace eaveshed
