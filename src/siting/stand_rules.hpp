// The rules asked of tanks that stand on a cell. Private to the module.
#pragma once

#include <algorithm>
#include <optional>

#include "rule_walk.hpp"

namespace eaveshed {

// One way to stand on a cell, with all that the rules can ask of it; what it names outlives it.
struct PadAsked {
    const PadSite& site;
    const PadRules& rules;
    const Stand& stand;
    const Pad& pad;
};

template <typename Rule>
bool fails_stand(Rule rule, const PadAsked& asked) {
    const PadLimits& limits = asked.rules.limits;
    const auto tank_fails = [&](const StandingTank& tank) {
        return fails(rule, GroundAsked{tank.slope}, limits) ||
               fails_anywhere(rule, PlaceAsked{asked.site, tank.centre, asked.stand.radius_m}, limits);
    };
    return fails(rule, asked.stand.level, limits) || std::ranges::any_of(asked.stand.tanks, tank_fails) ||
           fails(rule, asked.pad, limits);
}

// The first of the rules that `chosen` names which removes the pad. The cell itself is asked before its tanks are.
template <typename Choose>
std::optional<PadReason> first_failed(const PadAsked& asked, Choose&& chosen) {
    const GroundAsked cell{asked.pad.slope};
    const auto reason =
        first_rule([&](auto rule) { return chosen(decltype(rule)::kEntry) && fails(rule, cell, asked.rules.limits); });
    return reason ? reason
                  : first_rule([&](auto rule) { return chosen(decltype(rule)::kEntry) && fails_stand(rule, asked); });
}

constexpr bool every_rule(const SitingRule&) {
    return true;
}

// The ways in which the tanks can stand on a cell: one for a single tank, two for several.
template <typename Visit>
void for_each_stand(const Footing& footing, const PadGround& ground, Visit&& visit) {
    visit(footing.together(ground));
    if (footing.size().count > 1) {
        visit(footing.in_a_row(ground));
    }
}

inline bool better(const Pad& a, const Pad& b) {
    return a.rank.better_than(b.rank);
}

// Every way to stand on a cell, held against the rules that `chosen` names: the better of those that pass, and the
// later of the rules at which they fell out.
template <typename Choose>
CellAnswer answer_at(const PadGround& ground, const Footing& footing, const PadSite& site, const PadRules& rules,
                     const Tanks& tanks, Choose&& chosen) {
    CellAnswer answer;
    if (!ground.gradient) {
        answer.reason = PadReason::elevation_gap;
        return answer;
    }
    for_each_stand(footing, ground, [&](const Stand& stand) {
        const Pad pad = pad_at(ground, stand, site, rules, tanks);
        const auto reason = first_failed({site, rules, stand, pad}, chosen);
        if (reason) {
            answer.reason = answer.reason ? std::max(*answer.reason, *reason) : *reason;
        } else if (!answer.pad || better(pad, *answer.pad)) {
            answer.pad = pad;
        }
    });
    if (answer.pad) {
        answer.reason.reset();
    }
    return answer;
}

}  // namespace eaveshed
