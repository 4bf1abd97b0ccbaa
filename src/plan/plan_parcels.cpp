#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <utility>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/demand/source_share.hpp"
#include "eaveshed/facts/fields.hpp"
#include "eaveshed/facts/walk.hpp"
#include "eaveshed/fieldbook/contact_word.hpp"
#include "eaveshed/fieldbook/field_numbers.hpp"
#include "eaveshed/geometry/footprint_geometry.hpp"
#include "eaveshed/measured/call_match.hpp"
#include "eaveshed/measured/contact_status.hpp"
#include "eaveshed/progress/two_steps.hpp"
#include "eaveshed/shape/ellipsoid.hpp"
#include "eaveshed/shape/measure.hpp"
#include "eaveshed/words/wording.hpp"
#include "odd_texts.hpp"
#include "plan_parts.hpp"

namespace eaveshed {

namespace {

// What part of a parcel the elevations reach: the roofs and places beyond are out of sight. Planar in the terrain's
// CRS, which for a share of one parcel is near enough. A little outside is the rounding of coordinates.
std::optional<double> inside_share(const MultiPolygon& outline, const Transform& to_terrain, const Box& extent) {
    constexpr double kWhole = 1.0 - 1e-9;
    const auto there = to_terrain(outline);
    const double whole = there ? planar_area(*there) : 0.0;
    if (!(whole > 0.0)) {
        return std::nullopt;
    }
    const double share = std::clamp(planar_area_inside(*there, extent) / whole, 0.0, 1.0);
    return share >= kWhole ? 1.0 : share;
}

// What a parcel's shape says, whatever else is in the layer.
struct ParcelShape {
    MultiPolygon outline;  // empty without a usable one
    Point interior;
    std::optional<double> area_m2;
    std::optional<double> inside_share;
};

// For one thread at a time.
class ParcelShapes {
public:
    ParcelShapes(const VectorInfo& info, const RasterInfo& terrain)
        : m_extent(terrain.grid.extent()),
          m_to_degrees(info.crs, info.crs.geographic(), info.where),
          m_to_terrain(info.crs, terrain.crs, info.where),
          m_ellipsoid(info.crs.ellipsoid()) {}

    [[nodiscard]] ParcelShape of(const Feature& feature) {
        ParcelShape shape;
        if (auto polygons = m_kit.polygons(feature.wkb)) {
            shape.outline = std::move(polygons->outline);
            shape.interior = m_kit.interior_point(shape.outline);
            if (const auto degrees = m_to_degrees(shape.outline)) {
                shape.area_m2 = geodesic_area_m2(*degrees, m_ellipsoid);
            }
        }
        shape.inside_share = inside_share(shape.outline, m_to_terrain, m_extent);
        return shape;
    }

private:
    Box m_extent;
    GeometryKit m_kit;
    Transform m_to_degrees;
    Transform m_to_terrain;
    Ellipsoid m_ellipsoid;
};

struct JudgedParcels {
    std::vector<Feature> features;
    std::vector<ParcelShape> shapes;  // of each
};

// Everything that reading one parcel after another needs.
class ParcelReader {
public:
    explicit ParcelReader(const Settings& settings) : m_fields(settings), m_has_ids(!settings.parcels.id.empty()) {}

    [[nodiscard]] std::vector<std::string> names() const { return m_fields.names(); }
    void report(const std::string& where, Findings& findings) const {
        report_texts(where, m_texts, "parcel", findings);
        report_numbers(m_fields, m_numbers, where, "parcel", findings);
    }
    [[nodiscard]] ParcelRecord read(const Feature& feature, const ParcelShape& shape) {
        ParcelRecord record;
        m_texts.unnamed += m_has_ids && !has_id(feature, m_fields.place("id")) ? 1U : 0U;
        record.parcel_id = id_of(feature, m_fields.place("id"));
        record.facts = m_fields.read(feature.values, m_numbers);
        if (feature.text_replaced && m_texts.replaced++ == 0) {
            m_texts.first_replaced = record.parcel_id;
        }
        record.outline = shape.outline;
        record.interior = shape.interior;
        record.area_m2 = shape.area_m2;
        return record;
    }

private:
    LayerFields<ParcelFacts> m_fields;
    bool m_has_ids;
    OddTexts m_texts;
    NumberTexts m_numbers;
};

// What is noticed while the parcels are read.
struct ParcelTally {
    std::uint64_t without_shape = 0;
    std::uint64_t repeated = 0;
    std::uint64_t unknown_source = 0;
    std::string first_unknown_source;
    std::vector<std::pair<std::uint32_t, std::string>> unknown_statuses;  // by position
};

// The state of talks in the words of the settings. Nobody is called whose state is not understood: such a word leaves
// the owner out, with a warning.
ContactStatus contact_of(const std::optional<std::string>& text, std::uint32_t position, ParcelTally& tally) {
    if (!text || text->find_first_not_of(" \t\r\n") == std::string::npos) {
        return ContactStatus::candidate;
    }
    if (const auto known = contact_status_of(*text)) {
        return *known;
    }
    tally.unknown_statuses.emplace_back(position, *text);
    return ContactStatus::do_not_contact;
}

// A word that is no source of water counts as unknown, which is told.
void look_at_source(const std::optional<std::string>& text, ParcelTally& tally) {
    if (text && !text->empty() && !from_text<WaterSource>(*text) && tally.unknown_source++ == 0) {
        tally.first_unknown_source = *text;
    }
}

// Whether the measured values say how far talks are: they win over the call list too.
bool is_measured(const Plan& plan, std::uint32_t position) {
    const auto measured = plan.overrides.parcels.find(position);
    return measured != plan.overrides.parcels.end() && measured->second.contact_status.has_value();
}

// method.md 8.16.
void apply_calls(const CallTable& calls, Plan& plan, ParcelTally& tally, Findings& findings) {
    std::vector<std::string> ids;
    ids.reserve(plan.parcels.size());
    for (std::uint32_t position = 0; position < plan.parcels.size(); ++position) {
        ids.emplace_back(plan.parcel_id(position));
    }
    const auto statuses = match_calls(calls, ids, findings);
    std::size_t opened_again = 0;
    for (std::uint32_t position = 0; position < statuses.size(); ++position) {
        if (!statuses[position] || is_measured(plan, position)) {
            continue;
        }
        ContactStatus& contact = plan.parcels[position].contact;
        const bool closed = contact == ContactStatus::enrolled || contact == ContactStatus::declined ||
                            contact == ContactStatus::do_not_contact;
        opened_again += closed && *statuses[position] == ContactStatus::candidate ? 1U : 0U;
        contact = *statuses[position];
    }
    if (opened_again > 0) {
        findings.warn({calls.info.where,
                       fmt::format("{} that the list calls candidate and the parcels enrolled, declined or "
                                   "do_not_contact",
                                   counted(opened_again, "parcel")),
                       "", "the list holds: they are ranked; empty its cells to let the parcels' own status stand"});
    }
    std::erase_if(tally.unknown_statuses, [&](const auto& entry) { return statuses[entry.first].has_value(); });
}

// What was measured wins. A state of talks that is not known leaves the owner out here too; that was told already.
void apply_override(const ParcelFacts& given, PlannedParcel& parcel) {
    parcel.measured = true;
    parcel.use_point = given.use_point();
    if (given.contact_status) {
        parcel.contact = contact_status_of(*given.contact_status).value_or(ContactStatus::do_not_contact);
    }
}

void report(const VectorInfo& info, const ParcelTally& tally, const Plan& plan, Findings& findings) {
    if (tally.without_shape > 0) {
        findings.warn({info.where, fmt::format("{} parcels without a usable polygon", tally.without_shape), "",
                       "roofs can still name them by id; their gardens are not known"});
    }
    if (tally.repeated > 0) {
        findings.warn({info.where, fmt::format("{} parcels whose id stood before", tally.repeated),
                       "ids that stand once",
                       "the first parcel of an id counts, and no roof belongs to another: join those that are one, or "
                       "give each its own id"});
    }
    UnknownStatuses unknown;
    for (const auto& [position, word] : tally.unknown_statuses) {
        unknown.add(word, std::string(plan.parcel_id(position)));
    }
    if (tally.unknown_source > 0) {
        findings.warn({info.where,
                       fmt::format("{} with a water source like \"{}\"", counted(tally.unknown_source, "parcel"),
                                   printable(tally.first_unknown_source, 60)),
                       listed_words(closed_list<WaterSource>()) + ", written just so",
                       "these sources count as unknown, and the creek gains nothing by them: mend the field"});
    }
    unknown.tell(info.where, findings);
}

// Whether a distance to the stream would settle the share of a well.
bool asks_for_distance(const ParcelFacts& facts, const Settings& settings) {
    return !facts.stream_distance_m && !facts.source_share && settings.demand.transmissivity_m2_day &&
           settings.demand.storage_coefficient &&
           water_source(facts.water_source, settings.parcels.default_water_source) == WaterSource::shallow_well;
}

// Calls take(Feature, ParcelShape) for every parcel in order, while shapes are judged on whatever threads are free.
template <typename Take>
void read_judged(FeatureSource& source, const VectorInfo& info, const RasterInfo& terrain, const Take& take) {
    LentTools<ParcelShapes> shapes([&] { return std::make_unique<ParcelShapes>(info, terrain); });
    const auto judge = [&](std::vector<Feature> features) {
        return shapes.with_one([&](ParcelShapes& tool) {
            JudgedParcels judged{std::move(features), {}};
            for (const Feature& feature : judged.features) {
                judged.shapes.push_back(tool.of(feature));
            }
            return judged;
        });
    };
    in_three_steps([&] { return next_features(source); }, judge,
                   [&](const JudgedParcels& judged) {
                       for (std::size_t i = 0; i < judged.features.size(); ++i) {
                           take(judged.features[i], judged.shapes[i]);
                       }
                       stop_if_requested();
                   });
}

SpillArray<Box> read_parcels(const Project& project, const Inputs& inputs, Plan& plan, ParcelIndex& index,
                             Findings& findings) {
    const Layer& layer = *inputs.layer("parcels.source");
    const VectorInfo& info = layer.info;
    ParcelReader reader(project.resolved);
    FeatureSource& source = layer.features(reader.names());
    SpillArray<Box> boxes(plan.lists_folder);
    ParcelTally tally;
    std::unordered_map<std::string, std::uint32_t> owners;
    const auto take = [&](const Feature& feature, const ParcelShape& shape) {
        ParcelRecord record = reader.read(feature, shape);
        // A number stands for the owner from here on: the key may be a name, and is not kept.
        const auto owner = std::exchange(record.facts.owner_key, std::nullopt);
        look_at_source(record.facts.water_source, tally);
        tally.without_shape += record.outline.empty() ? 1U : 0U;
        const auto position = static_cast<std::uint32_t>(plan.parcels.size());
        PlannedParcel& planned = plan.add_parcel(0, record.parcel_id);
        const bool first = index.by_id.add(plan, position);
        // Of parcels with the same id the first alone counts: no roof is found to lie in another (method.md 7.1).
        boxes.push_back(first ? bounds(record.outline) : Box{});
        const ContactStatus contact = contact_of(record.facts.contact_status, position, tally);
        const auto measured = plan.overrides.parcels.find(position);
        if (measured != plan.overrides.parcels.end()) {
            take_measured(measured->second, record.facts);
        }
        tally.repeated += first ? 0U : 1U;
        planned.record = plan.parcel_store.append(packed(record));
        if (asks_for_distance(record.facts, project.resolved)) {
            index.wells.push_back(position);
        }
        planned.inside_share = shape.inside_share;
        planned.contact = contact;
        if (measured != plan.overrides.parcels.end()) {
            apply_override(measured->second, planned);
        }
        if (owner && !owner->empty()) {
            const auto next = static_cast<std::uint32_t>(owners.size());
            planned.owner_group = owners.try_emplace(*owner, next).first->second;
        }
    };
    read_judged(source, info, inputs.terrain(), take);
    plan.parcel_store.finish();
    if (inputs.calls) {
        apply_calls(*inputs.calls, plan, tally, findings);
    }
    report(info, tally, plan, findings);
    reader.report(info.where, findings);
    return boxes;
}

// A layer of points that belong to parcels.
struct PointsOfParcels {
    const char* setting;       // that names the layer
    const std::string& field;  // with the parcel's id
    const char* noun;
    std::optional<Point> PlannedParcel::*member;
    bool on_own_land;  // one that names an unknown parcel belongs to the one it lies in
};

struct PointTally {
    std::uint64_t unmatched = 0;
    std::uint64_t outside = 0;
    std::uint64_t further = 0;         // of a parcel that has one
    std::vector<std::string> unknown;  // ids of parcels that are not there
};

void tell_points(const PointsOfParcels& kind, const VectorInfo& info, const PointTally& tally, Findings& findings) {
    if (tally.unmatched > 0) {
        findings.warn({info.where, fmt::format("{} {}s that belong to no parcel", tally.unmatched, kind.noun),
                       "points inside a parcel, or naming one", "check their places and ids; they are not used"});
    }
    if (tally.outside > 0 && kind.on_own_land) {
        findings.warn({info.where, fmt::format("{} {}s outside the parcel they name", tally.outside, kind.noun), "",
                       "they are used; check their places"});
    }
    if (!tally.unknown.empty()) {
        findings.warn({info.where,
                       fmt::format("{} naming a parcel that is not there: {}", counted(tally.unknown.size(), kind.noun),
                                   listed(tally.unknown)),
                       "ids of parcels",
                       "they are not used, since they may lie on a neighbour's land: mend the ids, or leave them empty "
                       "where the parcel around the point is meant"});
    }
    if (tally.further > 0 && !kind.on_own_land) {
        findings.warn({info.where, fmt::format("{} of a parcel that has one", counted(tally.further, kind.noun)),
                       "one for each parcel", "the first in input order is used: put the one that counts first"});
    }
}

// The parcel that a point names, else the one around it; kNone where it has none.
std::uint32_t parcel_of(const PointsOfParcels& kind, const Feature& feature, std::uint32_t around,
                        const ParcelIndex& index, const Plan& plan, PointTally& tally) {
    const std::optional<std::string>& id = feature.values.front();
    const std::uint32_t found = id ? index.by_id.find(plan, *id) : kNone;
    if (found != kNone) {
        return found;
    }
    if (has_id(feature, 0) && !kind.on_own_land) {
        tally.unknown.push_back(*id);
        return kNone;
    }
    tally.unmatched += around == kNone ? 1U : 0U;
    return around;
}

void read_points(const PointsOfParcels& kind, const Inputs& inputs, const ParcelIndex& index, Plan& plan,
                 Findings& findings) {
    const Layer* const layer = inputs.layer(kind.setting);
    if (layer == nullptr) {
        return;
    }
    const VectorInfo& info = layer->info;
    FeatureSource& source = layer->features({kind.field});
    GeometryKit kit;
    const Transform to_parcels(info.crs, inputs.layer("parcels.source")->info.crs, info.where);
    const Transform to_terrain(info.crs, inputs.terrain().crs, info.where);
    PointTally tally;
    Feature feature;
    while (source.next(feature)) {
        stop_if_requested();
        const auto point = kit.point(feature.wkb);
        const auto in_parcels = point ? to_parcels(*point) : std::nullopt;
        const auto in_terrain = point ? to_terrain(*point) : std::nullopt;
        if (!in_parcels || !in_terrain) {
            ++tally.unmatched;
            continue;
        }
        const std::uint32_t around = parcel_at(plan, index, *in_parcels);
        const std::uint32_t parcel = parcel_of(kind, feature, around, index, plan, tally);
        if (parcel == kNone) {
            continue;
        }
        tally.outside += parcel != around ? 1U : 0U;
        auto& given = plan.parcels[parcel].*kind.member;
        tally.further += given ? 1U : 0U;
        given = given ? given : in_terrain;  // a measured one, or the first in input order
    }
    tell_points(kind, info, tally, findings);
}

// From the diversion to the nearest reach, else from a point inside the parcel.
void measure_wells(const Inputs& inputs, const Creeks& creeks, const ParcelIndex& index, Plan& plan) {
    const VectorInfo& info = inputs.layer("parcels.source")->info;
    const Transform to_terrain(info.crs, inputs.terrain().crs, info.where);
    for (const std::uint32_t position : index.wells) {
        std::optional<Point> place = plan.parcels[position].diversion;
        if (!place) {
            const ParcelRecord record = plan.parcel(position);
            place = record.outline.empty() ? std::nullopt : to_terrain(record.interior);
        }
        if (const auto near = place ? creeks.nearest(*place) : std::nullopt) {
            plan.parcels[position].nearest_reach_m = near->distance_m;
        }
    }
}

}  // namespace

std::uint32_t parcel_at(const Plan& plan, const ParcelIndex& index, Point point) {
    for (const std::uint32_t candidate : index.by_box.query({point.x, point.y, point.x, point.y})) {
        if (contains(plan.parcel(candidate).outline, point)) {
            return candidate;
        }
    }
    return kNone;
}

ParcelIndex plan_parcels(const Project& project, const Inputs& inputs, const Creeks& creeks, Plan& plan,
                         Findings& findings) {
    ParcelIndex index(plan.lists_folder);
    if (inputs.layer("parcels.source") == nullptr) {
        return index;
    }
    index.by_box = plan.index_of(read_parcels(project, inputs, plan, index, findings));
    const Settings& settings = project.resolved;
    read_points({"use_points.source", settings.use_points.parcel, "use point", &PlannedParcel::use_point, true}, inputs,
                index, plan, findings);
    read_points({"diversions.source", settings.diversions.parcel, "diversion", &PlannedParcel::diversion, false},
                inputs, index, plan, findings);
    measure_wells(inputs, creeks, index, plan);
    return index;
}

}  // namespace eaveshed
