#include "eaveshed/plausible/judge_roofs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "sample_judge.hpp"

namespace eaveshed {

namespace {

using RoofAsked = Asked<RoofSample>;
using RoofList = std::vector<RoofAsked>;

std::string high_text(CheckCode code) {
    return fmt::format("{:g}", rule_of(code).high);
}

using RoofJudge = SampleJudge<RoofSample>;

class Judge {
public:
    Judge(const BasinSample& sample, const JudgedInputs& inputs, Findings& findings)
        : m_sample(sample), m_inputs(inputs), m_findings(findings), m_judge(sample.roofs, findings) {}

    void areas() const;
    void blocks() const;
    void connected() const;
    void exclusions() const;
    void holes() const;
    void eaves() const;
    void surface() const;
    void terrain() const;
    void unknown_eaves() const;
    void parcels() const;
    void sources() const;

private:
    [[nodiscard]] bool storeys_many() const;
    [[nodiscard]] std::string surface_remedy() const;
    [[nodiscard]] bool any_storeys() const {
        return std::ranges::any_of(m_sample.roofs, [](const RoofSample& roof) { return roof.storeys.has_value(); });
    }

    const BasinSample& m_sample;
    const JudgedInputs& m_inputs;
    Findings& m_findings;
    RoofJudge m_judge;
};

void Judge::areas() const {
    m_judge.by_middle(
        CheckCode::footprint_areas, m_inputs.footprints,
        [](const RoofSample& roof) { return std::optional(roof.plan_area_m2); }, "plan areas, m2,",
        "one outline for each building, " + bounds_text(rule_of(CheckCode::footprint_areas), " m2") + " in the middle",
        [](const RoofAsked& one) { return figure(one.value) + " m2"; });
}

void Judge::blocks() const {
    const CheckRule& rule = rule_of(CheckCode::roof_blocks);
    double all_m2 = 0.0;
    double blocks_m2 = 0.0;
    RoofList blocks;
    for (const RoofAsked& one :
         m_judge.asked([](const RoofSample& roof) { return std::optional(roof.plan_area_m2); })) {
        all_m2 += one.value;
        if (one.value > rule.high) {
            blocks_m2 += one.value;
            blocks.push_back(one);
        }
    }
    if (m_sample.roofs.size() < kLeastJudged || blocks_m2 < all_m2 / 2.0 || blocks.empty()) {
        return;
    }
    m_findings.check(
        CheckCode::roof_blocks,
        {m_inputs.footprints,
         fmt::format("{:.0f} % of the roof area in outlines over {:g} m2: {}", 100.0 * blocks_m2 / all_m2, rule.high,
                     RoofJudge::concerned(rule, blocks, m_sample.roofs.size(),
                                          [](const RoofAsked& one) { return figure(one.value) + " m2"; })),
         "one outline for each building", ""});
}

// Of an outline of a house's size.
std::optional<double> house_storeys(const RoofSample& roof) {
    const auto [least_m2, most_m2] = rule_of(CheckCode::storeys_many).also;
    return roof.plan_area_m2 >= least_m2 && roof.plan_area_m2 <= most_m2 ? roof.storeys : std::nullopt;
}

bool Judge::storeys_many() const {
    const auto list = m_judge.asked(house_storeys);
    return list.size() >= kLeastJudged && rule_of(CheckCode::storeys_many).broken_by(RoofJudge::middle_of(list));
}

void Judge::connected() const {
    const auto list = m_judge.asked([](const RoofSample& roof) { return roof.connected_share; });
    const CheckRule& rule = rule_of(CheckCode::connected_small);
    if (list.size() < kLeastJudged || !rule.broken_by(list.back().value)) {
        return;
    }
    m_findings.check(CheckCode::connected_small,
                     {m_inputs.footprints,
                      fmt::format("connected shares of {} at most: {}", figure(list.back().value),
                                  RoofJudge::concerned(rule, list, list.size(),
                                                       [](const RoofAsked& one) { return figure(one.value); })),
                      fmt::format("{:g} or more at some roof", rule.low), ""});
}

void Judge::exclusions() const {
    if (!m_sample.has_exclusions) {
        return;
    }
    const RoofList all = m_judge.asked([](const RoofSample& roof) {
        return roof.excluded ? std::optional(*roof.excluded ? 1.0 : 0.0) : std::nullopt;
    });
    RoofList some;
    std::ranges::copy_if(all, std::back_inserter(some), [](const RoofAsked& one) { return one.value > 0.0; });
    const CheckRule& rule = rule_of(CheckCode::roofs_excluded);
    if (all.size() < kLeastJudged || share_of(some.size(), all.size()) < rule.share) {
        return;
    }
    m_findings.check(
        CheckCode::roofs_excluded,
        {m_inputs.exclusions,
         "roofs inside the exclusions, where no tank can stand: " +
             RoofJudge::concerned(rule, some, all.size(),
                                  [](const RoofAsked& one) { return figure(one.of->plan_area_m2) + " m2 of roof"; }),
         "areas that leave most houses out", ""});
}

// How far the lowest of the nearest lies above this one's ground, less a part of its distance.
std::optional<double> below_neighbours(const RoofSample& roof, const std::vector<const RoofSample*>& seen) {
    constexpr std::array<double, 2> kAlso = rule_of(CheckCode::ground_holes).also;
    constexpr auto kNeighbours = static_cast<std::size_t>(kAlso[0]);
    constexpr double kSlope = kAlso[1];
    if (!roof.ground_m || seen.size() <= kNeighbours) {
        return std::nullopt;
    }
    std::vector<std::pair<double, const RoofSample*>> others;
    for (const RoofSample* const other : seen) {
        if (other != &roof) {
            others.emplace_back(std::hypot(other->x_m - roof.x_m, other->y_m - roof.y_m), other);
        }
    }
    std::ranges::nth_element(others, others.begin() + kNeighbours, {}, &std::pair<double, const RoofSample*>::first);
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < kNeighbours; ++i) {
        least = std::min(least, *others[i].second->ground_m - *roof.ground_m - kSlope * others[i].first);
    }
    return least;
}

void Judge::holes() const {
    std::vector<const RoofSample*> seen;
    for (const RoofSample& roof : m_sample.roofs) {
        if (roof.ground_m) {
            seen.push_back(&roof);
        }
    }
    const auto list = m_judge.asked([&](const RoofSample& roof) { return below_neighbours(roof, seen); });
    const CheckRule& rule = rule_of(CheckCode::ground_holes);
    const auto some = RoofJudge::those_outside(rule, list);
    if (some.empty()) {
        return;
    }
    const RoofSample& example = *some[some.size() / 2].of;
    m_findings.check(CheckCode::ground_holes,
                     {m_inputs.terrain,
                      fmt::format("ground over {:g} m below that of the nearest roofs: {} of {} roofs looked at, such "
                                  "as \"{}\" (ground at {} m)",
                                  rule.high, some.size(), list.size(), example.id, figure(*example.ground_m)),
                      "ground without holes", ""});
}

void Judge::eaves() const {
    const bool many = storeys_many();
    m_judge.by_middle(CheckCode::storeys_many, m_inputs.footprints, house_storeys, "storeys",
                      high_text(CheckCode::storeys_many) + " or fewer in the middle", [](const RoofAsked& one) {
                          return fmt::format("{} storeys on {} m2", figure(one.value), figure(one.of->plan_area_m2));
                      });
    m_judge.by_middle(
        CheckCode::eave_per_storey, m_inputs.footprints,
        [many](const RoofSample& roof) {
            return roof.computed && !many ? ratio(roof.eave_height_m, roof.storeys) : std::nullopt;
        },
        "metres of eave height a storey",
        bounds_text(rule_of(CheckCode::eave_per_storey), " m") + " a storey in the middle",
        [](const RoofAsked& one) {
            return fmt::format("{} m, {} storeys", figure(*one.of->eave_height_m), figure(*one.of->storeys));
        });
    if (!any_storeys()) {
        m_judge.by_middle(
            CheckCode::eave_high, m_inputs.footprints,
            [](const RoofSample& roof) { return roof.computed ? roof.eave_height_m : std::nullopt; },
            "eave heights, m,",
            high_text(CheckCode::eave_high) + " m or less in the middle, unless most houses have three storeys or more",
            [](const RoofAsked& one) { return figure(one.value) + " m"; });
    }
    m_judge.by_share(
        CheckCode::eave_off_surface, m_inputs.surface,
        [](const RoofSample& roof) {
            return roof.eave_height_m && roof.surface_m ? std::optional(std::abs(*roof.eave_height_m - *roof.surface_m))
                                                        : std::nullopt;
        },
        fmt::format("eave heights of the footprints and roofs of the surface over {} m apart",
                    high_text(CheckCode::eave_off_surface)),
        "the same height from both, within a metre or so",
        [](const RoofAsked& one) {
            return fmt::format("eave height {} m, surface {} m above the ground", figure(*one.of->eave_height_m),
                               figure(*one.of->surface_m));
        });
}

// A roof that the surface shows.
std::optional<double> shown_height(const RoofSample& roof) {
    return roof.surface_m && *roof.surface_m > rule_of(CheckCode::surface_flat).low ? roof.surface_m : std::nullopt;
}

// Where the surface is 3.28 times the elevations beside the roofs, or the other way round; else the rule's own.
std::string Judge::surface_remedy() const {
    constexpr double kFeetToM = 1.0 / 0.3048;  // exact: NIST SP 811, appendix B
    constexpr double kNearly = 0.1;            // choice of this program: of the ratio
    const auto list = m_judge.asked([](const RoofSample& roof) { return roof.surface_by_ground; });
    if (list.size() < kLeastJudged) {
        return "";
    }
    const double times = RoofJudge::middle_of(list);
    const auto near = [&](double wanted) { return std::abs(times / wanted - 1.0) < kNearly; };
    if (!near(kFeetToM) && !near(1.0 / kFeetToM)) {
        return "";
    }
    const bool surface = times > 1.0;
    return fmt::format(
        "the {} is {} times the {} in the middle, as feet are of metres: state its own unit in its file (gdal_edit.py "
        "-unittype ft FILE) and let terrain.vertical_unit not say another",
        surface ? "surface" : "ground by the elevations", figure(surface ? times : 1.0 / times),
        surface ? "ground by the elevations" : "surface");
}

void Judge::surface() const {
    if (!m_sample.has_surface) {
        return;
    }
    m_judge.by_middle(
        CheckCode::surface_per_storey, m_inputs.surface,
        [many = storeys_many()](const RoofSample& roof) {
            return many ? std::nullopt : ratio(shown_height(roof), roof.storeys);
        },
        "metres of surface above the ground a storey",
        bounds_text(rule_of(CheckCode::surface_per_storey), " m") + " a storey in the middle",
        [](const RoofAsked& one) {
            return fmt::format("{} m, {} storeys", figure(*one.of->surface_m), figure(*one.of->storeys));
        });
    if (!any_storeys()) {
        m_judge.by_middle(CheckCode::surface_high, m_inputs.surface, shown_height, "roofs, m above the ground,",
                          high_text(CheckCode::surface_high) +
                              " m or less in the middle, unless most houses have three storeys or more",
                          [](const RoofAsked& one) { return figure(one.value) + " m"; });
    }
    m_judge.by_share(
        CheckCode::surface_flat, m_inputs.surface, [](const RoofSample& roof) { return roof.surface_m; },
        fmt::format("a surface that shows no roof: less than {:g} m above the ground",
                    rule_of(CheckCode::surface_flat).low),
        "a surface with roofs on it", [](const RoofAsked& one) { return figure(one.value) + " m"; });
    m_judge.by_share(
        CheckCode::surface_off_ground, m_inputs.surface, [](const RoofSample& roof) { return roof.surface_beside_m; },
        "a surface that lies off the elevations beside the roofs", "the same ground from both",
        [](const RoofAsked& one) { return figure(one.value) + " m at its lowest"; }, surface_remedy());
}

void Judge::terrain() const {
    m_judge.by_share(
        CheckCode::terrain_shows_roofs, m_inputs.terrain, [](const RoofSample& roof) { return roof.stands_up_m; },
        fmt::format("elevations that stand up under roofs by more than {} m: a surface with buildings",
                    high_text(CheckCode::terrain_shows_roofs)),
        "bare earth", [](const RoofAsked& one) { return figure(one.value) + " m above the ground around it"; });
    m_judge.by_middle(
        CheckCode::steep_sites, m_inputs.terrain, [](const RoofSample& roof) { return roof.slope_pct; },
        "slopes of the ground at roofs, %,", high_text(CheckCode::steep_sites) + " % or less in the middle",
        [](const RoofAsked& one) { return figure(one.value) + " %"; });
}

void Judge::unknown_eaves() const {
    std::size_t computed = 0;
    for (const RoofSample& roof : m_sample.roofs) {
        computed += roof.computed ? 1U : 0U;
        if (roof.computed && (roof.eave_height_m || roof.storeys)) {
            return;
        }
    }
    if (computed > 0 && !m_sample.has_surface) {
        m_findings.check(
            CheckCode::eave_unknown,
            {m_inputs.footprints, fmt::format("no eave height, nor storeys, of any of {} roofs looked at", computed),
             "heights that differ from roof to roof", ""});
    }
}

void Judge::parcels() const {
    m_judge.by_middle(
        CheckCode::parcels_small, m_inputs.parcels,
        [](const RoofSample& roof) { return roof.computed ? roof.parcel_share : std::nullopt; },
        "a share of the parcel under one roof", "parcels with ground around their roofs",
        [](const RoofAsked& one) {
            return fmt::format("{} m2 of roof, {} m2 of parcel", figure(one.of->plan_area_m2),
                               figure(one.of->plan_area_m2 / one.value));
        });
    m_judge.by_middle(
        CheckCode::parcels_large, m_inputs.parcels,
        [](const RoofSample& roof) {
            return roof.computed && roof.parcel_roofs > 0 ? std::optional(static_cast<double>(roof.parcel_roofs))
                                                          : std::nullopt;
        },
        "roofs to a parcel",
        fmt::format("single properties, of {} roofs at most in the middle", high_text(CheckCode::parcels_large)),
        [](const RoofAsked& one) { return fmt::format("one of {:.0f} on its parcel", one.value); });
}

void Judge::sources() const {
    std::size_t computed = 0;
    for (const RoofSample& roof : m_sample.roofs) {
        computed += roof.computed ? 1U : 0U;
        if (roof.computed && !roof.source_unknown) {
            return;
        }
    }
    if (computed > 0) {
        m_findings.check(CheckCode::source_unknown,
                         {m_inputs.parcels,
                          fmt::format("no known water source at any of {} roofs looked at: every gain of the creek "
                                      "will be 0",
                                      computed),
                          "where each property takes its summer water", ""});
    }
}

}  // namespace

void judge_roofs(const BasinSample& sample, const JudgedInputs& inputs, Findings& findings) {
    const Judge judge(sample, inputs, findings);
    judge.areas();
    judge.blocks();
    judge.eaves();
    judge.connected();
    judge.surface();
    judge.terrain();
    judge.holes();
    judge.exclusions();
    judge.unknown_eaves();
    judge.parcels();
    judge.sources();
}

}  // namespace eaveshed
