// The rows of the layer `use_points`: where each computed roof's water is wanted.
#pragma once

#include <optional>
#include <string>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/record/field.hpp"

namespace eaveshed {

struct UsePointRow {
    Point place;  // in the terrain's CRS; the layer's geometry
    std::string roof_id;
    std::optional<std::string> parcel_id;
    std::optional<double> use_elev_m;
    bool assumed = false;
};

template <typename Row, typename Visitor>
requires std::is_same_v<std::remove_const_t<Row>, UsePointRow>
void visit_fields(Row& row, Visitor&& visit) {
    visit(Field{"roof_id", "", "Roof", "Identifier of the footprint."}, row.roof_id);
    visit(Field{"parcel_id", "", "Parcel", "Parcel of the roof; null when it lies in none."}, row.parcel_id);
    visit(Field{"use_elev_m", "m", "Use elevation", "Elevation of the ground at the use point."}, row.use_elev_m);
    visit(Field{"assumed", "", "Assumed", "True when no use point was given and a garden cell stands in for it."},
          row.assumed);
}

}  // namespace eaveshed
