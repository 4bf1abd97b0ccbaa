#include "eaveshed/tile/siting.hpp"

namespace eaveshed {

namespace {

void set_pad(const RoofSite& site, const Pad& pad, const StorageOption& option, RoofResult& result) {
    result.pad = site.row_of(pad, option);
    RoofRow& row = result.roof;
    row.delivery = result.pad->delivery;
    row.gravity_check = result.pad->gravity_check;
    row.gravity_probability = result.pad->gravity_probability;
    row.pad_elev_m = result.pad->pad_elev_m;
    row.pressure_kpa = result.pad->pressure_kpa;
    row.fill_distance_m = result.pad->fill_distance_m;
}

std::size_t choose(const RoofSite& site, const TileRules& rules, std::size_t recommended, RoofResult& result) {
    const PadSearch search = site.search();
    const OptionTried last = try_options(search, rules, recommended).back();
    if (last.pad) {
        set_pad(site, *last.pad, rules.options.at(last.option), result);
        if (last.option != recommended) {
            result.roof.flags.add(Flag::smaller_storage);
        }
        return last.option;
    }
    result.roof.delivery = Delivery::no_pad;
    result.roof.no_pad_reason = main_reason(search.removed(tanks_of(rules.options.at(recommended), *rules.settings)));
    return recommended;
}

}  // namespace

std::vector<OptionTried> try_options(const PadSearch& search, const TileRules& rules, std::size_t recommended) {
    std::vector<OptionTried> tried;
    for (std::size_t i = recommended + 1; i-- > 0;) {
        const auto pads = search.best(tanks_of(rules.options.at(i), *rules.settings), 1);
        tried.push_back({i, pads.empty() ? std::nullopt : std::optional(pads.front())});
        if (tried.back().pad) {
            break;
        }
    }
    return tried;
}

std::size_t evaluate_siting(const RoofSite& site, const TileRules& rules, std::size_t recommended, RoofResult& result) {
    RoofRow& row = result.roof;
    result.use_point = site.use_point();
    if (!result.use_point) {
        row.delivery = Delivery::no_pad;
        row.no_pad_reason = PadReason::no_use_point;
        return recommended;
    }
    if (result.use_point->assumed) {
        row.flags.add(Flag::assumed_use_point);
    }
    const std::size_t chosen = choose(site, rules, recommended, result);
    const ElevationWindow window = site.window(rules.options.at(chosen));
    row.window_low_elev_m = window.low_elev_m;
    row.window_high_elev_m = window.high_elev_m;
    return chosen;
}

}  // namespace eaveshed
