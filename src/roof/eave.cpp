#include "eaveshed/roof/eave.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "eaveshed/core/quantile.hpp"
#include "eaveshed/shape/prepared_area.hpp"

namespace eaveshed {

namespace {

constexpr double kLeastRoofHeightM = 1.5;  // a surface nearer to the ground than this shows no roof
constexpr double kSurfaceShare = 0.10;

bool positive(const std::optional<double>& value) {
    return value && *value > 0.0;
}

double base_of(const Ground& ground, EaveFrom from) {
    switch (from) {
        case EaveFrom::low: return ground.low_m;
        case EaveFrom::high: return ground.high_m;
        case EaveFrom::mid: break;
    }
    return ground.mid_m;
}

}  // namespace

Eave eave_of(const Ground& ground, const EaveData& data, const EaveRules& rules) {
    const double base = base_of(ground, rules.ground);
    const auto above_base = [base](double height_m, double sd_m, EaveBasis basis) {
        return Eave{base + height_m, sd_m, basis, base, height_m};
    };
    if (data.eave_elev_m) {
        return {*data.eave_elev_m, rules.sd_field_m, EaveBasis::elevation, ground.mid_m,
                *data.eave_elev_m - ground.mid_m};
    }
    if (positive(data.eave_height_m)) {
        return above_base(*data.eave_height_m, rules.sd_field_m, EaveBasis::field);
    }
    if (data.surface_m) {
        const double height = rules.surface_is_height ? *data.surface_m : *data.surface_m - ground.mid_m;
        if (height > kLeastRoofHeightM) {
            return rules.surface_is_height
                       ? above_base(*data.surface_m, rules.sd_surface_m, EaveBasis::surface)
                       : Eave{*data.surface_m, rules.sd_surface_m, EaveBasis::surface, ground.mid_m, height};
        }
    }
    if (positive(data.storeys)) {
        return above_base(*data.storeys * rules.storey_height_m, rules.sd_storeys_m, EaveBasis::storeys);
    }
    return above_base(rules.standard_height_m, rules.sd_standard_m, EaveBasis::standard_height);
}

std::optional<double> surface_percentile(const MultiPolygon& outline, const SparseRaster& surface) {
    const CellRange range = surface.grid().cells_around(bounds(outline));
    if (range.empty()) {
        return std::nullopt;
    }
    const PreparedArea area(outline);
    std::vector<double> values;
    for (std::int64_t row = range.row_begin; row < range.row_end; ++row) {
        for (std::int64_t col = range.col_begin; col < range.col_end; ++col) {
            if (!area.contains(surface.grid().centre({row, col}))) {
                continue;
            }
            const double value = surface.at(row, col);
            if (!std::isnan(value)) {
                values.push_back(value);
            }
        }
    }
    if (values.empty()) {
        return std::nullopt;
    }
    const std::size_t rank = nearest_rank(kSurfaceShare, values.size());
    std::ranges::nth_element(values, values.begin() + static_cast<std::ptrdiff_t>(rank));
    return values[rank];
}

}  // namespace eaveshed
