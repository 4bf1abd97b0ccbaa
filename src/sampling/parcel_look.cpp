#include "parcel_look.hpp"

#include <unordered_map>

#include "eaveshed/shape/measure.hpp"
#include "shown_id.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kMostCorners = 16;  // of a roof

// Evenly drawn of the outer rings' vertices.
std::vector<Point> corners_of(const MultiPolygon& outline) {
    std::vector<Point> all;
    for (const Polygon& part : outline.parts) {
        all.insert(all.end(), part.outer.begin(), part.outer.end() - (part.outer.empty() ? 0 : 1));
    }
    std::vector<Point> corners;
    const std::size_t count = std::min(all.size(), kMostCorners);
    for (std::size_t i = 0; i < count; ++i) {
        corners.push_back(all[i * all.size() / count]);
    }
    return corners;
}

}  // namespace

ParcelFit look_at_parcels(const Inputs& inputs, const Plan& plan, const std::vector<std::uint32_t>& roofs) {
    const VectorInfo& info = inputs.layer("parcels.source")->info;
    const Transform to_parcels(inputs.footprints().info.crs, info.crs, info.where);
    ParcelFit fit;
    std::vector<Box> reach;
    std::vector<std::uint32_t> named;  // by roof of the fit
    std::optional<LocalFrame> frame;
    for (const std::uint32_t ordinal : roofs) {
        const FootprintRecord record = plan.footprint(ordinal);
        const auto interior = to_parcels(record.interior);
        const auto outline = to_parcels(record.outline);
        if (!interior || !outline) {
            continue;
        }
        if (!frame) {
            frame = metric_of(info.crs).frame_at(*interior);
        }
        FitRoof roof{shown_id(record.roof_id), frame->to_metres(*interior), corners_of(frame->to_metres(*outline)),
                     std::nullopt};
        reach.push_back(bounds(*outline).grown(kMostShiftM / frame->metres_per_x, kMostShiftM / frame->metres_per_y));
        named.push_back(plan.roofs[ordinal].parcel);
        fit.roofs.push_back(std::move(roof));
    }
    const BoxIndex near(reach);
    std::unordered_map<std::uint32_t, std::uint32_t> kept;  // by position in the plan
    PlanReader reader(plan);
    for (std::uint32_t position = 0; position < plan.parcels.size(); ++position) {
        const MultiPolygon outline = reader.parcel(position).outline;
        if (!outline.empty() && !near.query(bounds(outline)).empty()) {
            kept.emplace(position, static_cast<std::uint32_t>(fit.parcels.size()));
            fit.parcels.push_back(frame->to_metres(outline));
        }
    }
    // The parcel that the plan has for a roof and that does not hold it is one that the data name.
    for (std::size_t i = 0; i < fit.roofs.size(); ++i) {
        const auto parcel = kept.find(named[i]);
        if (parcel != kept.end() && !contains(fit.parcels[parcel->second], fit.roofs[i].interior)) {
            fit.roofs[i].named = parcel->second;
        }
    }
    return fit;
}

}  // namespace eaveshed
