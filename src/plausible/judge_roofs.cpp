#include "eaveshed/plausible/judge_roofs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>

#include "eaveshed/core/quantile.hpp"

namespace eaveshed {

namespace {

// A roof and what a check asks of it.
struct Asked {
    const RoofSample* roof = nullptr;
    double value = 0.0;
};

using Ask = std::function<std::optional<double>(const RoofSample&)>;

// Ascending by value, equals in the sample's order.
std::vector<Asked> asked_of(const BasinSample& sample, const Ask& ask) {
    std::vector<Asked> list;
    for (const RoofSample& roof : sample.roofs) {
        if (const auto value = ask(roof); value && std::isfinite(*value)) {
            list.push_back({&roof, *value});
        }
    }
    std::ranges::stable_sort(list, {}, &Asked::value);
    return list;
}

double middle_of(const std::vector<Asked>& list) {
    std::vector<double> values;
    values.reserve(list.size());
    for (const Asked& one : list) {
        values.push_back(one.value);
    }
    return median(values);
}

// "1.3 to 5".
std::string between_text(CheckCode code) {
    return fmt::format("{:g} to {:g}", rule_of(code).low, rule_of(code).high);
}

std::string high_text(CheckCode code) {
    return fmt::format("{:g}", rule_of(code).high);
}

bool outside(const CheckRule& rule, double value) {
    return (rule.low != 0.0 && value < rule.low) || (rule.high != 0.0 && value > rule.high);
}

// Those outside the bounds.
std::vector<Asked> outside_of(const CheckRule& rule, const std::vector<Asked>& list) {
    std::vector<Asked> out;
    std::ranges::copy_if(list, std::back_inserter(out), [&](const Asked& one) { return outside(rule, one.value); });
    return out;
}

// Three digits, and no powers of ten.
std::string figure(double value) {
    constexpr double kWhole = 100.0;
    return std::abs(value) < kWhole ? fmt::format("{:.3g}", value) : fmt::format("{:.0f}", value);
}

double share_of(std::size_t some, std::size_t all) {
    return static_cast<double>(some) / static_cast<double>(all);
}

std::string quoted(const std::string& id) {
    constexpr std::size_t kMost = 60;
    return '"' + (id.size() > kMost ? id.substr(0, kMost) + "..." : id) + '"';
}

// "93 % of 400 roofs, such as "B00012" (9.8 m)".
std::string concerned(const std::vector<Asked>& some, std::size_t all, const std::string& example) {
    return fmt::format("{:.0f} % of {} roofs looked at, such as {} ({})", 100.0 * share_of(some.size(), all), all,
                       quoted(some[some.size() / 2].roof->id), example);
}

class Judge {
public:
    Judge(const BasinSample& sample, const JudgedInputs& inputs, Findings& findings)
        : m_sample(sample), m_inputs(inputs), m_findings(findings) {}

    void areas() const;
    void eaves() const;
    void surface() const;
    void terrain() const;
    void unknown_eaves() const;
    void parcels() const;
    void sources() const;

private:
    // Where the middle value is outside the bounds. `example`: what stands behind a roof's name.
    void by_middle(CheckCode code, const std::string& where, const Ask& ask, const std::string& what,
                   const std::string& wanted, const std::function<std::string(const Asked&)>& example) const;
    // Where at least the rule's share of the roofs is outside the bounds.
    void by_share(CheckCode code, const std::string& where, const Ask& ask, const std::string& what,
                  const std::string& wanted, const std::function<std::string(const Asked&)>& example) const;
    [[nodiscard]] bool any_storeys() const {
        return std::ranges::any_of(m_sample.roofs, [](const RoofSample& roof) { return roof.storeys.has_value(); });
    }

    const BasinSample& m_sample;
    const JudgedInputs& m_inputs;
    Findings& m_findings;
};

void Judge::by_middle(CheckCode code, const std::string& where, const Ask& ask, const std::string& what,
                      const std::string& wanted, const std::function<std::string(const Asked&)>& example) const {
    const CheckRule& rule = rule_of(code);
    const auto list = asked_of(m_sample, ask);
    if (list.size() < kLeastJudged || !outside(rule, middle_of(list))) {
        return;
    }
    const auto some = outside_of(rule, list);
    m_findings.check(code, {where,
                            fmt::format("{} of {} in the middle; so are {}", what, figure(middle_of(list)),
                                        concerned(some, list.size(), example(some[some.size() / 2]))),
                            wanted, ""});
}

void Judge::by_share(CheckCode code, const std::string& where, const Ask& ask, const std::string& what,
                     const std::string& wanted, const std::function<std::string(const Asked&)>& example) const {
    const CheckRule& rule = rule_of(code);
    const auto list = asked_of(m_sample, ask);
    const auto some = outside_of(rule, list);
    if (list.size() < kLeastJudged || share_of(some.size(), list.size()) < rule.share) {
        return;
    }
    m_findings.check(
        code,
        {where, fmt::format("{}: {}", what, concerned(some, list.size(), example(some[some.size() / 2]))), wanted, ""});
}

void Judge::areas() const {
    by_middle(
        CheckCode::footprint_areas, m_inputs.footprints,
        [](const RoofSample& roof) { return std::optional(roof.plan_area_m2); }, "plan areas, m2,",
        "one outline for each building, " + between_text(CheckCode::footprint_areas) + " m2 in the middle",
        [](const Asked& one) { return figure(one.value) + " m2"; });
}

std::optional<double> ratio(const std::optional<double>& a, const std::optional<double>& b) {
    return a && b && *b > 0.0 ? std::optional(*a / *b) : std::nullopt;
}

void Judge::eaves() const {
    by_middle(
        CheckCode::eave_per_storey, m_inputs.footprints,
        [](const RoofSample& roof) { return roof.computed ? ratio(roof.eave_height_m, roof.storeys) : std::nullopt; },
        "metres of eave height a storey", between_text(CheckCode::eave_per_storey) + " m a storey in the middle",
        [](const Asked& one) {
            return fmt::format("{} m, {} storeys", figure(*one.roof->eave_height_m), figure(*one.roof->storeys));
        });
    if (!any_storeys()) {
        by_middle(
            CheckCode::eave_high, m_inputs.footprints,
            [](const RoofSample& roof) { return roof.computed ? roof.eave_height_m : std::nullopt; },
            "eave heights, m,", "7 m or less in the middle, unless most houses have three storeys or more",
            [](const Asked& one) { return figure(one.value) + " m"; });
    }
    by_share(
        CheckCode::eave_off_surface, m_inputs.surface,
        [](const RoofSample& roof) {
            return roof.eave_height_m && roof.surface_m ? std::optional(std::abs(*roof.eave_height_m - *roof.surface_m))
                                                        : std::nullopt;
        },
        fmt::format("eave heights of the footprints and roofs of the surface over {} m apart",
                    high_text(CheckCode::eave_off_surface)),
        "the same height from both, within a metre or so",
        [](const Asked& one) {
            return fmt::format("eave height {} m, surface {} m above the ground", figure(*one.roof->eave_height_m),
                               figure(*one.roof->surface_m));
        });
}

// A roof that the surface shows.
std::optional<double> shown_height(const RoofSample& roof) {
    return roof.surface_m && *roof.surface_m > rule_of(CheckCode::surface_flat).low ? roof.surface_m : std::nullopt;
}

void Judge::surface() const {
    if (!m_sample.has_surface) {
        return;
    }
    by_middle(
        CheckCode::surface_per_storey, m_inputs.surface,
        [](const RoofSample& roof) { return ratio(shown_height(roof), roof.storeys); },
        "metres of surface above the ground a storey",
        between_text(CheckCode::surface_per_storey) + " m a storey in the middle",
        [](const Asked& one) {
            return fmt::format("{} m, {} storeys", figure(*one.roof->surface_m), figure(*one.roof->storeys));
        });
    if (!any_storeys()) {
        by_middle(CheckCode::surface_high, m_inputs.surface, shown_height, "roofs, m above the ground,",
                  high_text(CheckCode::surface_high) +
                      " m or less in the middle, unless most houses have three storeys or more",
                  [](const Asked& one) { return figure(one.value) + " m"; });
    }
    by_share(
        CheckCode::surface_flat, m_inputs.surface, [](const RoofSample& roof) { return roof.surface_m; },
        fmt::format("a surface that shows no roof: less than {:g} m above the ground",
                    rule_of(CheckCode::surface_flat).low),
        "a surface with roofs on it", [](const Asked& one) { return figure(one.value) + " m"; });
    by_share(
        CheckCode::surface_off_ground, m_inputs.surface, [](const RoofSample& roof) { return roof.surface_beside_m; },
        "a surface that lies off the elevations beside the roofs", "the same ground from both",
        [](const Asked& one) { return figure(one.value) + " m at its lowest"; });
}

void Judge::terrain() const {
    by_share(
        CheckCode::terrain_shows_roofs, m_inputs.terrain, [](const RoofSample& roof) { return roof.stands_up_m; },
        fmt::format("elevations that stand up under roofs by more than {} m: a surface with buildings",
                    high_text(CheckCode::terrain_shows_roofs)),
        "bare earth", [](const Asked& one) { return figure(one.value) + " m above the ground around it"; });
    by_middle(
        CheckCode::steep_sites, m_inputs.terrain, [](const RoofSample& roof) { return roof.slope_pct; },
        "slopes of the ground at roofs, %,", high_text(CheckCode::steep_sites) + " % or less in the middle",
        [](const Asked& one) { return figure(one.value) + " %"; });
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
        m_findings.check(CheckCode::eave_unknown, {m_inputs.footprints, "no eave height of any roof, nor its storeys",
                                                   "heights that differ from roof to roof", ""});
    }
}

void Judge::parcels() const {
    by_middle(
        CheckCode::parcels_small, m_inputs.parcels,
        [](const RoofSample& roof) { return roof.computed ? roof.parcel_share : std::nullopt; },
        "a share of the parcel under one roof", "parcels with ground around their roofs",
        [](const Asked& one) {
            return fmt::format("{} m2 of roof, {} m2 of parcel", figure(one.roof->plan_area_m2),
                               figure(one.roof->plan_area_m2 / one.value));
        });
    by_middle(
        CheckCode::parcels_large, m_inputs.parcels,
        [](const RoofSample& roof) {
            return roof.computed && roof.parcel_roofs > 0 ? std::optional(static_cast<double>(roof.parcel_roofs))
                                                          : std::nullopt;
        },
        "roofs to a parcel",
        fmt::format("single properties, of {} roofs at most in the middle", high_text(CheckCode::parcels_large)),
        [](const Asked& one) { return fmt::format("one of {:.0f} on its parcel", one.value); });
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
                         {m_inputs.parcels, "no roof whose water source is known: every gain of the creek will be 0",
                          "where each property takes its summer water", ""});
    }
}

}  // namespace

void judge_roofs(const BasinSample& sample, const JudgedInputs& inputs, Findings& findings) {
    const Judge judge(sample, inputs, findings);
    judge.areas();
    judge.eaves();
    judge.surface();
    judge.terrain();
    judge.unknown_eaves();
    judge.parcels();
    judge.sources();
}

}  // namespace eaveshed
