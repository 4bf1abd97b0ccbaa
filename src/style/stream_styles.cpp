// How reaches and sub-basins look.
#include <array>

#include "eaveshed/record/reach_row.hpp"
#include "eaveshed/record/subbasin_row.hpp"
#include "style_parts.hpp"

namespace eaveshed::style_parts {

namespace {

// Where the classes of what candidates could add to a reach begin, L/s: a choice of ours for reading a map; nothing is
// computed from it. Blues of a sequence (ColorBrewer PuBu, Harrower and Brewer 2003, Apache licence) and wider lines,
// dark and wide for much.
struct GainClass {
    double from_lps = 0.0;
    double below_lps = 0.0;
    std::string_view label;
    std::string_view us_label;
    std::string_view line;
    double line_px = 1.0;
};
constexpr std::array kGainClasses{
    GainClass{1e-9, 0.1, "candidates could add up to 0.1 L/s", "candidates could add up to 1.6 gpm", "#74a9cf", 1.6},
    GainClass{0.1, 0.5, "0.1 to 0.5 L/s, with upstream", "1.6 to 7.9 gpm, with upstream", "#3690c0", 2.6},
    GainClass{0.5, 2.0, "0.5 to 2 L/s", "7.9 to 32 gpm", "#0570b0", 3.8},
    GainClass{2.0, 1e12, "2 L/s and more", "32 gpm and more", "#034e7b", 5.2},
};
constexpr std::string_view kNoGain = "#a6bddb";

std::vector<MapRule> gain_rules(bool us) {
    std::vector<MapRule> rules{
        {.label = "stream, nothing to add", .when = {}, .paint = {.line = kNoGain, .line_px = 1.2}}};
    for (const GainClass& of : kGainClasses) {
        rules.push_back({.label = std::string(us ? of.us_label : of.label),
                         .when = {{at_least(&ReachRow::open_total_lps, of.from_lps),
                                   below(&ReachRow::open_total_lps, of.below_lps)}},
                         .paint = {.line = of.line, .line_px = of.line_px}});
    }
    return rules;
}

}  // namespace

MapStyle reach_style(bool us) {
    const Shown open = shown(&ReachRow::open_total_lps, us);
    const Shown enrolled = shown(&ReachRow::enrolled_total_lps, us);
    const Shown low = shown(&ReachRow::low_flow_lps, us);
    return {.name = "Reaches by what candidates could add",
            .description =
                "The streams: the darker and wider, the more summer flow those who may be asked could leave in "
                "them, here and upstream.",
            .rules = gain_rules(us),
            .feature = {.title = {name(&ReachRow::creek), name(&ReachRow::reach_id)},
                        .tip = {{.parts = {words("Reach "), value(&ReachRow::reach_id)}},
                                {.parts = {words("Creek "), value(&ReachRow::creek)}},
                                quantity("Candidates could add ", open, ", with upstream"),
                                quantity("Enrolled already: ", enrolled, ", with upstream"),
                                quantity("Low flow ", low)},
                        .columns = {name(&ReachRow::reach_id), name(&ReachRow::creek), name(&ReachRow::next_reach_id),
                                    name(&ReachRow::parcel_count), open.column, enrolled.column, low.column}}};
}

MapStyle subbasin_style(bool us) {
    const Shown added = shown(&SubbasinRow::open_added_lps, us);
    return {.name = "Sub-basins",
            .description = "Parts of the basin by which roofs and offers are summed.",
            .rules = {{.label = "sub-basin", .when = {}, .paint = {.line = "#8073ac", .line_px = 0.8, .dashed = true}}},
            .feature = {.title = {name(&SubbasinRow::subbasin_id)},
                        .tip = {{.parts = {words("Sub-basin "), value(&SubbasinRow::subbasin_id)}},
                                {.parts = {words("Candidates: "), value(&SubbasinRow::open_count)}},
                                quantity("They could add ", added)},
                        .columns = {name(&SubbasinRow::subbasin_id), name(&SubbasinRow::ok_roof_count),
                                    name(&SubbasinRow::open_count), added.column, name(&SubbasinRow::gravity_share)}}};
}

}  // namespace eaveshed::style_parts
