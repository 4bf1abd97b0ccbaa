#include "stream_layers.hpp"

#include "eaveshed/shape/measure.hpp"

namespace eaveshed {

namespace {

// On the ellipsoid; none where it cannot be said.
class AreaOf {
public:
    explicit AreaOf(const Crs& crs) : m_to_degrees(crs, crs.geographic(), "sub-basins"), m_ellipsoid(crs.ellipsoid()) {}

    [[nodiscard]] std::optional<double> operator()(const MultiPolygon& outline) const {
        constexpr double kM2InKm2 = 1.0e6;
        const auto degrees = m_to_degrees(outline);
        return degrees ? std::optional(geodesic_area_m2(*degrees, m_ellipsoid) / kM2InKm2) : std::nullopt;
    }

private:
    Transform m_to_degrees;
    Ellipsoid m_ellipsoid;
};

void add_subbasins(const GatherJob& job, std::vector<SubbasinRow> rows, const RowMaker& maker, RowBatch& batch) {
    if (rows.empty()) {
        return;
    }
    const SubbasinOutlines areas = job.subbasins.outlines();
    const AreaOf area_km2(areas.crs);
    const Transform to_output(areas.crs, job.inputs.output_crs, "output.crs");
    for (std::size_t i = 0; i < rows.size(); ++i) {
        rows[i].area_km2 = area_km2(areas.outlines[i]);
        maker.add_row(batch, rows[i], to_output(areas.outlines[i]).value_or(MultiPolygon{}));
    }
}

}  // namespace

void add_stream_layers(const GatherJob& job, const StreamAccounts& streams, const RowMaker& maker, RowBatch& batch) {
    const std::vector<ReachRow> reaches = streams.reach_rows();
    for (std::size_t i = 0; i < reaches.size(); ++i) {
        maker.add(reaches[i], job.creeks.reaches()[i].line, batch);
    }
    add_subbasins(job, streams.subbasin_rows(), maker, batch);
}

}  // namespace eaveshed
