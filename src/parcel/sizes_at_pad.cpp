#include "sizes_at_pad.hpp"

#include <algorithm>
#include <utility>

#include "eaveshed/parcel/parcel_system.hpp"

namespace eaveshed {

namespace {

// The first of the connected roofs that would not fill the option's tanks.
std::optional<std::size_t> roof_out_of_reach(const ParcelRoofs& together, const SharedStorage& system,
                                             const OptionTried& tried) {
    const auto found = std::ranges::find_if(system.members, [&](std::size_t roof) {
        return roof != system.owner && !together.connects(roof, system.owner, tried);
    });
    return found == system.members.end() ? std::nullopt : std::optional(*found);
}

SizeAtPad size_at(std::size_t option, const ParcelRoofs& together, const SharedStorage& system, const PadSearch& search,
                  const TileRules& rules) {
    const Pad& chosen = system.sited.pad.value();
    const CellAnswer answer = search.answer(chosen.cell, tanks_of(rules.options.at(option), *rules.settings));
    SizeAtPad size{option, SizeOutcome::stands, answer.pad, answer.reason, std::nullopt};
    if (!size.pad) {
        size.outcome = SizeOutcome::no_place;
    } else if (size.pad->rank.stage > chosen.rank.stage) {
        size.outcome = SizeOutcome::stage;
    } else if ((size.roof = roof_out_of_reach(together, system, {option, size.pad}))) {
        size.outcome = SizeOutcome::roof;
    }
    return size;
}

}  // namespace

std::vector<SizeAtPad> sizes_at_pad(const ParcelRoofs& together, const SharedStorage& system, const TileRules& rules) {
    const PadSearch& search = together.search_at(system.owner);
    std::vector<SizeAtPad> sizes;
    for (std::size_t option = 0; option < rules.options.size(); ++option) {
        if (option == system.sited.option) {
            sizes.push_back({option, SizeOutcome::stands, system.sited.pad, std::nullopt, std::nullopt});
        } else {
            sizes.push_back(size_at(option, together, system, search, rules));
        }
    }
    return sizes;
}

std::vector<ParcelOptionRow> option_rows(const std::vector<SizeAtPad>& sizes, const SharedStorage& system,
                                         const ExistingStorage& existing, const ParcelRow& parcel,
                                         const TileRules& rules) {
    const int season_days = rules.season.forbear.mean_year_days();
    std::vector<ParcelOptionRow> rows;
    for (const SizeAtPad& size : sizes) {
        if (size.outcome != SizeOutcome::stands) {
            continue;
        }
        const Pad& pad = size.pad.value();
        const StorageOption& option = rules.options.at(size.option);
        ParcelOptionRow& row = rows.emplace_back();
        row.storage_m3 = option.nominal_m3;
        row.tank_count = option.tank.count;
        row.usable_m3 = option.usable_m3;
        row.arrangement = pad.arrangement;
        row.forbearance_m3 = system.options.at(size.option).behaviour.forbearance_m3();
        row.instream_gain_lps = mean_rate_lps(*row.forbearance_m3, season_days) * parcel.source_share.value();
        const Added added = existing.added_by(*row.forbearance_m3, *parcel.source_share);
        row.added_forbearance_m3 = added.forbearance_m3;
        row.added_gain_lps = added.gain_lps;
        row.pressure_kpa = pad.feed.pressure_kpa;
        row.delivery = pad.rank.delivery();
        if (const auto lines = cost_lines(system_parts(option, pad, parcel), rules.settings->cost)) {
            row.cost = lines->total();
        }
        row.chosen = size.option == system.sited.option;
    }
    return rows;
}

}  // namespace eaveshed
