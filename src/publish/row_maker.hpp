// The output's rows as its columns want them. Private to the module.
#pragma once

#include <optional>
#include <vector>

#include "eaveshed/crs/crs.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/record/result_writer.hpp"
#include "eaveshed/record/tile_rows.hpp"

namespace eaveshed {

// One thread at a time; another may write what was made.
class RowMaker {
public:
    // `writer` outlives this.
    RowMaker(const Settings& settings, const Inputs& inputs, const ResultWriter& writer);

    void add(const RoofRows& result, const MultiPolygon& outline, RowBatch& batch) const;
    void add(const ParcelRows& result, const MultiPolygon& outline, RowBatch& batch) const;
    // `line`: in the terrain's CRS.
    void add(const ReachRow& row, const Line& line, RowBatch& batch) const;
    // One row of a table, after its geometry where it has one.
    template <typename Row, typename... Geometry>
    void add_row(RowBatch& batch, const Row& row, const Geometry&... geometry) const {
        batch.begin(kTableOf<Row>);
        batch.put_columns(row);
        if (m_us) {
            batch.put_us_twins(output_tables()[kTableOf<Row>].columns);
        }
        if constexpr (sizeof...(Geometry) > 0) {
            m_writer.put(geometry..., batch);
        }
    }

private:
    void add_pad(const PadRow& pad, RowBatch& batch) const;
    void add_pad_ground(const PadRow& pad, RowBatch& batch) const;
    void add_pipe(const std::optional<PipeRow>& pipe, RowBatch& batch) const;
    void add_scenarios(const std::vector<ScenarioRow>& rows, RowBatch& batch) const;

    const ResultWriter& m_writer;
    bool m_us;
    bool m_curve;
    double m_pad_margin_m;
    TerrainMetric m_metric;
    Transform m_to_output;
    Transform m_terrain_to_output;
    std::optional<Transform> m_parcels_to_output;
};

}  // namespace eaveshed
