#include "row_maker.hpp"

namespace eaveshed {

RowMaker::RowMaker(const OutputSettings& settings, const Inputs& inputs, const ResultWriter& writer)
    : m_writer(writer),
      m_us(settings.units == OutputUnits::us),
      m_curve(settings.storage_curve),
      m_to_output(inputs.footprints().info.crs, inputs.output_crs, "output.crs"),
      m_terrain_to_output(inputs.terrain().crs, inputs.output_crs, "output.crs") {
    if (const Layer* const parcels = inputs.layer("parcels.source")) {
        m_parcels_to_output.emplace(parcels->info.crs, inputs.output_crs, "output.crs");
    }
}

void RowMaker::add_pad(const PadRow& pad, Batch& batch) const {
    if (const auto place = m_terrain_to_output(pad.place)) {
        add_row(batch, pad, *place, *pad.pad_elev_m);
    }
}

void RowMaker::add_scenarios(const std::vector<ScenarioRow>& rows, Batch& batch) const {
    for (const ScenarioRow& row : rows) {
        add_row(batch, row);
    }
}

void RowMaker::add(const RoofRows& result, const MultiPolygon& outline, Batch& batch) const {
    add_row(batch, result.roof, m_to_output(outline).value_or(MultiPolygon{}));
    if (result.pad) {
        add_pad(*result.pad, batch);
    }
    if (result.use_point) {
        if (const auto place = m_terrain_to_output(result.use_point->place)) {
            add_row(batch, *result.use_point, *place, *result.use_point->use_elev_m);
        }
    }
    if (m_curve) {
        for (const CurveRow& row : result.curve) {
            add_row(batch, row);
        }
    }
    add_scenarios(result.scenarios, batch);
}

void RowMaker::add(const ParcelRows& result, const MultiPolygon& outline, Batch& batch) const {
    add_row(batch, result.parcel, outline.empty() ? outline : (*m_parcels_to_output)(outline).value_or(MultiPolygon{}));
    if (result.pad) {
        add_pad(*result.pad, batch);
    }
    for (const ParcelOptionRow& row : result.options) {
        add_row(batch, row);
    }
    add_scenarios(result.scenarios, batch);
}

}  // namespace eaveshed
