// Measured values in place of the input's.
#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/measured/overrides.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

template <typename T>
void set(std::optional<T>& value, const std::optional<T>& given, Measured what, MeasuredValues& measured) {
    if (given) {
        value = given;
        measured.add(what);
    }
}

}  // namespace

std::size_t Overrides::count(OverrideOutcome outcome) const {
    return static_cast<std::size_t>(
        std::ranges::count_if(rows, [&](const OverrideRow& row) { return row.outcome == outcome; }));
}

void apply(const RoofOverride& given, FootprintRecord& record) {
    const OverrideRow& values = given.values;
    MeasuredValues& measured = record.measured;
    set(record.eave_height_m, values.eave_height_m, Measured::eave_height, measured);
    set(record.eave_elev_m, values.eave_elev_m, Measured::eave_elev, measured);
    set(record.connected_share, values.connected_share, Measured::connected_share, measured);
    set(record.material, values.material, Measured::material, measured);
    set(record.runoff_coefficient, values.runoff_coefficient, Measured::runoff_coefficient, measured);
    if (given.pad_place) {
        record.pad_x = given.pad_place->x;
        record.pad_y = given.pad_place->y;
        measured.add(Measured::pad);
    }
}

void apply(const ParcelOverride& given, ParcelRecord& record) {
    const OverrideRow& values = given.values;
    MeasuredValues& measured = record.measured;
    // The input's share is that of the source it names.
    if (values.water_source && values.water_source != record.water_source) {
        record.source_share.reset();
    }
    set(record.people, values.people, Measured::people, measured);
    set(record.irrigated_area_m2, values.irrigated_area_m2, Measured::garden, measured);
    set(record.season_use_m3, values.season_use_m3, Measured::season_use, measured);
    set(record.water_source, values.water_source, Measured::water_source, measured);
    set(record.source_share, values.source_share, Measured::source_share, measured);
    set(record.stream_distance_m, values.stream_distance_m, Measured::stream_distance, measured);
    set(record.existing_storage_m3, values.existing_storage_m3, Measured::existing_storage, measured);
    set(record.pump_lps, values.pump_lps, Measured::pump, measured);
    if (values.contact_status) {
        measured.add(Measured::contact_status);
    }
    if (given.use_place) {
        measured.add(Measured::use_point);
    }
}

std::string overrides_line(const Overrides& overrides) {
    const std::size_t applied = overrides.count(OverrideOutcome::applied);
    const std::size_t carried = overrides.count(OverrideOutcome::carried);
    const std::size_t empty = overrides.count(OverrideOutcome::empty);
    return fmt::format(
        "{}: {} applied by id, {} carried over, {} ambiguous, {} without a match, {} not usable, {} "
        "without a value",
        counted(overrides.rows.size(), "row"), applied, carried, overrides.count(OverrideOutcome::ambiguous),
        overrides.count(OverrideOutcome::no_match), overrides.count(OverrideOutcome::not_usable), empty);
}

}  // namespace eaveshed
