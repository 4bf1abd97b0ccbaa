#include "eaveshed/measured/overrides.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <unordered_set>
#include <utility>

#include "eaveshed/core/choices.hpp"
#include "eaveshed/facts/walk.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/shape/prepared_area.hpp"
#include "override_match.hpp"
#include "override_report.hpp"

namespace eaveshed {

namespace {

// visit(fact, member) for every fact that can be measured: numbers, then texts.
template <typename Facts, typename Visitor>
void visit_columns(Visitor&& visit) {
    visit_members<Facts, double>(visit);
    visit_members<Facts, std::string>(visit);
}

bool has_value(const OverrideEntry& entry) {
    return entry.key() == OverrideKey::roof ? any_measurable<RoofFacts>(entry.row)
                                            : any_measurable<ParcelFacts>(entry.row);
}

void end_as(OverrideEntry& entry, OverrideOutcome outcome, std::string reason) {
    entry.row.outcome = outcome;
    entry.row.reason = std::move(reason);
    entry.row.applied_to.reset();
}

// A value that turned out to be of no use; a row without another one is of none.
void refuse(OverrideEntry& entry, std::string column, std::string found, std::string wanted) {
    entry.unused.push_back({std::move(column), std::move(found), std::move(wanted)});
    if (!has_value(entry)) {
        end_as(entry, OverrideOutcome::not_usable, "none of the row's values can be used");
    }
}

std::string place_text(Point place) {
    return fmt::format("{} {}", place.x, place.y);
}

// Rows on their way to the roofs and parcels that they mean.
class Matching {
public:
    Matching(const Project& project, const Inputs& inputs);

    void judge_words();
    void match_roofs();
    void match_parcels();
    Overrides take();
    [[nodiscard]] const std::vector<OverrideEntry>& entries() const { return m_entries; }

private:
    // A row that applies, and to what.
    struct Target {
        std::size_t entry = 0;
        std::uint32_t position = 0;
        std::optional<Point> place;  // of its pad or use point, in the terrain's CRS
    };
    [[nodiscard]] std::vector<Sought> sought(OverrideKey key, const std::optional<Layer>& former, const char* id_field,
                                             const Crs& crs) const;
    [[nodiscard]] std::optional<Point> pad_place(OverrideEntry& entry, const Candidate& roof);
    [[nodiscard]] std::optional<Point> use_place(OverrideEntry& entry);
    [[nodiscard]] std::vector<Target> targets(LayerMatch& layer);
    // Rows for one roof or parcel that do not say the same are taken out.
    template <typename Facts>
    void refuse_contradictions(std::vector<Target>& targets);

    const Settings& m_settings;
    const Inputs& m_inputs;
    const VectorInfo& m_roofs;
    Crs m_crs;  // of the table's places and outlines
    Transform m_to_terrain;
    Transform m_roofs_to_terrain;
    GeometryKit m_kit;
    std::vector<OverrideEntry> m_entries;
    Overrides m_result;
};

Matching::Matching(const Project& project, const Inputs& inputs)
    : m_settings(project.resolved),
      m_inputs(inputs),
      m_roofs(inputs.footprints().info),
      m_crs(inputs.overrides->info.crs.given() ? inputs.overrides->info.crs : m_roofs.crs),
      m_to_terrain(m_crs, inputs.terrain().crs, inputs.overrides->info.where),
      m_roofs_to_terrain(m_roofs.crs, inputs.terrain().crs, m_roofs.where),
      m_entries(inputs.overrides->entries) {}

void Matching::judge_words() {
    for (OverrideEntry& entry : m_entries) {
        auto& source = entry.row.water_source;
        if (source && !from_text<WaterSource>(*source)) {
            const std::string found = *std::exchange(source, std::nullopt);
            refuse(entry, "water_source", found, listed_words(closed_list<WaterSource>()));
        }
    }
}

std::vector<Sought> Matching::sought(OverrideKey key, const std::optional<Layer>& former, const char* id_field,
                                     const Crs& crs) const {
    std::vector<Sought> sought;
    std::unordered_set<std::string> ids;
    for (std::size_t i = 0; i < m_entries.size(); ++i) {
        const OverrideEntry& entry = m_entries[i];
        if (!entry.row.outcome && entry.key() == key) {
            sought.push_back({i, entry.id()});
            ids.insert(entry.id());
        }
    }
    OldOutlines known;
    std::optional<Transform> from_former;
    if (former && !sought.empty()) {
        known = old_outlines(*former, id_field, ids);
        from_former.emplace(former->info.crs, crs, former->info.where);
    }
    const Transform from_table(m_crs, crs, m_inputs.overrides->info.where);
    for (Sought& one : sought) {
        const MultiPolygon& own = m_entries[one.entry].outline;
        const auto found = known.find(one.id);
        if (!own.empty()) {
            one.old_outline = from_table(own).value_or(MultiPolygon{});
        } else if (found != known.end()) {
            one.several_outlines = found->second.size() > 1;
            one.old_outline = (*from_former)(found->second.front()).value_or(MultiPolygon{});
        }
    }
    return sought;
}

// The place of a measured pad, when it is one that this roof's gutter can fill.
std::optional<Point> Matching::pad_place(OverrideEntry& entry, const Candidate& roof) {
    RoofFacts& given = entry.row;
    const auto place = m_to_terrain(*given.pad_place());
    const Grid& grid = m_inputs.terrain().grid;
    const auto cell = place ? grid.cell_at(*place) : std::nullopt;
    const auto outline = roof.outline ? m_roofs_to_terrain(*roof.outline) : std::nullopt;
    const auto interior = outline ? m_roofs_to_terrain(m_kit.interior_point(*roof.outline)) : std::nullopt;
    if (cell && interior) {
        const LocalFrame frame = terrain_metric(m_inputs).frame_at(*interior);
        const double most_m = m_settings.siting.max_fill_m;
        const PreparedArea area(frame.to_metres(*outline));
        if (area.distance_to_area_within(frame.to_metres(grid.centre(*cell)), most_m) <= most_m) {
            return place;
        }
    }
    const std::string found = place_text(*given.pad_place());
    given.pad_x.reset();
    given.pad_y.reset();
    refuse(entry, "pad_x, pad_y", found,
           fmt::format("a place on the elevation raster within {:g} m of the roof (siting.max_fill_m), in {}",
                       m_settings.siting.max_fill_m, m_crs.name()));
    return std::nullopt;
}

std::optional<Point> Matching::use_place(OverrideEntry& entry) {
    ParcelFacts& given = entry.row;
    const auto place = m_to_terrain(*given.use_point());
    if (place && m_inputs.terrain().grid.holds(*place)) {
        return place;
    }
    const std::string found = place_text(*given.use_point());
    given.use_x.reset();
    given.use_y.reset();
    refuse(entry, "use_x, use_y", found, "a place on the elevation raster, in " + m_crs.name());
    return std::nullopt;
}

std::vector<Matching::Target> Matching::targets(LayerMatch& layer) {
    std::vector<Target> found;
    for (std::size_t i = 0; i < layer.sought().size(); ++i) {
        OverrideEntry& entry = m_entries[layer.sought()[i].entry];
        Match match = layer.match(i);
        entry.row.outcome = match.outcome;
        entry.row.reason = match.reason.empty() ? std::nullopt : std::optional(std::move(match.reason));
        if (!match.candidate) {
            continue;
        }
        const Candidate& candidate = layer.candidates().at(*match.candidate);
        entry.row.applied_to = candidate.id;
        Target target{layer.sought()[i].entry, candidate.position, std::nullopt};
        if (entry.row.pad_place()) {
            target.place = pad_place(entry, candidate);
        } else if (entry.row.use_point()) {
            target.place = use_place(entry);
        }
        if (entry.row.applied_to) {
            found.push_back(target);
        }
    }
    return found;
}

template <typename Facts>
void Matching::refuse_contradictions(std::vector<Target>& targets) {
    std::map<std::uint32_t, std::vector<std::size_t>> rows_of;
    for (const Target& target : targets) {
        rows_of[target.position].push_back(target.entry);
    }
    std::map<std::size_t, std::string> refused;
    // Where two rows differ, each row with a value differs from one of them.
    const auto compare = [&](const std::vector<std::size_t>& rows, const auto& fact, auto member) {
        const auto value = [&](std::size_t entry) { return m_entries[entry].row.*member; };
        const auto first = std::ranges::find_if(rows, [&](std::size_t entry) { return value(entry).has_value(); });
        const auto other = std::find_if(first, rows.end(), [&](std::size_t entry) {
            return value(entry).has_value() && value(entry) != value(*first);
        });
        if (other == rows.end()) {
            return;
        }
        for (const std::size_t entry : rows) {
            if (value(entry)) {
                const std::size_t against = value(entry) != value(*first) ? *first : *other;
                refused.try_emplace(
                    entry, fmt::format("row {} has another {} for the same {}", *m_entries[against].row.row_number,
                                       fact.column(), FactsOf<Facts>::noun));
            }
        }
    };
    for (const auto& [position, rows] : rows_of) {
        visit_columns<Facts>([&, &rows = rows](const auto& fact, auto member) { compare(rows, fact, member); });
    }
    for (auto& [entry, reason] : refused) {
        end_as(m_entries[entry], OverrideOutcome::ambiguous, std::move(reason));
    }
    std::erase_if(targets, [&](const Target& target) { return refused.contains(target.entry); });
}

void Matching::match_roofs() {
    const FootprintSettings& settings = m_settings.footprints;
    LayerMatch layer(sought(OverrideKey::roof, m_inputs.former_roofs, "roof_id", m_roofs.crs), "roof");
    if (layer.sought().empty()) {
        return;
    }
    FeatureSource& source = m_inputs.footprints().features({settings.id});
    Feature feature;
    for (std::uint32_t position = 0; source.next(feature); ++position) {
        layer.see(position, id_of(feature, 0), [&]() -> std::optional<MultiPolygon> {
            const auto shape = m_kit.polygons(feature.wkb);
            if (!shape || settings.outline == Outline::roof) {
                return shape ? std::optional(shape->outline) : std::nullopt;
            }
            return with_overhang(m_kit, shape->outline, m_roofs.crs, settings.overhang_m);
        });
        stop_if_requested();
    }
    std::vector<Target> found = targets(layer);
    refuse_contradictions<RoofFacts>(found);
    for (const Target& target : found) {
        RoofFacts given = m_entries[target.entry].row;
        if (target.place) {
            given.set_pad_place(*target.place);
        }
        merge_facts(given, m_result.roofs[target.position]);
    }
}

void Matching::match_parcels() {
    const Layer* const parcels = m_inputs.layer("parcels.source");
    if (parcels == nullptr) {
        for (OverrideEntry& entry : m_entries) {
            if (!entry.row.outcome && entry.key() == OverrideKey::parcel) {
                end_as(entry, OverrideOutcome::no_match, "no parcels are given");
            }
        }
        return;
    }
    const ParcelSettings& settings = m_settings.parcels;
    LayerMatch layer(sought(OverrideKey::parcel, m_inputs.former_parcels, "parcel_id", parcels->info.crs), "parcel");
    if (layer.sought().empty()) {
        return;
    }
    FeatureSource& source = parcels->features({settings.id});
    Feature feature;
    for (std::uint32_t position = 0; source.next(feature); ++position) {
        layer.see(position, id_of(feature, 0), [&]() -> std::optional<MultiPolygon> {
            const auto shape = m_kit.polygons(feature.wkb);
            return shape ? std::optional(shape->outline) : std::nullopt;
        });
        stop_if_requested();
    }
    std::vector<Target> found = targets(layer);
    refuse_contradictions<ParcelFacts>(found);
    for (const Target& target : found) {
        ParcelFacts given = m_entries[target.entry].row;
        if (target.place) {
            given.set_use_point(*target.place);
        }
        merge_facts(given, m_result.parcels[target.position]);
    }
}

Overrides Matching::take() {
    for (OverrideEntry& entry : m_entries) {
        write_unused(entry);
        m_result.rows.push_back(entry.row);
    }
    return std::move(m_result);
}

}  // namespace

Overrides match_overrides(const Project& project, const Inputs& inputs, Findings& findings) {
    if (!inputs.overrides) {
        return {};
    }
    Matching matching(project, inputs);
    matching.judge_words();
    matching.match_roofs();
    matching.match_parcels();
    report_overrides(inputs.overrides->info.where, matching.entries(), project.settings, findings);
    return matching.take();
}

}  // namespace eaveshed
