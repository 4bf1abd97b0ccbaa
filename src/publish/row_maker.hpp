// The output's rows as its columns want them. Private to the module.
#pragma once

#include <optional>
#include <vector>

#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/package/layers.hpp"
#include "eaveshed/record/result_writer.hpp"
#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/record/us_units.hpp"

namespace eaveshed {

using Batch = std::vector<LayerRow>;

// One thread at a time; another may write what was made.
class RowMaker {
public:
    // `writer` outlives this.
    RowMaker(const OutputSettings& settings, const Inputs& inputs, const ResultWriter& writer);

    void add(const RoofRows& result, const MultiPolygon& outline, Batch& batch) const;
    void add(const ParcelRows& result, const MultiPolygon& outline, Batch& batch) const;
    void add(const OverrideRow& row, Batch& batch) const {
        batch.push_back(m_writer.made(kOverridesLayer, values(row, m_override_us)));
    }
    void add(const RunRecordRow& row, Batch& batch) const {
        batch.push_back(m_writer.made(kRunRecordLayer, values(row, {})));
    }

private:
    template <typename Row>
    static std::vector<Value> values(const Row& row, const std::vector<UsColumn>& us) {
        std::vector<Value> values;
        values_of(row, values);
        append_us_values(us, values);
        return values;
    }

    void add_pad(const PadRow& pad, Batch& batch) const;
    void add_scenarios(const std::vector<ScenarioRow>& rows, Batch& batch) const;

    const ResultWriter& m_writer;
    bool m_us;
    bool m_curve;
    Transform m_to_output;
    Transform m_terrain_to_output;
    std::optional<Transform> m_parcels_to_output;
    std::vector<UsColumn> m_roof_us;
    std::vector<UsColumn> m_curve_us;
    std::vector<UsColumn> m_use_point_us;
    std::vector<UsColumn> m_pad_us;
    std::vector<UsColumn> m_parcel_us;
    std::vector<UsColumn> m_scenario_us;
    std::vector<UsColumn> m_override_us;
};

}  // namespace eaveshed
