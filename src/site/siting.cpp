#include "eaveshed/site/siting.hpp"

#include <algorithm>
#include <utility>

namespace eaveshed {

namespace {

void set_pad(const SiteSurvey& site, const Pad& pad, const StorageOption& option, RoofRows& result) {
    result.fill = site.fill_pipe(pad, option);
    result.feed = site.feed_pipe(pad);
    result.pad = site.row_of(pad, option);
    result.pad->fill_line = result.fill->fill_line;
    RoofRow& row = result.roof;
    row.delivery = result.pad->delivery;
    row.gravity_check = result.pad->gravity_check;
    row.gravity_probability = result.pad->gravity_probability;
    row.pad_elev_m = result.pad->pad_elev_m;
    row.pressure_kpa = result.pad->pressure_kpa;
    row.fill_distance_m = result.pad->fill_distance_m;
}

// Those below `end`.
std::vector<Tanks> smaller_options(const TileRules& rules, std::size_t end) {
    std::vector<Tanks> options;
    for (std::size_t i = 0; i < end; ++i) {
        options.push_back(tanks_of(rules.options.at(i), *rules.settings));
    }
    return options;
}

}  // namespace

std::vector<OptionTried> try_options(const PadSearch& search, const TileRules& rules, std::size_t recommended) {
    std::vector<OptionTried> tried;
    bool hopeless = false;
    for (std::size_t i = recommended + 1; i-- > 0;) {
        const auto pads =
            hopeless ? std::vector<Pad>{} : search.best(tanks_of(rules.options.at(i), *rules.settings), 1);
        tried.push_back({i, pads.empty() ? std::nullopt : std::optional(pads.front())});
        if (tried.back().pad) {
            break;
        }
        // Asked once: where not even the least ground of the smaller ones is free, none of them need be searched for.
        hopeless = hopeless || (i == recommended && i > 0 && !search.any_place(smaller_options(rules, i)));
    }
    return tried;
}

OptionTried site_option(const PadSearch& search, const TileRules& rules, std::size_t recommended) {
    OptionTried last = try_options(search, rules, recommended).back();
    return last.pad ? last : OptionTried{recommended, std::nullopt};
}

OptionTried evaluate_siting(const SiteSurvey& site, const TileRules& rules, std::size_t recommended, RoofRows& result) {
    RoofRow& row = result.roof;
    result.use_point = site.use_point();
    if (!result.use_point) {
        row.delivery = Delivery::no_pad;
        row.no_pad_reason = PadReason::no_use_point;
        return {recommended, std::nullopt};
    }
    if (result.use_point->assumed) {
        row.flags.add(Flag::assumed_use_point);
    }
    const PadSearch& search = site.search();
    const OptionTried sited = site_option(search, rules, recommended);
    const StorageOption& option = rules.options.at(sited.option);
    if (sited.pad) {
        set_pad(site, *sited.pad, option, result);
    } else {
        row.delivery = Delivery::no_pad;
        row.no_pad_reason = search.main_reason(tanks_of(option, *rules.settings));
    }
    if (sited.option != recommended) {
        row.flags.add(Flag::smaller_storage);
    }
    const ElevationWindow window = site.window(option);
    row.window_low_elev_m = window.low_elev_m;
    row.window_high_elev_m = window.high_elev_m;
    return sited;
}

}  // namespace eaveshed
