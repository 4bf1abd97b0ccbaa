#include "eaveshed/site/evaluate_roofs.hpp"

#include <algorithm>
#include <utility>

#include "eaveshed/rank/questions.hpp"
#include "eaveshed/site/pad_duty.hpp"
#include "eaveshed/site/pad_notes.hpp"
#include "eaveshed/site/place.hpp"
#include "eaveshed/site/siting.hpp"
#include "eaveshed/site/water.hpp"

namespace eaveshed {

namespace {

bool touches_damage(const TileRoof& roof, const TileParcel* parcel, const TileInput& tile, const Settings& settings) {
    const auto ranges = terrain_needed(roof, parcel, tile.terrain.grid(), tile.metric, settings);
    if (std::ranges::any_of(ranges, [&](const CellRange& range) { return tile.terrain.damaged(range); })) {
        return true;
    }
    const auto damaged = [](const std::optional<SparseRaster>& raster, const Box& box) {
        return raster && !box.empty() && raster->damaged(raster->grid().cells_around(box));
    };
    return damaged(tile.surface, bounds(roof.surface_outline)) ||
           damaged(tile.canopy, canopy_needed(roof, tile.metric, settings));
}

// Where the rain and the take let a storage make sense: the eave, the pad and the storage columns.
void place_storage(const RoofTask& task, const TileInput& tile, const TileRules& rules, const SharedSurveys& shared,
                   ComputedRoof& computed) {
    const TileRoof& roof = *task.roof;
    const TileParcel* const parcel = task.parcel;
    RoofRows& result = computed.result;
    const WaterOutcome& water = computed.water;
    if (touches_damage(roof, parcel, tile, *rules.settings)) {
        result.roof.flags.add(Flag::read_error);
    }
    fill_roof_notes(roof, tile, *rules.settings, result.roof);
    computed.eave = evaluate_eave(roof, tile, rules, result);
    if (!water.recommended) {
        result.roof.delivery = Delivery::no_use;
        return;
    }
    computed.option = *water.recommended;
    if (computed.eave) {
        computed.site = std::make_unique<SiteSurvey>(roof, parcel, tile, rules, *computed.eave, shared);
        const OptionTried sited = evaluate_siting(*computed.site, rules, computed.option, result);
        computed.garden_elev_m = computed.site->garden_elev_m();
        computed.option = sited.option;
        computed.pad = sited.pad;
    } else {
        result.roof.delivery = Delivery::no_pad;
        result.roof.no_pad_reason = PadReason::no_elevation;
    }
    fill_storage(rules.options.at(computed.option), water.options.at(computed.option), water.take.source_share, rules,
                 result.roof);
    if (result.pad) {
        fill_pad_duty(rules.options.at(computed.option), pad_water(result.roof, storm_of(result.roof, rules)), rules,
                      *result.pad);
    }
}

// The questions about a parcel ask what else could run off roofs whose material is not known.
std::vector<double> runoff_asked_about(const TileParcel* parcel) {
    if (parcel == nullptr) {
        return {};
    }
    const QuestionWords& material = words_of(Question::material);
    return {material.low, material.high};
}

// What the last roof before this one that is of the same parcel knows of its ground. Roofs of a parcel stand together.
const SiteSurvey* last_of_parcel(std::span<const RoofTask> roofs, std::span<const ComputedRoof> computed,
                                 std::size_t roof) {
    const TileParcel* const parcel = roofs[roof].parcel;
    for (std::size_t i = roof; parcel != nullptr && i-- > 0 && roofs[i].parcel == parcel;) {
        if (computed[i].site) {
            return computed[i].site.get();
        }
    }
    return nullptr;
}

}  // namespace

std::vector<ComputedRoof> evaluate_roofs(std::span<const RoofTask> roofs, const TileInput& tile, const TileRules& rules,
                                         GroundVerdicts* verdicts) {
    std::vector<ComputedRoof> computed(roofs.size());
    std::vector<WaterTask> tasks;
    std::vector<std::size_t> task_roofs;
    for (std::size_t i = 0; i < roofs.size(); ++i) {
        const TileRoof& roof = *roofs[i].roof;
        computed[i].input = &roof;
        RoofRows& result = computed[i].result;
        result.ordinal = roof.ordinal;
        result.roof.status = roof.status;
        result.roof.flags = roof.flags;
        result.roof.plan_area_m2 = roof.plan_area_m2;
        if (roof.status == Status::ok) {
            tasks.push_back({&roof, roofs[i].parcel, &result, runoff_asked_about(roofs[i].parcel)});
            task_roofs.push_back(i);
        }
    }
    std::vector<WaterOutcome> waters = evaluate_waters(tasks, tile.climate, rules);
    for (std::size_t task = 0; task < tasks.size(); ++task) {
        const std::size_t i = task_roofs[task];
        computed[i].water = std::move(waters[task]);
        if (computed[i].water.has_rain) {
            place_storage(roofs[i], tile, rules, {verdicts, last_of_parcel(roofs, computed, i)}, computed[i]);
        } else {
            computed[i].result.roof.status = Status::no_rain;
        }
    }
    return computed;
}

std::vector<ComputedRoof> evaluate_roofs(const std::vector<TileRoof>& roofs, const TileParcel& parcel,
                                         const TileInput& tile, const TileRules& rules) {
    std::vector<RoofTask> of_site;
    of_site.reserve(roofs.size());
    for (const TileRoof& roof : roofs) {
        of_site.push_back({&roof, &parcel});
    }
    return evaluate_roofs(of_site, tile, rules);
}

ComputedRoof evaluate_roof(const TileRoof& roof, const TileParcel* parcel, const TileInput& tile,
                           const TileRules& rules) {
    const RoofTask of_site{&roof, parcel};
    return std::move(evaluate_roofs({&of_site, 1}, tile, rules).front());
}

}  // namespace eaveshed
