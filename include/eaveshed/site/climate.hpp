// The climate at a roof. The computation asks for the series at a place and for nothing else: where the series lie, and
// who read them when, is the business of whoever makes a RoofClimate.
#pragma once

#include <array>
#include <memory>
#include <optional>
#include <span>
#include <variant>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/lanes.hpp"
#include "eaveshed/core/step_field.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/rain/record.hpp"
#include "eaveshed/rain/sampling.hpp"
#include "eaveshed/rain/stations.hpp"

namespace eaveshed {

// What the reference evapotranspiration is known from. Fields have twelve steps, January first.
struct AssumedEt0 {};  // nothing: the setting's value holds everywhere
struct Et0Field {
    StepField mm_day;
};
struct TemperatureFields {  // by Hargreaves (demand/evapotranspiration.hpp)
    StepField minimum_c;
    StepField maximum_c;
};
struct TemperatureStations {};  // by Hargreaves from gauges (StationTemperatures)
using Et0Basis = std::variant<AssumedEt0, Et0Field, TemperatureFields, TemperatureStations>;

// Monthly means of daily temperatures at gauges, by station: January first, NaN missing.
struct StationTemperatures {
    std::vector<std::array<double, 12>> minimum_c;
    std::vector<std::array<double, 12>> maximum_c;
};

// A place in the CRS of each climate raster that is made use of; none where it has no way there. Of gauges those that
// it may draw on, nearest first.
struct ClimatePlace {
    std::optional<Point> rain{};
    std::optional<Point> et0{};
    std::optional<Point> minimum_temperature{};
    std::optional<Point> maximum_temperature{};
    std::vector<StationUse> rain_stations{};
    std::vector<StationUse> temperature_stations{};
};

// The rain of places: of a grid, or of gauges. Never null.
using RainOfPlaces = std::variant<std::shared_ptr<const SeriesField>, std::shared_ptr<const StationSeries>>;

// Twelve values, January first; none where nothing is known.
using KnownMonths = std::array<std::optional<double>, 12>;

// Of a field of twelve steps at a place of its grid, sampled as rain is.
[[nodiscard]] KnownMonths months_at(const StepField& field, const std::optional<Point>& point);

// Month by month of the first of `uses` with both; nearest first.
struct BothTemperatures {
    KnownMonths minimum_c;
    KnownMonths maximum_c;
};
[[nodiscard]] BothTemperatures temperatures_at(const StationTemperatures& stations, std::span<const StationUse> uses);

// Cheap to copy. Safe to use from several threads at once.
class RoofClimate {
public:
    // `rain`: series of as many depths as the record has; else a broken invariant.
    // `minimum_c`: monthly means of the daily minimum temperature, twelve steps; null where no grid tells them.
    // `stations`: temperatures of gauges; null where there are none.
    RoofClimate(std::shared_ptr<const RainRecord> record, RainOfPlaces rain, std::shared_ptr<const Et0Basis> et0,
                std::shared_ptr<const StepField> minimum_c = nullptr,
                std::shared_ptr<const StationTemperatures> stations = nullptr);

    [[nodiscard]] const RainRecord& record() const { return *m_record; }
    // The steps that stores run through.
    [[nodiscard]] const Timeline& timeline() const { return timeline_of(*m_record); }

    // Depths as the record has them, mm; none where no value is near (rain/sampling.hpp, rain/stations.hpp).
    [[nodiscard]] std::optional<SampledSeries> rain_at(const ClimatePlace& place) const;
    // The same of as many as kLanes places at once, a place a lane; of those that hold nothing rain_at tells. `out` is
    // filled anew: its memory is used again.
    [[nodiscard]] std::array<LaneSample, kLanes> rain_in_lanes(std::span<const ClimatePlace* const> places,
                                                               std::vector<Lanes>& out) const;
    // Reference evapotranspiration, mm per day.
    [[nodiscard]] KnownMonths et0_at(const ClimatePlace& place, double latitude_deg) const;
    // Monthly means of the daily minimum temperature, degrees C.
    [[nodiscard]] KnownMonths minimum_c_at(const ClimatePlace& place) const;

private:
    std::shared_ptr<const RainRecord> m_record;
    RainOfPlaces m_rain;
    std::shared_ptr<const Et0Basis> m_et0;
    std::shared_ptr<const StepField> m_minimum_c;
    std::shared_ptr<const StationTemperatures> m_stations;
};

}  // namespace eaveshed
