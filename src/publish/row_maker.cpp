#include "row_maker.hpp"

#include "eaveshed/record/columns.hpp"

namespace eaveshed {

RowMaker::RowMaker(const OutputSettings& settings, const Inputs& inputs, const ResultWriter& writer)
    : m_writer(writer),
      m_us(settings.units == OutputUnits::us),
      m_curve(settings.storage_curve),
      m_to_output(inputs.footprints->crs, inputs.output_crs, "output.crs"),
      m_terrain_to_output(inputs.terrain->crs, inputs.output_crs, "output.crs") {
    if (m_us) {
        m_roof_us = us_columns(roof_columns());
        m_curve_us = us_columns(curve_columns());
        m_use_point_us = us_columns(use_point_columns());
        m_pad_us = us_columns(pad_columns());
        m_parcel_us = us_columns(parcel_columns());
        m_scenario_us = us_columns(scenario_columns());
        m_override_us = us_columns(override_columns());
    }
    if (inputs.parcels) {
        m_parcels_to_output.emplace(inputs.parcels->crs, inputs.output_crs, "output.crs");
    }
}

void RowMaker::add_pad(const PadRow& pad, Batch& batch) const {
    if (const auto place = m_terrain_to_output(pad.place)) {
        batch.push_back(m_writer.made(kPadsLayer, *place, *pad.pad_elev_m, values(pad, m_pad_us)));
    }
}

void RowMaker::add_scenarios(const std::vector<ScenarioRow>& rows, Batch& batch) const {
    for (const ScenarioRow& row : rows) {
        batch.push_back(m_writer.made(kScenariosLayer, values(row, m_scenario_us)));
    }
}

void RowMaker::add(const RoofRows& result, const MultiPolygon& outline, Batch& batch) const {
    batch.push_back(
        m_writer.made(kRoofsLayer, m_to_output(outline).value_or(MultiPolygon{}), values(result.roof, m_roof_us)));
    if (result.pad) {
        add_pad(*result.pad, batch);
    }
    if (result.use_point) {
        if (const auto place = m_terrain_to_output(result.use_point->place)) {
            batch.push_back(m_writer.made(kUsePointsLayer, *place, *result.use_point->use_elev_m,
                                          values(*result.use_point, m_use_point_us)));
        }
    }
    if (m_curve) {
        for (const CurveRow& row : result.curve) {
            batch.push_back(m_writer.made(kCurveLayer, values(row, m_curve_us)));
        }
    }
    add_scenarios(result.scenarios, batch);
}

void RowMaker::add(const ParcelRows& result, const MultiPolygon& outline, Batch& batch) const {
    batch.push_back(m_writer.made(kParcelsLayer,
                                  outline.empty() ? outline : (*m_parcels_to_output)(outline).value_or(MultiPolygon{}),
                                  values(result.parcel, m_parcel_us)));
    if (result.pad) {
        add_pad(*result.pad, batch);
    }
    add_scenarios(result.scenarios, batch);
}

}  // namespace eaveshed
