// The output's rows as its columns want them. Private to the module.
#pragma once

#include <optional>
#include <vector>

#include "eaveshed/crs/crs.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/record/result_writer.hpp"
#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/record/us_units.hpp"
#include "eaveshed/record/values.hpp"

namespace eaveshed {

using Batch = std::vector<LayerRow>;

// One thread at a time; another may write what was made.
class RowMaker {
public:
    // `writer` outlives this.
    RowMaker(const Settings& settings, const Inputs& inputs, const ResultWriter& writer);

    void add(const RoofRows& result, const MultiPolygon& outline, Batch& batch) const;
    void add(const ParcelRows& result, const MultiPolygon& outline, Batch& batch) const;
    // `line`: in the terrain's CRS.
    void add(const ReachRow& row, const Line& line, Batch& batch) const;
    // One row of a table, after its geometry where it has one.
    template <typename Row, typename... Geometry>
    void add_row(Batch& batch, const Row& row, const Geometry&... geometry) const {
        batch.push_back(m_writer.made(kTableOf<Row>, geometry..., values(row)));
    }

private:
    template <typename Row>
    std::vector<Value> values(const Row& row) const {
        std::vector<Value> values;
        values_of(row, values);
        if (m_us) {
            append_us_values(output_tables()[kTableOf<Row>].columns, values);
        }
        return values;
    }

    void add_pad(const PadRow& pad, Batch& batch) const;
    void add_pad_ground(const PadRow& pad, Batch& batch) const;
    void add_pipe(const std::optional<PipeRow>& pipe, Batch& batch) const;
    void add_scenarios(const std::vector<ScenarioRow>& rows, Batch& batch) const;

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
