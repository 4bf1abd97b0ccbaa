#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <functional>
#include <memory>
#include <optional>
#include <string_view>
#include <unordered_set>
#include <utility>

#include "eaveshed/facts/fields.hpp"
#include "eaveshed/facts/walk.hpp"
#include "eaveshed/fieldbook/field_numbers.hpp"
#include "eaveshed/geometry/footprint_geometry.hpp"
#include "eaveshed/progress/two_steps.hpp"
#include "eaveshed/shape/ellipsoid.hpp"
#include "eaveshed/shape/measure.hpp"
#include "eaveshed/words/wording.hpp"
#include "odd_texts.hpp"
#include "plan_parts.hpp"
#include "unknown_materials.hpp"

namespace eaveshed {

namespace {

struct Hashed {
    std::size_t first = 0;
    std::uint32_t second = 0;  // the ordinal
    friend auto operator<=>(const Hashed&, const Hashed&) = default;
};
using Hashes = SpillArray<Hashed>;

constexpr std::uint32_t kRoofsBetweenRests = std::uint32_t{1} << 16U;

// Equal for outlines of the same normal form, and for hardly any others: of the box and the number of corners.
std::size_t form_hash(const MultiPolygon& outline) {
    std::size_t corners = 0;
    for (const Polygon& part : outline.parts) {
        corners += part.outer.size();
        for (const Ring& hole : part.holes) {
            corners += hole.size();
        }
    }
    const Box box = bounds(outline);
    // Plus zero: -0.0 equals 0.0 but has other bytes.
    const std::array<double, 5> numbers{box.x_min + 0.0, box.y_min + 0.0, box.x_max + 0.0, box.y_max + 0.0,
                                        static_cast<double>(corners)};
    return std::hash<std::string_view>{}({reinterpret_cast<const char*>(numbers.data()), sizeof numbers});
}

// What a footprint's shape says, whatever else is in the layer.
struct FootprintShape {
    MultiPolygon outline;
    Point interior;
    double latitude_deg = 0.0;
    double plan_area_m2 = 0.0;
    bool repaired = false;
    Box in_terrain;  // empty where the outline has no place there
};

// For one thread at a time.
class FootprintShapes {
public:
    FootprintShapes(const FootprintSettings& settings, const Inputs& inputs)
        : m_settings(settings),
          m_crs(inputs.footprints().info.crs),
          m_to_degrees(m_crs, m_crs.geographic(), inputs.footprints().info.where),
          m_to_terrain(m_crs, inputs.terrain().crs, inputs.terrain().where),
          m_ellipsoid(m_crs.ellipsoid()) {}
    // None when there is nothing that has an area.
    [[nodiscard]] std::optional<FootprintShape> of(const Feature& feature);

private:
    const FootprintSettings& m_settings;
    const Crs& m_crs;
    GeometryKit m_kit;
    Transform m_to_degrees;
    Transform m_to_terrain;
    Ellipsoid m_ellipsoid;
};

std::optional<FootprintShape> FootprintShapes::of(const Feature& feature) {
    auto polygons = m_kit.polygons(feature.wkb);
    if (!polygons) {
        return std::nullopt;
    }
    FootprintShape shape;
    shape.outline = std::move(polygons->outline);
    shape.repaired = polygons->repaired;
    if (m_settings.outline == Outline::walls) {
        auto grown = with_overhang(m_kit, shape.outline, m_crs, m_settings.overhang_m);
        if (!grown) {
            return std::nullopt;
        }
        shape.outline = std::move(*grown);
    }
    shape.interior = m_kit.interior_point(shape.outline);
    const auto degrees = m_to_degrees(shape.outline);
    const auto interior_degrees = m_to_degrees(shape.interior);
    if (!degrees || !interior_degrees) {
        return std::nullopt;
    }
    shape.latitude_deg = interior_degrees->y;
    shape.plan_area_m2 = geodesic_area_m2(*degrees, m_ellipsoid);
    if (const auto in_terrain = m_to_terrain(shape.outline)) {
        shape.in_terrain = bounds(*in_terrain);
    }
    return shape;
}

struct JudgedFootprints {
    std::vector<Feature> features;
    std::vector<std::optional<FootprintShape>> shapes;  // of each
};

// Everything that reading one footprint after another needs.
class FootprintReader {
public:
    FootprintReader(const Project& project, const Inputs& inputs, const ParcelIndex& parcels, Plan& plan)
        : outlines(plan.lists_folder),
          materials(project.settings),
          fields(project.resolved),
          id_hashes(plan.lists_folder),
          form_hashes(plan.lists_folder),
          m_settings(project.resolved.footprints),
          m_parcels(parcels),
          m_plan(plan) {
        if (const Layer* const layer = inputs.layer("parcels.source")) {
            m_to_parcels.emplace(inputs.footprints().info.crs, layer->info.crs, layer->info.where);
        }
    }

    // Room for so many, so that growing lists are not twice in memory; what a file says of itself is believed only so
    // far.
    void reserve(std::uint64_t count);
    void read(const Feature& feature, const std::optional<FootprintShape>& shape);

    PlanarOutlines outlines;
    UnknownMaterials materials;
    LayerFields<RoofFacts> fields;
    NumberTexts numbers;
    OddTexts texts;
    std::uint64_t astray = 0;  // name a parcel that is not there
    std::string first_astray;  // that name
    Hashes id_hashes;          // of every roof id
    Hashes form_hashes;        // of what outlines of the same normal form have in common

private:
    void rest() const;
    std::uint32_t parcel_of(const Feature& feature, const std::optional<FootprintShape>& shape);

    const FootprintSettings& m_settings;
    std::size_t m_id_field = fields.place("id");
    std::size_t m_parcel_field = fields.place("parcel");
    bool m_has_ids = !m_settings.id.empty();
    const ParcelIndex& m_parcels;
    Plan& m_plan;
    std::optional<Transform> m_to_parcels;
};

void FootprintReader::rest() const {
    m_plan.rest();
    outlines.rest();
    id_hashes.rest();
    form_hashes.rest();
}

std::uint32_t FootprintReader::parcel_of(const Feature& feature, const std::optional<FootprintShape>& shape) {
    if (!m_to_parcels) {
        return kNone;
    }
    if (const auto& id = feature.values.at(m_parcel_field)) {
        if (const std::uint32_t found = m_parcels.by_id.find(m_plan, *id); found != kNone) {
            return found;
        }
        if (has_id(feature, m_parcel_field) && astray++ == 0) {
            first_astray = *id;
        }
    }
    const auto point = shape ? (*m_to_parcels)(shape->interior) : std::nullopt;
    return point ? parcel_at(m_plan, m_parcels, *point) : kNone;
}

void FootprintReader::reserve(std::uint64_t count) {
    constexpr std::uint64_t kBelieved = 5'000'000;
    const auto room = static_cast<std::size_t>(std::min(count, kBelieved));
    m_plan.roofs.reserve(room);
    m_plan.roof_boxes.reserve(room);
    outlines.boxes.reserve(room);
    outlines.areas.reserve(room);
    id_hashes.reserve(room);
    form_hashes.reserve(room);
}

void FootprintReader::read(const Feature& feature, const std::optional<FootprintShape>& shape) {
    const auto ordinal = static_cast<std::uint32_t>(m_plan.roofs.size());
    if (ordinal % kRoofsBetweenRests == 0) {
        rest();
    }
    FootprintRecord record;
    PlannedRoof roof;
    record.roof_id = id_of(feature, m_id_field);
    record.facts = fields.read(feature.values, numbers);
    materials.see(record.facts);
    const auto measured = m_plan.overrides.roofs.find(ordinal);
    if (measured != m_plan.overrides.roofs.end()) {
        take_measured(measured->second, record.facts);
        roof.flags.add(Flag::measured);
    }
    texts.unnamed += m_has_ids && !has_id(feature, m_id_field) ? 1U : 0U;
    if (feature.text_replaced && texts.replaced++ == 0) {
        texts.first_replaced = record.roof_id;
    }
    id_hashes.push_back({std::hash<std::string>{}(record.roof_id), ordinal});
    if (feature.text_replaced) {
        roof.flags.add(Flag::text_replaced);
    }
    if (!shape) {
        roof.status = Status::bad_geometry;
    } else {
        record.outline = shape->outline;
        record.interior = shape->interior;
        record.latitude_deg = shape->latitude_deg;
        record.plan_area_m2 = shape->plan_area_m2;
        if (shape->repaired) {
            roof.flags.add(Flag::repaired);
        }
        form_hashes.push_back({form_hash(record.outline), ordinal});
        roof.status = shape->plan_area_m2 < m_settings.min_area_m2 ? Status::too_small : Status::ok;
    }
    roof.parcel = parcel_of(feature, shape);
    if (roof.parcel != kNone && m_plan.parcels[roof.parcel].measured) {
        roof.flags.add(Flag::measured);
    }
    roof.record = m_plan.footprint_store.append(packed(record));
    m_plan.roof_boxes.push_back(shape ? shape->in_terrain : Box{});
    outlines.boxes.push_back(bounds(record.outline));
    outlines.areas.push_back(planar_area(record.outline));
    m_plan.roofs.push_back(roof);
}

double common_area(const Box& a, const Box& b) {
    const double width = std::min(a.x_max, b.x_max) - std::max(a.x_min, b.x_min);
    const double height = std::min(a.y_max, b.y_max) - std::max(a.y_min, b.y_min);
    return std::max(0.0, width) * std::max(0.0, height);
}

}  // namespace

void flag_overlaps(Plan& plan, const PlanarOutlines& outlines, double overlap_share) {
    const auto& [boxes, areas] = outlines;
    const BoxIndex index = plan.index_of(boxes);
    GeometryKit kit;
    const auto takes_part = [&](std::uint32_t i) {
        return plan.roofs[i].status != Status::bad_geometry && plan.roofs[i].status != Status::duplicate;
    };
    for (std::uint32_t i = 0; i < boxes.size(); ++i) {
        if (i % kRoofsBetweenRests == 0) {
            plan.rest();
            outlines.rest();
        }
        if (!takes_part(i)) {
            continue;
        }
        for (const std::uint32_t j : index.query(boxes[i])) {
            const double limit = overlap_share * std::min(areas[i], areas[j]);
            // Most neighbours only touch: their boxes already share too little.
            if (j <= i || !takes_part(j) || common_area(boxes[i], boxes[j]) <= limit) {
                continue;
            }
            if (kit.overlap_area(plan.footprint(i).outline, plan.footprint(j).outline) > limit) {
                plan.roofs[i].flags.add(Flag::overlaps);
                plan.roofs[j].flags.add(Flag::overlaps);
            }
        }
    }
}

namespace {

// Whatever has exactly the outline of an earlier row. Equal hashes mostly mean equal forms, which are compared.
void mark_duplicates(Hashes hashes, Plan& plan) {
    std::ranges::sort(hashes);
    GeometryKit kit;
    for (std::size_t begin = 0, end = 0; begin < hashes.size(); begin = end) {
        for (end = begin + 1; end < hashes.size() && hashes[end].first == hashes[begin].first;) {
            ++end;
        }
        std::unordered_set<std::string> forms;
        for (std::size_t i = begin; end - begin > 1 && i < end; ++i) {
            if (!forms.insert(kit.normal_form(plan.footprint(hashes[i].second).outline)).second) {
                plan.roofs[hashes[i].second].status = Status::duplicate;
            }
        }
    }
}

// Tables of the output refer to roofs by id.
void report_repeated_ids(const std::string& where, Hashes hashes, const Plan& plan, Findings& findings) {
    std::ranges::sort(hashes);
    std::uint64_t repeated = 0;
    std::uint32_t example = 0;
    for (std::size_t i = 1; i < hashes.size(); ++i) {
        if (hashes[i].first == hashes[i - 1].first) {
            example = repeated++ == 0 ? hashes[i].second : example;
        }
    }
    if (repeated > 0) {
        findings.warn(
            {where,
             fmt::format("{} footprints whose id stood before, such as \"{}\"", repeated,
                         printable(plan.footprint(example).roof_id, 60)),
             "ids that stand once",
             "name another field as footprints.id, or none: tables that refer to a roof by its id cannot tell "
             "these apart"});
    }
}

void report_shapes(const std::string& where, const Plan& plan, Findings& findings) {
    const auto without =
        static_cast<std::uint64_t>(std::ranges::count(plan.roofs, Status::bad_geometry, &PlannedRoof::status));
    findings.tell(
        without, plan.roofs.size(),
        {where, fmt::format("{} without a usable polygon", counted(without, "footprint")), "polygons with an area",
         "look at them in the source: they stay in the result with status bad_geometry and nothing else"});
}

void require_room_for_another(const Plan& plan, const std::string& where) {
    if (plan.roofs.size() >= kNone) {
        throw input_error(where, "more than 4,294,967,294 footprints", "fewer", "split the basin");
    }
}

}  // namespace

PlanarOutlines plan_footprints(const Project& project, const Inputs& inputs, const ParcelIndex& index, Plan& plan,
                               Findings& findings, Progress& progress) {
    FootprintReader reader(project, inputs, index, plan);
    FeatureSource& source = inputs.footprints().features(reader.fields.names());
    const auto total = static_cast<std::uint64_t>(std::max<std::int64_t>(0, source.info().feature_count));
    progress.begin("reading footprints", total, "footprints");
    reader.reserve(total);
    LentTools<FootprintShapes> shapes(
        [&] { return std::make_unique<FootprintShapes>(project.resolved.footprints, inputs); });
    const auto judge = [&](std::vector<Feature> features) {
        return shapes.with_one([&](FootprintShapes& tool) {
            JudgedFootprints judged{std::move(features), {}};
            for (const Feature& feature : judged.features) {
                judged.shapes.push_back(tool.of(feature));
            }
            return judged;
        });
    };
    in_three_steps([&] { return next_features(source); }, judge,
                   [&](const JudgedFootprints& judged) {
                       for (std::size_t i = 0; i < judged.features.size(); ++i) {
                           require_room_for_another(plan, source.info().where);
                           reader.read(judged.features[i], judged.shapes[i]);
                           progress.advance(1);
                           stop_if_requested();
                       }
                   });
    plan.footprint_store.finish();
    progress.end();
    if (plan.roofs.empty()) {
        findings.error({source.info().where, "no footprint", "at least one", "check the layer and the filter"});
    }
    mark_duplicates(std::move(reader.form_hashes), plan);
    report_shapes(source.info().where, plan, findings);
    report_texts(source.info().where, reader.texts, "footprint", findings);
    findings.tell(
        reader.astray, plan.roofs.size(),
        {source.info().where,
         fmt::format("{} that {} a parcel that is not there, such as \"{}\"", counted(reader.astray, "footprint"),
                     reader.astray == 1 ? "names" : "name", printable(reader.first_astray, 60)),
         "ids of the parcels, written just so",
         "mend the field, or leave footprints.parcel out: the parcel around them is taken"});
    reader.materials.report(source.info().where, plan.roofs.size(), findings);
    report_numbers(reader.fields, reader.numbers, source.info().where, "footprint", findings);
    report_repeated_ids(source.info().where, std::move(reader.id_hashes), plan, findings);
    return std::move(reader.outlines);
}

}  // namespace eaveshed
