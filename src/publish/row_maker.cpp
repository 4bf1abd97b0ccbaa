#include "row_maker.hpp"

#include "eaveshed/publish/pad_ground.hpp"

namespace eaveshed {

RowMaker::RowMaker(const Settings& settings, const Inputs& inputs, const ResultWriter& writer)
    : m_writer(writer),
      m_us(settings.output.units == OutputUnits::us),
      m_curve(settings.output.storage_curve),
      m_pad_margin_m(settings.siting.pad_margin_m),
      m_metric(terrain_metric(inputs)),
      m_to_output(inputs.footprints().info.crs, inputs.output_crs, "output.crs"),
      m_terrain_to_output(inputs.terrain().crs, inputs.output_crs, "output.crs") {
    if (const Layer* const parcels = inputs.layer("parcels.source")) {
        m_parcels_to_output.emplace(parcels->info.crs, inputs.output_crs, "output.crs");
    }
}

void RowMaker::add_pad(const PadRow& pad, RowBatch& batch) const {
    if (const auto place = m_terrain_to_output(pad.place)) {
        add_row(batch, pad, *place, *pad.pad_elev_m);
    }
    add_pad_ground(pad, batch);
}

void RowMaker::add_pad_ground(const PadRow& pad, RowBatch& batch) const {
    PadRow in_grid = pad;
    if (pad.row_bearing_deg) {
        in_grid.row_bearing_deg = m_metric.bearing_in_grid_deg(*pad.row_bearing_deg);
    }
    const MultiPolygon ground = pad_ground(in_grid, m_metric.frame_at(pad.place), m_pad_margin_m);
    if (const auto outline = m_terrain_to_output(ground)) {
        add_row(batch,
                PadGroundRow{.roof_id = pad.roof_id,
                             .parcel_id = pad.parcel_id,
                             .level = pad.level,
                             .arrangement = pad.arrangement,
                             .tank_count = pad.tank_count,
                             .pad_elev_m = pad.pad_elev_m,
                             .pad_radius_m = pad.pad_radius_m,
                             .opted_out = pad.opted_out,
                             .coarse_elevation = pad.coarse_elevation},
                *outline);
    }
}

void RowMaker::add_pipe(const std::optional<PipeRow>& pipe, RowBatch& batch) const {
    if (!pipe) {
        return;
    }
    const auto from = m_terrain_to_output(pipe->place.from);
    const auto to = m_terrain_to_output(pipe->place.to);
    if (from && to) {
        add_row(batch, *pipe, Segment{*from, *to}, *pipe->start_elev_m, *pipe->end_elev_m);
    }
}

void RowMaker::add_scenarios(const std::vector<ScenarioRow>& rows, RowBatch& batch) const {
    for (const ScenarioRow& row : rows) {
        add_row(batch, row);
    }
}

void RowMaker::add(const RoofRows& result, const MultiPolygon& outline, RowBatch& batch) const {
    add_row(batch, result.roof, m_to_output(outline).value_or(MultiPolygon{}));
    if (result.pad) {
        add_pad(*result.pad, batch);
    }
    for (const auto* const pipe : {&result.fill, &result.feed, &result.shared_fill}) {
        add_pipe(*pipe, batch);
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

void RowMaker::add(const ParcelRows& result, const MultiPolygon& outline, RowBatch& batch) const {
    add_row(batch, result.parcel, outline.empty() ? outline : (*m_parcels_to_output)(outline).value_or(MultiPolygon{}));
    if (result.pad) {
        add_pad(*result.pad, batch);
    }
    add_pipe(result.feed, batch);
    for (const ParcelOptionRow& row : result.options) {
        add_row(batch, row);
    }
    add_scenarios(result.scenarios, batch);
}

void RowMaker::add(const ReachRow& row, const Line& line, RowBatch& batch) const {
    Line there = line;
    if (m_terrain_to_output.apply(there)) {
        add_row(batch, row, there);
    } else {
        add_row(batch, row);
    }
}

}  // namespace eaveshed
