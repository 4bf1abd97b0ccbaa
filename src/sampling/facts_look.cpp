#include "facts_look.hpp"

#include <algorithm>
#include <limits>
#include <unordered_map>

#include "eaveshed/shape/measure.hpp"
#include "eaveshed/shape/prepared_area.hpp"
#include "shown_id.hpp"

namespace eaveshed {

namespace {

std::optional<double> above_zero(const std::optional<double>& value) {
    return value && *value > 0.0 ? value : std::nullopt;
}

// The streams of the plan, each read once.
class NearestStream {
public:
    explicit NearestStream(const Inputs& inputs, const Plan& plan) : m_plan(plan), m_metric(terrain_metric(inputs)) {}

    // In m, from a place in the terrain's CRS; none where no stream is within kFarthestM.
    [[nodiscard]] std::optional<double> distance_m(Point place);

private:
    static constexpr double kFarthestM = 5000.0;

    const ObstacleRecord& record(std::uint32_t position) {
        const auto found = m_records.find(position);
        return found != m_records.end() ? found->second
                                        : m_records.emplace(position, m_plan.obstacle(position)).first->second;
    }

    const Plan& m_plan;
    TerrainMetric m_metric;
    std::unordered_map<std::uint32_t, ObstacleRecord> m_records;
};

std::optional<double> NearestStream::distance_m(Point place) {
    constexpr double kFirstM = 100.0;
    const LocalFrame frame = m_metric.frame_at(place);
    const Point here = frame.to_metres(place);
    double reach = kFirstM;
    while (reach <= 2.0 * kFarthestM) {
        Box box;
        box.add(place);
        double least = std::numeric_limits<double>::infinity();
        for (const std::uint32_t position :
             m_plan.obstacle_index.query(box.grown(reach / frame.metres_per_x, reach / frame.metres_per_y))) {
            const ObstacleRecord& stream = record(position);
            if (stream.layer == 0) {
                least = std::min({least, distance_to_line(frame.to_metres(stream.line), here),
                                  distance_to_area(frame.to_metres(stream.area), here)});
            }
        }
        if (least <= reach) {
            return least;
        }
        reach *= 2.0;
    }
    return std::nullopt;
}

// For some of those that have a distance in the data.
void measure_streams(const Inputs& inputs, const Plan& plan, const std::vector<Point>& middles,
                     std::vector<ParcelSample>& sample) {
    if (inputs.layer("streams.source") == nullptr) {
        return;
    }
    std::vector<std::size_t> given;
    for (std::size_t i = 0; i < sample.size(); ++i) {
        if (sample[i].stream_m) {
            given.push_back(i);
        }
    }
    const VectorInfo& info = inputs.layer("parcels.source")->info;
    const Transform to_terrain(info.crs, inputs.terrain().crs, info.where);
    NearestStream streams(inputs, plan);
    const std::size_t count = std::min<std::size_t>(given.size(), kMeasuredStreams);
    for (std::size_t i = 0; i < count; ++i) {
        const std::size_t parcel = given[i * given.size() / count];
        if (const auto place = to_terrain(middles[parcel])) {
            sample[parcel].line_m = above_zero(streams.distance_m(*place));
        }
    }
}

}  // namespace

std::vector<ParcelSample> look_at_parcel_facts(const Inputs& inputs, const Plan& plan,
                                               const std::vector<double>& roofs_m2) {
    std::vector<ParcelSample> sample;
    std::vector<Point> middles;
    PlanReader reader(plan);
    const std::uint64_t all = plan.parcels.size();
    const std::uint64_t count = std::min(all, kSampledParcels);
    for (std::uint64_t i = 0; i < count; ++i) {
        const auto position = static_cast<std::uint32_t>(i * all / count);
        const ParcelRecord record = reader.parcel(position);
        ParcelSample& parcel = sample.emplace_back();
        parcel.id = shown_id(record.parcel_id);
        parcel.people = above_zero(record.facts.people);
        parcel.garden_m2 = above_zero(record.facts.irrigated_area_m2);
        if (record.area_m2) {
            parcel.open_m2 = above_zero(*record.area_m2 - roofs_m2[position]);
        }
        parcel.season_use_m3 = above_zero(record.facts.season_use_m3);
        parcel.tank_m3 = above_zero(record.facts.existing_storage_m3);
        parcel.pump_lps = above_zero(record.facts.pump_lps);
        if (!record.outline.empty()) {
            parcel.stream_m = above_zero(record.facts.stream_distance_m);
        }
        middles.push_back(record.interior);
    }
    measure_streams(inputs, plan, middles, sample);
    return sample;
}

struct ExclusionLook::Impl {
    const Plan& plan;
    Transform to_terrain;
    std::unordered_map<std::uint32_t, std::optional<PreparedArea>> areas;  // none of streams and lines
};

ExclusionLook::ExclusionLook(const Inputs& inputs, const Plan& plan)
    : m_impl(
          new Impl{plan, Transform(inputs.footprints().info.crs, inputs.terrain().crs, inputs.terrain().where), {}}) {}

ExclusionLook::~ExclusionLook() = default;

bool ExclusionLook::holds(Point interior) {
    const auto place = m_impl->to_terrain(interior);
    if (!place) {
        return false;
    }
    Box here;
    here.add(*place);
    for (const std::uint32_t position : m_impl->plan.obstacle_index.query(here)) {
        auto found = m_impl->areas.find(position);
        if (found == m_impl->areas.end()) {
            const ObstacleRecord record = m_impl->plan.obstacle(position);
            std::optional<PreparedArea> area;
            if (record.layer != 0 && !record.area.empty()) {
                area.emplace(record.area);
            }
            found = m_impl->areas.emplace(position, std::move(area)).first;
        }
        if (found->second && found->second->contains(*place)) {
            return true;
        }
    }
    return false;
}

}  // namespace eaveshed
