#include "eaveshed/property/year.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <tuple>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/quantile.hpp"
#include "eaveshed/rain/record.hpp"

namespace eaveshed {

namespace {

// One run of the parcel's storage: the record as it is, or the mean year made dry.
struct StoreRun {
    const WaterSeries& series;
    double rain_factor = 1.0;
};

// Rain on the connected roofs, mm in every step.
std::vector<double> roof_rain_mm(const ParcelExplanation& parcel, const std::vector<TileRoof>& roofs,
                                 const RoofClimate& climate) {
    std::vector<double> mean(climate.timeline().steps.size(), 0.0);
    double area_m2 = 0.0;
    for (const std::size_t member : parcel.members) {
        area_m2 += parcel.roofs[member].roof.plan_area_m2.value();
    }
    for (const std::size_t member : parcel.members) {
        const auto sampled = climate.rain_at(roofs[member].climate_place);
        if (!sampled) {
            internal_error("a roof that fills a storage without rain");
        }
        const double share = *parcel.roofs[member].roof.plan_area_m2 / area_m2;
        const std::vector<double> own = step_depths_mm(climate.record(), sampled->values);
        for (std::size_t i = 0; i < mean.size(); ++i) {
            mean[i] += share * own[i];
        }
    }
    return mean;
}

class YearsOfStore {
public:
    YearsOfStore(const ParcelExplanation& parcel, const std::vector<TileRoof>& roofs, const TileInput& tile,
                 const TileRules& rules)
        : m_parcel(parcel), m_rules(rules), m_timeline(tile.climate.timeline()) {
        m_rain_mm = roof_rain_mm(parcel, roofs, tile.climate);
    }

    [[nodiscard]] std::vector<PropertyYear> years(const StoreRun& run) const;

private:
    void add_rain(const TankYear& year, double factor, PropertyYear& property) const;

    const ParcelExplanation& m_parcel;
    const TileRules& m_rules;
    const Timeline& m_timeline;
    std::vector<double> m_rain_mm;
};

void YearsOfStore::add_rain(const TankYear& year, double factor, PropertyYear& property) const {
    auto month = property.months.begin();
    for (std::size_t i = year.begin; i < year.end; ++i) {
        if (m_timeline.steps[i].month != month->store.month) {
            ++month;
        }
        month->rain_mm += factor * m_rain_mm[i];
    }
}

std::vector<PropertyYear> YearsOfStore::years(const StoreRun& run) const {
    const StorageOption& option = m_parcel.options.at(m_parcel.chosen);
    const Store store{option.usable_m3, m_rules.settings->storage.reserve_m3};
    const auto& counted = m_parcel.record.counted;
    const auto months =
        store_months(m_timeline, counted, {run.series.inflow_m3, run.series.demand_m3}, store, m_rules.store_rule);
    std::vector<PropertyYear> years(months.size());
    for (std::size_t i = 0; i < years.size(); ++i) {
        PropertyYear& year = years[i];
        year.name = m_timeline.is_series() ? counted[i].name : 0;
        for (const StoreMonth& month : months[i]) {
            year.months.push_back({.store = month});
            year.replaced_m3 += m_rules.season.forbear.has(month.month) ? month.taken_m3 : 0.0;
            year.wanted_m3 += m_rules.season.forbear.has(month.month) ? month.demand_m3 : 0.0;
            year.harvest_m3 += m_rules.season.fill.has(month.month) ? month.inflow_m3 : 0.0;
            year.overflow_m3 += month.overflow_m3;
        }
        add_rain(counted[i], run.rain_factor, year);
    }
    return years;
}

std::vector<YearWorth> worth_of(const std::vector<PropertyYear>& years) {
    std::vector<YearWorth> worth;
    worth.reserve(years.size());
    for (const PropertyYear& year : years) {
        worth.push_back({year.harvest_m3, year.replaced_m3});
    }
    return worth;
}

PropertyYear named(PropertyYear year, YearKind kind) {
    year.kind = kind;
    return year;
}

// Ranks of the years in order of their winters, counted from 1, within the years.
struct Ranks {
    std::size_t first = 1;
    std::size_t last = 1;
};

std::size_t rank_of(double share, std::size_t years) {
    constexpr double kSlack = 1e-9;
    const auto rank = static_cast<std::size_t>(share * static_cast<double>(years + 1) + kSlack);
    return std::clamp<std::size_t>(rank, 1, years);
}

std::vector<std::size_t> by_winter(std::span<const YearWorth> years) {
    constexpr double kStep_m3 = 1e-6;
    std::vector<std::size_t> order(years.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::sort(order, {}, [&](std::size_t i) {
        return std::tuple(std::round(years[i].harvest_m3 / kStep_m3), years[i].replaced_m3, i);
    });
    return order;
}

// Of these ranks the year that is nearest to the quantile of what all years replace.
std::size_t nearest_of(std::span<const YearWorth> years, Ranks ranks, double share) {
    std::vector<double> volumes;
    std::ranges::transform(years, std::back_inserter(volumes), &YearWorth::replaced_m3);
    std::ranges::sort(volumes);
    const double wanted_m3 = weibull_quantile(volumes, share);
    const std::vector<std::size_t> order = by_winter(years);
    constexpr double kSame_m3 = 1e-6;
    std::size_t nearest = order.at(ranks.last - 1);
    for (std::size_t rank = ranks.last; rank-- > ranks.first;) {
        const std::size_t year = order.at(rank - 1);
        if (std::abs(years[year].replaced_m3 - wanted_m3) <
            std::abs(years[nearest].replaced_m3 - wanted_m3) - kSame_m3) {
            nearest = year;
        }
    }
    return nearest;
}

std::array<double, 12> mean_stocks(const std::vector<PropertyYear>& years) {
    std::array<double, 12> stocks{};
    for (const PropertyYear& year : years) {
        for (const PropertyMonth& month : year.months) {
            stocks.at(static_cast<std::size_t>(month.store.month - 1)) +=
                month.store.stock_start_m3 / static_cast<double>(years.size());
        }
    }
    return stocks;
}

}  // namespace

std::size_t middling_year(std::span<const YearWorth> years) {
    constexpr double kMiddle = 0.5;
    const std::size_t beside = years.size() / 10;
    const std::size_t middle = rank_of(kMiddle, years.size());
    const Ranks alike{middle > beside ? middle - beside : 1, std::min(middle + beside, years.size())};
    // With few years beside none: the middle one itself.
    return nearest_of(years, alike, kMiddle);
}

std::size_t dry_year(std::span<const YearWorth> years, double share) {
    return nearest_of(years, {1, rank_of(share, years.size())}, share);
}

std::optional<PropertyWater> property_water(const ParcelExplanation& parcel, const std::vector<TileRoof>& roofs,
                                            const TileInput& tile, const Settings& settings) {
    if (parcel.members.empty()) {
        return std::nullopt;
    }
    const TileRules rules = rules_from(settings);
    const YearsOfStore store(parcel, roofs, tile, rules);
    const std::vector<PropertyYear> years = store.years({parcel.record.series});
    const std::vector<YearWorth> worth = worth_of(years);
    PropertyWater water;
    water.stock_at_start_m3 = mean_stocks(years);
    if (tile.climate.timeline().is_series()) {
        water.years.push_back(named(years[middling_year(worth)], YearKind::middling));
        water.years.push_back(named(years[dry_year(worth, 1.0 - settings.storage.reliability)], YearKind::dry));
        return water;
    }
    water.years.push_back(named(years.front(), YearKind::mean_year));
    if (parcel.record.dry) {
        const double factor = settings.rain.dry_winter_factor.value();
        water.years.push_back(named(store.years({*parcel.record.dry, factor}).front(), YearKind::assumed_dry));
    }
    return water;
}

}  // namespace eaveshed
