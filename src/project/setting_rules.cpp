#include "setting_rules.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "eaveshed/core/season.hpp"
#include "eaveshed/settings/table.hpp"

namespace eaveshed {

namespace {

class Rules {
public:
    Rules(const Settings& settings, const Given& given, Findings& findings)
        : m_settings(settings), m_given(given), m_findings(findings) {}

    void check_climate() const {
        const bool normals = m_settings.rain.kind == RainKind::monthly_normals;
        if (m_settings.rain.dry_winter_factor && !normals) {
            error("rain.dry_winter_factor", "a factor for a rain series",
                  "a factor only with kind = \"monthly-normals\"",
                  "leave the line out: a series holds its own dry winters");
        }
        const bool minimum = !m_settings.temperature.minimum.empty();
        if (minimum != !m_settings.temperature.maximum.empty()) {
            error(minimum ? "temperature.minimum" : "temperature.maximum", "one of two rasters",
                  "temperature.minimum and temperature.maximum together", "give the other one too, or leave both out");
        }
    }

    void check_season() const {
        const MonthSet forbear{m_settings.season.forbear_months};
        if (!last_of_run(forbear)) {
            const bool all = forbear.count() == 12;
            error("season.forbear_months", all ? "all twelve months" : "months with a gap between them",
                  "one run of months round the year, such as [8, 9, 10] or [12, 1, 2]",
                  all ? "leave the wet season out: the tank year begins after the last forbearance month"
                      : "fill the gap or leave the months on one side of it out");
        }
    }

    void check_demand() const {
        const bool transmissivity = m_settings.demand.transmissivity_m2_day.has_value();
        if (transmissivity != m_settings.demand.storage_coefficient.has_value()) {
            error(transmissivity ? "demand.transmissivity_m2_day" : "demand.storage_coefficient",
                  "one of an aquifer's two properties",
                  "demand.transmissivity_m2_day and demand.storage_coefficient together",
                  "give the other one too, or leave both out");
        }
    }

    void check_storage() const {
        const double outlet_m = m_settings.siting.outlet_height_m;
        const double reserve_m3 = m_settings.storage.reserve_m3;
        bool any_above_reserve = false;
        for (std::size_t i = 0; i < m_settings.tanks.size(); ++i) {
            const TankOption& option = m_settings.tanks[i];
            if (option.height_m <= outlet_m) {
                const std::string key = fmt::format("tanks.{}.height_m", i + 1);
                error(m_given.has(key) ? key : "siting.outlet_height_m",
                      fmt::format("a tank {} m high with its outlet at {} m", number_text(option.height_m),
                                  number_text(outlet_m)),
                      "every tank of the catalogue higher than siting.outlet_height_m",
                      "correct the tank's height or lower the outlet");
                return;
            }
            any_above_reserve =
                any_above_reserve || option.nominal_m3() * (1.0 - outlet_m / option.height_m) > reserve_m3;
        }
        if (!any_above_reserve) {
            error("storage.reserve_m3", fmt::format("{} m3, which leaves no storage option", number_text(reserve_m3)),
                  "less than the largest option's usable volume",
                  "lower the reserve or add a larger option to [[tanks]]");
        }
    }

    void check_pressure() const {
        const SitingSettings& siting = m_settings.siting;
        if (siting.minimum_kpa > siting.required_kpa) {
            error(m_given.has("siting.minimum_kpa") ? "siting.minimum_kpa" : "siting.required_kpa",
                  fmt::format("minimum_kpa {} above required_kpa {}", number_text(siting.minimum_kpa),
                              number_text(siting.required_kpa)),
                  "minimum_kpa no greater than required_kpa", "lower minimum_kpa or raise required_kpa");
        }
    }

    void check_rank() const {
        const RankSettings& rank = m_settings.rank;
        if (rank.weight_stream_gain + rank.weight_low_flow_share + rank.weight_gravity + rank.weight_cost +
                rank.weight_reliability <=
            0.0) {
            error("rank.weight_stream_gain", "all weights 0", "at least one weight above 0", "give one a weight");
        }
        std::vector<std::string> names;
        for (std::size_t i = 0; i < m_settings.scenarios.size(); ++i) {
            const std::string& name = m_settings.scenarios[i].name;
            if (std::ranges::find(names, name) != names.end()) {
                error(fmt::format("scenarios.{}.name", i + 1), fmt::format("\"{}\" a second time", name),
                      "a different name for each scenario", "rename one of them");
            }
            if (name == kScenarioNow || name == kScenarioWorst) {
                error(fmt::format("scenarios.{}.name", i + 1), fmt::format("\"{}\"", name),
                      "a name other than now and worst, which rank.scenario keeps for itself", "rename it");
            }
            names.push_back(name);
        }
        check_rank_scenario(names);
    }

    void check_streams() const {
        if (m_settings.streams.derive && !m_settings.streams.from.source.empty()) {
            error("streams.derive", "stream lines in streams.source too", "lines that are given, or derived ones",
                  "leave one of the two out: given lines are the better ones where they are whole");
        }
    }

    // Fields and layers say nothing without the file that they belong to.
    void check_sources() const {
        for (const Setting& setting : settings_table()) {
            const std::string section(setting.section);
            const std::string key = fmt::format("{}.{}", section, setting.key);
            const bool needs_source = names_field(setting) || setting.kind == Kind::fields || setting.key == "layer";
            if (needs_source && m_given.has(key) && !m_given.has(section + ".source")) {
                error(key, fmt::format("no source in [{}]", section),
                      setting.key == "layer" ? "a source for this layer" : "a source for this field",
                      fmt::format("give {}.source, or leave the line out", section));
            }
        }
    }

private:
    void check_rank_scenario(const std::vector<std::string>& names) const {
        const std::string& by = m_settings.rank.scenario;
        if (by == kScenarioNow || (by == kScenarioWorst && !names.empty()) ||
            std::ranges::find(names, by) != names.end()) {
            return;
        }
        std::string known = fmt::format("{} or {}", kScenarioNow, kScenarioWorst);
        for (const std::string& name : names) {
            known += fmt::format(", or \"{}\"", name);
        }
        error("rank.scenario", fmt::format("\"{}\"{}", by, names.empty() ? ", and no [[scenarios]]" : ""),
              names.empty() ? std::string("a scenario of the project, or now") : known,
              names.empty() ? "add [[scenarios]], or leave the line out" : "name one of these");
    }

    void error(const std::string& key, std::string found, std::string wanted, std::string remedy) const {
        m_findings.error({m_given.where(key), std::move(found), std::move(wanted), std::move(remedy)});
    }

    const Settings& m_settings;
    const Given& m_given;
    Findings& m_findings;
};

// A setting that only matters together with another one.
void warn_idle(const Given& given, Findings& findings, const std::string& key, bool idle, const char* because) {
    if (idle && given.has(key)) {
        findings.warn(
            {given.where(key), "a setting without effect", because, "leave the line out or change the other one"});
    }
}

}  // namespace

void check_required(const Settings& settings, const Given& given, Findings& findings) {
    for (const Setting& setting : settings_table()) {
        if (!setting.required) {
            continue;
        }
        const Section& section = *find_section(setting.section);
        for (std::size_t item = 0; item < item_count(section, settings); ++item) {
            const std::string table =
                section.repeated ? fmt::format("{}.{}", section.name, item + 1) : std::string(section.name);
            const std::string key = fmt::format("{}.{}", table, setting.key);
            // A catalogue that is not given has nothing to ask for.
            if (given.has(key) || (section.repeated && !given.has(table))) {
                continue;
            }
            findings.error({given.where(section.repeated ? table : key), fmt::format("no {}", setting.key),
                            wanted_text(setting), fmt::format("give it: {}", setting.meaning)});
        }
    }
}

void check_rules(const Settings& settings, const Given& given, Findings& findings) {
    const Rules rules(settings, given, findings);
    rules.check_climate();
    rules.check_season();
    rules.check_demand();
    rules.check_storage();
    rules.check_pressure();
    rules.check_rank();
    rules.check_streams();
    rules.check_sources();
}

namespace {

// What only tables of gauges make use of.
void note_idle_gauges(const Settings& settings, const Given& given, Findings& findings) {
    constexpr const char* kTable = "a table of gauges (CSV) beside it";
    const auto no_table = [](const std::vector<std::string>& paths) {
        return std::ranges::none_of(paths, [](const std::string& path) { return names_gauge_table(path); });
    };
    const bool rain_grid = no_table(settings.rain.source);
    const bool temperature_grids = no_table(settings.temperature.minimum) && no_table(settings.temperature.maximum);
    for (const char* const key : {"rain.stations", "rain.columns", "rain.date_order", "rain.normals"}) {
        warn_idle(given, findings, key, rain_grid, kTable);
    }
    warn_idle(given, findings, "rain.nearest_stations", rain_grid && temperature_grids, kTable);
    for (const char* const key : {"temperature.stations", "temperature.minimum_column", "temperature.maximum_column",
                                  "temperature.unit", "temperature.date_order"}) {
        warn_idle(given, findings, key, temperature_grids, kTable);
    }
}

// What only one kind of streams makes use of.
void note_idle_streams(const StreamSettings& streams, const Given& given, Findings& findings) {
    const bool no_lines = streams.from.source.empty();
    warn_idle(given, findings, "streams.stream_area_km2", !streams.derive, "streams.derive = true beside it");
    for (const char* const key : {"streams.join_m", "streams.gap_m", "streams.elevation_slack_m", "streams.turn"}) {
        warn_idle(given, findings, key, no_lines, "streams.source beside it");
    }
    warn_idle(given, findings, "streams.entry", !streams.given(), "streams.source or streams.derive beside it");
    warn_idle(given, findings, "streams.routing_cell_m",
              !streams.derive && (no_lines || streams.entry == StreamEntryBy::nearest),
              "streams.derive, or streams.source with entry = \"flow\", beside it");
}

}  // namespace

void note_without_effect(const Settings& settings, const Given& given, Findings& findings) {
    note_idle_gauges(settings, given, findings);
    note_idle_streams(settings.streams, given, findings);
    warn_idle(given, findings, "footprints.overhang_m", settings.footprints.outline == Outline::roof,
              "outline = \"walls\" beside it");
    warn_idle(given, findings, "terrain.surface_kind", settings.terrain.surface.empty(), "terrain.surface beside it");
    warn_idle(given, findings, "evapotranspiration.unit", settings.evapotranspiration.source.empty(),
              "evapotranspiration.source beside it");
    warn_idle(given, findings, "parcels.default_water_source", settings.parcels.from.source.empty(),
              "parcels.source beside it: a roof in no parcel has an unknown source");
    const bool normals = settings.rain.kind == RainKind::monthly_normals;
    warn_idle(given, findings, "rain.start", normals, "a rain series: monthly normals have no dates");
    warn_idle(given, findings, "rain.calendar", normals, "a rain series: monthly normals have no dates");
    const Season season = settings.season_months();
    const auto draws =
        std::ranges::any_of(settings.season.forbear_months, [&season](int month) { return season.draw.has(month); });
    if (!draws) {
        findings.warn({given.where("season.draw_months"), "no forbearance month",
                       "at least one month of season.forbear_months",
                       "add one: otherwise no diversion is ever replaced"});
    }
}

}  // namespace eaveshed
